"""Outlines of features of tubes, and of what they hold: bolt heads, hoses, a seat collar."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from frame3d.bodies.body import PRACTICE, Body
from frame3d.bodies.forms import Form, pill, rod
from frame3d.bodies.frame.plates import extruded
from frame3d.bodies.placement import Placement
from frame3d.geometry.vector import Point, point
from frame3d.tubes.features.collar import EARS, collar_of
from frame3d.tubes.features.feature import Feature
from frame3d.tubes.features.forms import forms
from frame3d.tubes.features.patches import patches, slices
from frame3d.tubes.features.stand import Spot, spots
from frame3d.tubes.features.towers import towers
from frame3d.tubes.tube import Tube

FITTING = "fitting"
"""Family of bolts, hoses and the seat collar."""
STUB = 40.0
"""How much of a hose is drawn where it leaves a port [mm]; common practice, no source."""
RISE = 30.0
"""Angle at which it leaves the tube [degrees]; common practice, no source."""
BOLT, HOSE = "#8b9097", "#222325"


def features(place: Placement) -> Iterator[Body]:
    """Yield bosses, guides, stops and eyes, then the bolts in bosses and the hoses in the others."""
    tubes = {tube.name: tube for tube in place.bike.tubes}
    for feature in place.bike.frame.features:
        if feature.implied:
            continue
        tube = tubes[feature.tube]
        metal = tuple(_metal(place, feature, tube))
        yield from metal
        touches = (tube.name, *(body.name for body in metal))
        yield from _fittings(place, feature, tube, touches)


def _metal(place: Placement, feature: Feature, tube: Tube) -> Iterator[Body]:
    for one in forms(feature, tube):
        start = one.spot.foot if one.set_in else one.start
        form = rod(one.name, point(start), point(one.end), one.diameter / 2, place.link(tube.link))
        if one.set_in and float(np.linalg.norm(one.end - start)) < 0.1:
            continue  # level with the tube
        yield _body(one.name, feature, "frame", form, tube.colour, ())
    for patch in patches(feature, tube):
        form = Form()
        for one_slice in slices(patch):
            form += extruded(patch.name, one_slice, place.link(tube.link))
        yield _body(patch.name, feature, "frame", form, tube.colour, ())
    for tower in towers(feature, tube):
        form = extruded(tower.name, tower.metal, place.link(tube.link))
        yield _body(tower.name, feature, "frame", form, tube.colour, ())


def _fittings(
    place: Placement, feature: Feature, tube: Tube, touches: tuple[str, ...]
) -> Iterator[Body]:
    """Yield the bolt of each boss, and the hose in guides and out of ports."""
    spec, mount = feature.spec, place.link(tube.link)
    places = spots(feature, tube)
    if spec.kind == "boss" and spec.bolt > 0:
        for label, spot in zip(feature.labels, places, strict=True):
            name = f"bolt_{feature.named(label)}"
            top = spot.foot + spec.proud * spot.out
            head = rod(
                name, point(top), point(top + spec.bolt * spot.out), spec.screw.head / 2, mount
            )
            yield _body(name, feature, FITTING, head, BOLT, touches)
    elif spec.kind == "flat_mount" and spec.bolt > 0:
        for label, form in zip(feature.labels, forms(feature, tube), strict=True):
            name = f"bolt_{feature.named(label)}"
            low = point(form.start - spec.bolt * form.spot.out)
            head = rod(name, point(form.start), low, spec.screw.head / 2, mount)
            yield _body(name, feature, FITTING, head, BOLT, touches)
    elif spec.kind == "collar":
        yield _collar(place, feature, tube)
    elif spec.kind == "guide" and len(places) > 1:
        name = f"hose_{feature.named(feature.key + '-' + feature.name)}"
        run = Form()
        high = spec.outside / 2 - 0.5
        ends = [spot.foot + high * spot.out for spot in places]
        for a, b in pairwise(ends):
            run += pill(name, point(a), point(b), spec.held / 2, mount)
        yield _body(name, feature, FITTING, run, HOSE, touches)
    elif spec.kind == "port" and spec.hose is not None:
        for label, spot in zip(feature.labels, places, strict=True):
            name = f"hose_{feature.named(label)}"
            first, last = _stub(spot, spec.toward != "end")
            yield _body(
                name, feature, FITTING, pill(name, first, last, spec.hose / 2, mount), HOSE, touches
            )


def _collar(place: Placement, feature: Feature, tube: Tube) -> Body:
    """Return the seat collar; all other features of its tube are within its reach by design."""
    name, mount = f"collar_{feature.named(feature.labels[0])}", place.link(tube.link)
    made = collar_of(feature, tube)
    form = rod(name, point(made.low), point(made.top), made.outside / 2, mount)
    form += rod(name, point(made.ears[0]), point(made.ears[1]), EARS[1], mount)
    return _body(name, feature, FITTING, form, BOLT, (tube.name, "seatpost"))


def _stub(spot: Spot, to_start: bool) -> tuple[Point, Point]:
    """Return both ends of what is drawn of a hose that leaves a port toward an end of its tube."""
    rise = np.radians(RISE)
    way = np.sin(rise) * spot.out + (-1.0 if to_start else 1.0) * np.cos(rise) * spot.along
    return point(spot.foot), point(spot.foot + STUB * way)


def _body(
    name: str, feature: Feature, family: str, form: Form, colour: str, touches: tuple[str, ...]
) -> Body:
    return Body(
        name=name,
        part=feature.path,
        family=family,
        shapes=form.shapes,
        tubes=form.tubes,
        colour=colour,
        touches=touches,
        note=f"sizes of bosses, bolts, hoses and collars: {PRACTICE}, where the file does not give them",
    )
