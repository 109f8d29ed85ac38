"""One part of the frame as filled solids, what is taken out of it, and what cuts it.

An earlier body cuts a later tube in two ways (`SolidCut`)::

      by `tool`: the part alone            by `core`: the fused frame
        wall |#|                             wall |#|
             |#|========== later tube             |=|========== later tube: overlaps
             |#|                                  |#|           half the wall
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from frame3d.geometry.disc_hull import Flat
from frame3d.geometry.extrusion import Extrusion
from frame3d.parameters.models.tubes import Side
from frame3d.solids.slot import Slot
from frame3d.solids.sweep import Solid, Sweep
from frame3d.tubes.hardware import RACE_SEAT, STEERER

BREAK_THROUGH: Final = 1.0
"""How far a bore continues out of an open end, so that it surely breaks through [mm]."""


@dataclass(frozen=True, slots=True)
class SolidCut:
    """The outside of an earlier body, which cuts a later one."""

    body: str
    """Name of the body that cuts."""
    tool: tuple[Solid, ...]
    """Its outside, filled; extended beyond an end over which the tube that it cuts could hook."""
    core: tuple[Solid, ...]
    """The same, slimmer by half a wall all round: a tube is trimmed to this before it is fused, so
    that the two overlap within the wall and no two faces coincide."""


@dataclass(frozen=True, slots=True)
class SolidBody:
    """A part: the largest piece of metal - voids - holes - drills - cuts."""

    name: str
    """``down_tube``, ``chainstay_left``, ``bottom_bracket``, ``rear_dropout_left``"""
    key: str
    """Where it comes from in the parameter file: ``down_tube``, ``chainstay``, ``rear_dropout``."""
    path: str
    """Dotted path in the parameter file, for faults."""
    side: Side | None
    colour: str
    """#rrggbb"""
    material: str
    density: float
    """[g/cm³]"""
    metal: tuple[Solid, ...]
    """Its outside, filled: the union of these."""
    bore: Sweep | None
    """Bore of a tube or shell, on the axis of `metal[0]` and as long, so that both are made at once."""
    voids: tuple[Sweep, ...]
    """The bore and others; they continue a little out of open ends. Where a cut ends the tube they
    end with it, so that the wall beyond stays whole."""
    holes: tuple[Solid, ...]
    """Taken out of this body alone."""
    drills: tuple[Solid, ...]
    """Drilled through this body and through whatever else is fused there."""
    cuts: tuple[SolidCut, ...]
    link: str | None = None
    """Link of the rear suspension that it moves with; None on the front frame."""
    within: Solid | None = None
    """What of the metal lies outside of this is none of it; None where all is."""

    @property
    def own_voids(self) -> tuple[Sweep, ...]:
        """Voids of the part by itself, its bore open at both ends.

        In the frame, what closes an end stops the bore level with the metal. In the part alone that
        would leave a skin without thickness across its end.
        """
        if self.bore is None or not self.voids:
            return self.voids
        return (self.bore.extended(BREAK_THROUGH, BREAK_THROUGH), *self.voids[1:])


def mirrors(left: SolidBody, right: SolidBody) -> bool:
    """Return whether `right` is the mirror image of `left`, with its cuts and holes."""
    if left.density != right.density or left.colour != right.colour:
        return False
    pairs: list[tuple[tuple[Solid, ...], tuple[Solid, ...]]] = [
        (left.metal, right.metal),
        (left.voids, right.voids),
        (left.holes, right.holes),
        (left.drills, right.drills),
        *([((left.within,), (right.within,))] if left.within and right.within else []),
        (
            tuple(s for cut in left.cuts for s in cut.tool),
            tuple(s for cut in right.cuts for s in cut.tool),
        ),
    ]
    return all(_same_set(tuple(s.mirrored() for s in a), b) for a, b in pairs)


def skin(body: SolidBody) -> float:
    """Return how much slimmer across the core of a cut is than the body [mm].

    That is the body's thinnest wall, i.e. half of it on each side, or a quarter of a bar's size.
    """
    sizes: list[float] = []
    for outer in body.metal:
        if isinstance(outer, Flat | Extrusion):
            sizes.append(outer.thickness / 2)
            continue
        if isinstance(outer, Slot):
            sizes.append(outer.width / 2)
            continue
        thin = min(*outer.height, *outer.width)
        for void in body.voids:
            if void.axis.is_straight == outer.axis.is_straight:
                sizes += [
                    float(np.interp(x, outer.s, outer.height)) - h
                    for x, h in zip(void.s, void.height, strict=True)
                ]
        sizes.append(thin / 2)
    return max(min(sizes) / 2, 0.05)


def pieces(bodies: Sequence[SolidBody]) -> tuple[tuple[str, ...], ...]:
    """Return names of the parts that are connected, piece by piece; a whole frame is one piece.

    Parts are connected where one cuts the other, which is so wherever they touch; but for a fork's race
    seat, through which the steerer goes.
    """
    group = {body.name: {body.name} for body in bodies}
    for body in bodies:
        others = [cut.body for cut in body.cuts]
        if body.name == RACE_SEAT:
            others.append(STEERER)
        for other in others:
            joined = group[body.name] | group[other]
            for name in joined:
                group[name] = joined
    found: list[tuple[str, ...]] = []
    for body in bodies:
        names = tuple(other.name for other in bodies if other.name in group[body.name])
        if names not in found:
            found.append(names)
    return tuple(found)


def _same_set(a: tuple[Solid, ...], b: tuple[Solid, ...]) -> bool:
    """Return whether both hold the same solids, in any order."""
    if len(a) != len(b):
        return False
    rest = list(b)
    for sweep in a:
        for other in rest:
            if sweep.is_same(other):
                rest.remove(other)
                break
        else:
            return False
    return True
