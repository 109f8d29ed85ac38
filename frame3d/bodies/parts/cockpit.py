"""Outlines of stem, handlebar and brake levers."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from frame3d.bodies.body import PRACTICE, Absent, Body
from frame3d.bodies.forms import Form, pill, pills, rod, slab
from frame3d.bodies.placement import SIDES, Placement
from frame3d.geometry.vector import Point, Vector, point
from frame3d.parameters.models.cockpit import HandlebarSpec, StemSpec

BAR = 16.0
"""Radius of bar and grips [mm]; common practice, no source."""
STEERER, STEM = 18.0, 17.0
"""Radius of spacers and of the stem [mm]; common practice, no source."""
CLAMP, BEND = 40.0, 120.0
"""Half length of the bar's straight middle, and where a riser bar has risen [mm]; common practice, no
source."""
GRIP = 65.0
"""Distance of the grip's middle from the bar's end [mm]; common practice, no source."""
ROUNDING = 8.0


def cockpit(place: Placement) -> Iterator[Body | Absent]:
    """Yield stem with spacers, bar, and levers."""
    stem, bar = place.build.stem, place.build.handlebar
    if stem is None:
        yield Absent("stem", "build.stem")
    else:
        yield _stem(place, stem)
    if stem is None or bar is None or bar.width is None:
        needs = "build.stem" if stem is None else "build.handlebar.width"
        yield Absent("handlebar", needs)
        yield Absent("brake_lever", needs)
        return
    centre = clamp(place, stem)
    yield from _bar(place, bar, bar.width, centre)
    yield from _levers(place, bar, bar.width, centre)


def clamp(place: Placement, stem: StemSpec) -> Vector:
    """Return the middle of the bar's clamp: (3,) float [mm]."""
    headset = place.build.headset
    rise = (0.0 if headset is None else headset.upper_stack) + stem.spacers + stem.clamp_height / 2
    angle = np.radians(stem.angle)
    out = np.cos(angle) * place.ahead + np.sin(angle) * place.up
    return np.asarray(place.node("head_tube_top") + rise * place.up + stem.length * out)


def _stem(place: Placement, stem: StemSpec) -> Body:
    name = "stem"
    foot = place.node("head_tube_top")
    headset = place.build.headset
    rise = (0.0 if headset is None else headset.upper_stack) + stem.spacers
    form = rod(
        name,
        point(foot),
        point(foot + (rise + stem.clamp_height) * place.up),
        STEERER,
        place.steering,
    )
    if stem.length > 0:
        neck = foot + (rise + stem.clamp_height / 2) * place.up
        form += pill(name, point(neck), point(clamp(place, stem)), STEM, place.steering)
    return Body(
        name=name,
        part="build.stem",
        family="cockpit",
        shapes=form.shapes,
        tubes=form.tubes,
        colour="#26282c",
        touches=("head_tube",),
        note=f"stem's thickness: {PRACTICE}",
    )


def _bar(place: Placement, bar: HandlebarSpec, width: float, centre: Vector) -> Iterator[Body]:
    name = "handlebar"
    form = Form()
    for _, sign in SIDES:
        points = [point(centre), *_half(bar, width, centre, sign)]
        form += pills(name, points, BAR, place.steering)
    yield Body(
        name=name,
        part="build.handlebar",
        family="cockpit",
        shapes=form.shapes,
        tubes=form.tubes,
        colour="#26282c",
        note=f"bar's thickness and bends: {PRACTICE}",
    )


def _half(bar: HandlebarSpec, width: float, centre: Vector, sign: float) -> list[Point]:
    """Return the corners of one half of a bar from its clamp outward."""

    def at(forward: float, lateral: float, rise: float) -> Point:
        return point(centre + np.array([forward, sign * lateral, rise]))

    end = width / 2
    if bar.drop > 0:
        back = 0.4 * bar.forward
        return [
            at(0.0, end - 30, 0.0),
            at(bar.forward, end, bar.rise),
            at(bar.forward, end, -0.6 * bar.drop),
            at(back, end, -bar.drop),
            at(back - 60, end, -bar.drop),
        ]
    grip = end - GRIP
    bend = min(BEND, grip)
    slope = bar.forward / (grip - CLAMP)
    return [
        at(0.0, CLAMP, 0.0),
        at(slope * (bend - CLAMP), bend, bar.rise),
        at(slope * (end - BAR - CLAMP), end - BAR, bar.rise),
    ]


def _levers(
    place: Placement, bar: HandlebarSpec, width: float, centre: Vector
) -> Iterator[Body | Absent]:
    spec = bar.levers
    if spec is None:
        yield Absent("brake_lever", "build.handlebar.levers")
        return
    end, dropped = width / 2, bar.drop > 0
    span = (45.0 if dropped else 130.0) if spec.span is None else spec.span
    lateral = end if dropped else end - spec.from_end + span / 2
    forward = bar.forward
    if not dropped:
        forward *= (lateral - CLAMP) / (end - GRIP - CLAMP)
    turn = np.radians(spec.angle)
    x = np.array([np.cos(turn), 0.0, -np.sin(turn)])
    axes = (point(x), (0.0, 1.0, 0.0), point(np.array([-x[2], 0.0, x[0]])))
    rounding = min(ROUNDING, spec.thickness / 2, spec.reach / 2, span / 2)
    for side, sign in SIDES:
        name = f"brake_lever_{side}"
        at = centre + np.array([forward, sign * lateral, bar.rise]) + spec.reach / 2 * x
        size = (spec.reach, span, spec.thickness)
        form = slab(name, point(at), size, rounding, place.steering, axes, edges=True)
        yield Body(
            name=name,
            part="build.handlebar.levers",
            family="cockpit",
            shapes=form.shapes,
            tubes=form.tubes,
            colour="#3c4046",
            note=f"levers' outline: {PRACTICE}, where the file does not give it",
        )
