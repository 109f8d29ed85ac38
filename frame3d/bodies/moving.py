"""Moving: tubes of the rear links as shapes, to be measured against the tubes of the front frame."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from frame3d.bodies.body import Body
from frame3d.bodies.forms import rod
from frame3d.bodies.mounts import Mount
from frame3d.bodies.place import Place
from frame3d.bodies.shapes import Placed
from frame3d.geometry.centreline import Arc
from frame3d.geometry.layout import Tube
from frame3d.geometry.vector import point

PART = 6.0
"""Longest turn of one bar along a bend [degrees]."""


def moving(place: Place) -> Iterator[Body]:
    """Every tube of a link as round bars that hold it: as wide as it is anywhere along each bar."""
    for tube in place.layout.tubes:
        if tube.link is None:
            continue
        name = f"moving_{tube.name}"
        yield Body(
            name=name,
            part=f"tubes.{tube.key}",
            family="frame",
            shapes=tuple(_bars(name, tube, place.link(tube.link))),
            tubes=(),
            colour=tube.colour,
            drawn=False,
            touches=_joined(place, tube.link),
            note="the moving tube taken as round bars that hold it",
        )


def _bars(name: str, tube: Tube, mount: Mount) -> Iterator[Placed]:
    axis, section = tube.axis, tube.section
    for at, piece in zip(axis.starts, axis.pieces, strict=False):
        a, b = float(at), min(float(at) + piece.length, axis.length)
        cuts = [a, *(float(s) for s in section.s if a + 1e-6 < s < b - 1e-6), b]
        more = 0.0
        if isinstance(piece, Arc):
            count = int(np.ceil(np.degrees(piece.length / piece.radius) / PART))
            cuts = sorted({*cuts, *(float(s) for s in np.linspace(a, b, count + 1))})
        for low, high in pairwise(cuts):
            if high - low < 1e-6:
                continue
            if isinstance(piece, Arc):
                # How far an arc rises over its chord.
                half = (high - low) / piece.radius / 2
                more = piece.radius * (1 - float(np.cos(half)))
            radii = [float(max(section.radii_at(s))) + more for s in (low, high)]
            yield from rod(
                name, point(axis.at(low)), point(axis.at(high)), radii[0], mount, radii[1]
            ).shapes


def _joined(place: Place, link: str) -> tuple[str, ...]:
    """Tubes of the front frame that end on a pivot of the link."""
    linkage = place.layout.linkage
    points = () if linkage is None else linkage.bodies[link]
    found = []
    for tube in place.layout.tubes:
        spec = place.layout.spec.tubes[tube.key]
        if tube.link is None and any(
            j is not None and j.on in points for j in (spec.start, spec.end)
        ):
            found.append(tube.name)
    return tuple(found)
