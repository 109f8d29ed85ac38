"""The cockpit: stem and bar in one piece, with a keyed hole for the steerer."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from frame3d.bodies.parts.cockpit import BAR, CLAMP, GRIP, clamp
from frame3d.geometry.arrays import Array
from frame3d.geometry.centreline import BendError, Centreline
from frame3d.geometry.vector import Point, point
from frame3d.mockup.drawing import BLACK, STEM, Drawing
from frame3d.mockup.interfaces import AIR, steerer, steerer_end, stem_top
from frame3d.mockup.part import Joint, Limb, Made, ModelPart
from frame3d.mockup.solid import Y, minus, pipe, rod, together

if TYPE_CHECKING:
    from manifold3d import Manifold

NECK: Final = 15.0
"""Radius of a stem between its clamps [mm of the bike]; common practice, no source."""
CLAMPED: Final = 23.0
"""Radius of the stem around the bar [mm of the bike]; common practice, no source."""
MIDDLE: Final = 11.1
"""Radius of a bar beside its grips [mm of the bike]; common practice, no source."""
GRIPPED: Final = 135.0
"""Length of a grip [mm of the bike]; common practice, no source."""
BENT: Final = 45.0
"""Radius of a bar's bends [mm of the bike]; common practice, no source."""


def cockpit(drawing: Drawing) -> Made:
    """Return stem and bar as one part."""
    build, scale, options = drawing.bike.spec.build, drawing.scale, drawing.options
    assert build.stem is not None
    up = drawing.place.up
    radius = (
        drawing.least("cockpit", "stem's diameter", STEM, drawing.steerer_pin + 2 * drawing.around)
        / 2
    )
    race, top = drawing.node("crown_race"), stem_top(drawing)
    foot = drawing.node("head_tube_top")
    headset = build.headset
    stack = 0.0 if headset is None else headset.upper_stack * scale
    low = float((foot - race) @ up) + max(stack, AIR)
    pieces = [rod(race + low * up, race + top * up, radius)]
    centre = scale * clamp(drawing.place, build.stem)
    neck = foot + (stack + (build.stem.spacers + build.stem.clamp_height / 2) * scale) * up
    if build.stem.length > 0:
        thick = drawing.least("cockpit", "stem's thickness", 2 * NECK, drawing.rod("cockpit"))
        pieces.append(rod(neck, centre, thick / 2))
    around = (
        drawing.least("cockpit", "bar clamp's diameter", 2 * CLAMPED, drawing.rod("cockpit")) / 2
    )
    half = 20.0 * scale
    pieces.append(rod(centre - half * Y, centre + half * Y, around))
    limbs: list[Limb] = []
    if build.handlebar is not None and build.handlebar.width is not None:
        for sign in (1.0, -1.0):
            bar, limb = _half(drawing, centre, sign)
            pieces.append(bar)
            limbs.append(limb)
        # The bar's ends are cut at its full width, normal to y.
        wide = build.handlebar.width / 2 * scale
        pieces = [together(pieces).trim_by_plane((0.0, -1.0, 0.0), -wide)]
        pieces = [pieces[0].trim_by_plane((0.0, 1.0, 0.0), -wide)]
    hole = steerer(drawing).hole(low - 1.0, top - options.wall, options.fit)
    end = steerer_end(drawing)
    joint = Joint(
        kind="fixed",
        peg="steerer",
        hole="cockpit",
        at=race + (low + end) / 2 * up,
        along=up,
        diameter=drawing.steerer_pin,
        depth=end - low,
        clearance=options.fit,
    )
    solid = minus(together(pieces), [hole])
    return Made((ModelPart("cockpit", BLACK, solid, tuple(limbs), anywhere=True),), (joint,))


def _half(drawing: Drawing, centre: Array, sign: float) -> tuple[Manifold, Limb]:
    """Return one half of the bar from the clamp outward, thicker at the grip, and its limb."""
    scale = drawing.scale
    axis = _axis(drawing, centre, sign)
    if sign > 0:
        thin = drawing.least("cockpit", "bar's diameter", 2 * MIDDLE, drawing.rod("cockpit"))
        thick = drawing.least("cockpit", "grip's diameter", 2 * BAR, drawing.rod("cockpit"))
    else:
        thin, thick = (max(2 * r * scale, drawing.rod("cockpit")) for r in (MIDDLE, BAR))
    length = axis.length
    grip = max(length - GRIPPED * scale, 0.5 * length)
    bevel = min(0.8, thick / 4)
    s = (0.0, grip - bevel, grip, length - bevel, length)
    radius = (thin / 2, thin / 2, thick / 2, thick / 2, thick / 2 - bevel)
    steps = np.linspace(CLAMP * scale, length - 2.0, 100)
    limb = Limb(axis.points(steps), np.interp(steps, s, radius))
    return pipe(axis, s, radius), limb


def _axis(drawing: Drawing, centre: Array, sign: float) -> Centreline:
    """Return the axis of one half of the bar, with bends of the largest radius that fits."""
    corners = _corners(drawing, centre, sign)
    radius = BENT * drawing.scale
    for _ in range(8):
        try:
            return Centreline.through(tuple(corners), (radius,) * (len(corners) - 2))
        except BendError:
            radius *= 0.6
    return Centreline.through(tuple(corners), (1e-3,) * (len(corners) - 2))


def _corners(drawing: Drawing, centre: Array, sign: float) -> list[Point]:
    bar, scale = drawing.bike.spec.build.handlebar, drawing.scale
    assert bar is not None
    assert bar.width is not None

    def at(forward: float, lateral: float, rise: float) -> Point:
        return point(centre + scale * np.array([forward, sign * lateral, rise]))

    end = bar.width / 2
    if bar.drop > 0:
        back = 0.4 * bar.forward
        lateral = end - BAR
        return [
            at(0.0, 0.0, 0.0),
            at(0.0, lateral, 0.0),
            at(bar.forward, lateral, bar.rise),
            at(bar.forward, lateral, -0.6 * bar.drop),
            at(back, lateral, -bar.drop),
            at(back - 60, lateral, -bar.drop),
        ]
    grip = end - GRIP
    bend = min(120.0, grip)
    slope = bar.forward / (grip - CLAMP)
    found = [at(0.0, 0.0, 0.0), at(0.0, CLAMP, 0.0)]
    if bar.rise != 0 or bar.forward != 0:
        found.append(at(slope * (bend - CLAMP), bend, bar.rise))
    found.append(at(slope * (end - CLAMP), end, bar.rise))
    return found
