"""The cockpit of a bike, and the sizes of stems and bars that are to be had for it."""

from __future__ import annotations

from frame3d.bike.bike import Bike
from frame3d.bike.steerer import steerer_of
from frame3d.parameters.models.cockpit import HandlebarSpec
from frame3d.ride.fit.cockpit import Cockpit, Front
from frame3d.ride.fit.offers import RISES, STEMS, STEP, SWEEPS, Sizes


def front_of(bike: Bike) -> Front | None:
    """Return what stem and bar of a bike are put on; None without a stem."""
    build, angle = bike.spec.build, bike.chart["head_tube_angle"]
    if build.stem is None:
        return None
    assert angle is not None
    x, _, z = bike.nodes["head_tube_top"]
    return Front(
        top=(x, z),
        angle=angle,
        upper_stack=0.0 if build.headset is None else build.headset.upper_stack,
        clamp_height=build.stem.clamp_height,
    )


def present_of(bike: Bike) -> Cockpit | None:
    """Return the stem, spacers and bar of a bike; a bar without sizes counts as straight."""
    stem, bar = bike.spec.build.stem, bike.spec.build.handlebar
    if stem is None:
        return None
    bar = HandlebarSpec(rises=None) if bar is None else bar
    return Cockpit(stem.length, stem.spacers, bar.rise, bar.forward, float(stem.angle))


def sizes_of(bike: Bike) -> Sizes:
    """Return the sizes that are to be had for a bike: the file's, else common ones, and its own.

    Of a drop bar the hands' place on it stays as it is, unless the file gives rises.
    """
    build = bike.spec.build
    stem = build.stem
    assert stem is not None
    bar = HandlebarSpec(rises=None) if build.handlebar is None else build.handlebar
    stems = STEMS if stem.lengths is None else stem.lengths
    dropped = bar.drop > 0
    rises = ((bar.rise,) if dropped else RISES) if bar.rises is None else bar.rises
    return Sizes(
        stems=_sorted(*stems, stem.length),
        stem_angles=tuple(dict.fromkeys((float(stem.angle), 0.0 - stem.angle))),
        rises=_sorted(*rises, bar.rise),
        forwards=(bar.forward,) if dropped else _sorted(*SWEEPS, bar.forward),
        spacer_step=STEP,
        most_spacers=most_spacers_of(bike),
    )


def most_spacers_of(bike: Bike) -> float | None:
    """Return how many spacers go under the stem, by the file or the steerer [mm]; None if unlimited.

    Zero where the steerer does not even hold the stem.
    """
    stem = bike.spec.build.stem
    assert stem is not None
    room = steerer_of(bike.spec, bike.nodes, bike.chart).most_spacers
    known = [one for one in (stem.most_spacers, room) if one is not None]
    return max(min(known), 0.0) if known else None


def _sorted(*values: float) -> tuple[float, ...]:
    return tuple(sorted(set(values)))
