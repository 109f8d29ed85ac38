r"""Patches: a sheet rolled onto a tube around a port and joined to it, with the port through both.

Across the tube::

                 column   | hole |
                    |_____|      |_____|
               _.-'_|_____|      |_____|_'-._    patch, as thick as its sheet
             .'_.-'                      '-._'.  tube's wall

The patch is what lies between the tube's outside and one that is `thickness` further out, within a
column square to the tube: the port's outline, and `margin` more all round, as seen along the column.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.geometry.centreline import Centreline, Line
from frame3d.geometry.closed_path import Path
from frame3d.geometry.convex_hull import convex_hull
from frame3d.geometry.extrusion import Extrusion, Plane
from frame3d.geometry.vector import Vector, point
from frame3d.tubes.cuts.drilled import drilled
from frame3d.tubes.cuts.mitre import level
from frame3d.tubes.cuts.vents import Hole
from frame3d.tubes.features.edges import edge_points
from frame3d.tubes.features.feature import Feature
from frame3d.tubes.features.holes import OUT, holes
from frame3d.tubes.features.stand import Spot, root, spots
from frame3d.tubes.tube import Tube

STRETCH: Final = 0.05
"""By how much a patch's sheet may stretch where it is rolled onto a bend (our own choice)."""
ROUND: Final = 0.85
"""Largest share of half the tube that a patch may reach around it, as seen along its column."""


SLICES: Final = 10
"""Flat solids that hold a patch, along its tube."""
CHORDS: Final = 25
"""Points of the outside of one of them."""
CORNER: Final = 4
"""Times as many where the tube is a rectangle or a D, whose corners are sharper than any oval's."""
RING: Final = 240
"""Points of a patch's edge."""


@dataclass(frozen=True)
class Patch:
    """A patch on a tube."""

    name: str
    """With its side."""
    label: str
    spot: Spot
    thickness: float
    column: Hole
    """All that is over or under the patch, from the tube's axis on."""
    port: Hole
    over: Tube
    """The tube as if its wall were the patch: all of the patch is in that wall."""


def patches(feature: Feature, tube: Tube) -> tuple[Patch, ...]:
    """Return the patches around a feature's ports; none around anything else."""
    return tuple(_patches(feature, tube)) if feature.spec.patch is not None else ()


def _patches(feature: Feature, tube: Tube) -> Iterator[Patch]:
    spec = feature.spec
    assert spec.patch is not None
    turn, lean = np.radians(spec.turn or 0.0), np.radians(spec.lean or 0.0)
    longer = 1.0 / float(np.cos(lean))  # the port on the tube, along it
    length = spec.long * float(np.hypot(longer * np.cos(turn), np.sin(turn)))
    width = spec.wide * float(np.hypot(np.cos(turn), longer * np.sin(turn)))
    over = thickened(tube, spec.patch, 1.0)
    for label, place, port in zip(
        feature.labels, spots(feature, tube), holes(feature, tube), strict=True
    ):
        out = place.foot + (spec.patch + OUT) * place.out
        column = Hole(
            Centreline((Line(point(place.axis), point(out)),)),
            width + 2 * spec.margin,
            length + 2 * spec.margin,
            point(np.cos(turn) * place.along + np.sin(turn) * place.around),
        )
        yield Patch(feature.named(label), label, place, spec.patch, column, port, over)


def thickened(tube: Tube, thickness: float, share: float) -> Tube:
    """Return a tube whose outside lies a share of a patch's thickness outside, its wall that much."""
    by = share * thickness
    shape = tube.section
    count = len(shape.s)
    return replace(
        tube,
        section=replace(
            shape,
            height=tuple(h + 2 * by for h in shape.height),
            width=tuple(w + 2 * by for w in shape.width),
            wall=(by,) * count,
            rounds=tuple((a + by, b + by, c + by, d + by) for a, b, c, d in shape.rounds),
        ),
    )


def weighed(one: Patch) -> tuple[float, Array]:
    """Return volume [mm³] and first moment (3,) [mm⁴] of a patch."""
    volume, moment = drilled(one.column, one.over, (), ())
    gone, of_it = drilled(one.port, one.over, (), ())
    return volume - gone, moment - of_it


def slices(one: Patch) -> Iterator[Extrusion]:
    """Yield flat solids across the tube that together hold a patch and what of the tube is under it.

    Each holds the patch between two places along the tube: a convex figure, from its outside down to
    the chord between its sides, as wide as it is widest there. In a bend they stand square to the axis,
    and are as much thicker as they part on its outside.
    """
    column, place = one.column, one.spot
    points = edge_points(column, one.over, count=RING)
    along, aside = _laid_along(one, points)
    marks = np.linspace(along.min(), along.max(), SLICES + 1)
    axis = one.over.axis
    count = CHORDS * (CORNER if one.over.section.rounds else 1)
    for low, high in pairwise(marks.tolist()):
        wide = [aside[(along >= low) & (along <= high)]]
        for side in (aside >= 0, aside <= 0):
            order = np.argsort(along[side])
            wide.append(np.interp([low, high], along[side][order], aside[side][order]))
        every = np.concatenate(wide)
        x = np.linspace(every.min(), every.max(), count)
        top = np.max([_heights(one, x, s) for s in (low, (low + high) / 2, high)], axis=0)
        corners = convex_hull(np.column_stack([x, top]))
        middle, around, out = _stand(one, (low + high) / 2)
        bend = axis.curvatures(np.array([place.s + (low + high) / 2]))[0]
        half = (high - low) / 2 * (1 + float(np.linalg.norm(bend)) * one.over.section.furthest)
        plane = Plane(point(middle + place.radius * out), point(around), point(out))
        path = Path(tuple((u, v, 0.0) for u, v in corners.tolist()))
        yield Extrusion(path, plane, -half, half)


def _stand(one: Patch, s: float) -> tuple[Vector, Vector, Vector]:
    """Return the axis `s` further along than the patch's middle, and the ways around and out there."""
    place, axis = one.spot, one.over.axis
    if axis.is_straight:
        return place.axis + s * place.along, place.around, place.out
    before, after = axis.frame(place.s), axis.frame(place.s + s)
    around, out = (
        sum((float(way @ old) * new for old, new in zip(before, after, strict=True)), np.zeros(3))
        for way in (place.around, place.out)
    )
    return axis.at(place.s + s), around, out


def _laid_along(one: Patch, points: Array) -> tuple[Array, Array]:
    """Return how far points lie along the tube from a patch's middle, and aside: (n, 3) -> two (n,)."""
    place, axis = one.spot, one.over.axis
    if axis.is_straight:
        return (points - place.foot) @ place.along, (points - place.foot) @ place.around
    s, (up, side) = axis.nearest(points), axis.frame(place.s)
    centre, ups, sides = axis.frames(s)
    around = float(place.around @ up) * ups + float(place.around @ side) * sides
    return s - place.s, np.sum((points - centre) * around, axis=1)


def _heights(one: Patch, x: Array, s: float) -> Array:
    """Return how far a patch's outside is over the plane that touches the tube at its middle [mm].

    At places `x` aside and `s` further along; in a bend over the plane there.
    """
    place, tube = one.spot, one.over
    middle, around, out = _stand(one, s)
    starts = middle + x[:, None] * around
    most = np.full(len(x), 2 * tube.section.furthest + 1.0)
    far = root(lambda d: level(tube, starts + d[:, None] * out)[0], np.zeros(len(x)), most)
    return np.asarray(far - place.radius)


def stretch(tube: Tube, place: Spot, around: float) -> float:
    """Return by which share a sheet that is rolled onto a bend is stretched or pressed together.

    Along the tube, between its middle and its sides, `around` mm off it: a line along the outside is
    (1 - kappa q) as long as the axis, q its way toward the centre of the bend. What of that is linear in
    the way around the tube is in the blank's own outline, which curves; the rest is the stretch. 0 where
    the tube is straight.
    """
    bend = tube.axis.curvatures(np.array([place.s]))[0]
    if not bend.any():
        return 0.0
    x = np.linspace(-around, around, 33)
    starts = place.axis + x[:, None] * place.around
    most = np.full(len(x), 2 * tube.section.furthest + 1.0)
    far = root(lambda d: level(tube, starts + d[:, None] * place.out)[0], np.zeros(len(x)), most)
    lengths = 1 - (x[:, None] * place.around + far[:, None] * place.out) @ bend
    y = np.concatenate(([0.0], np.cumsum(np.hypot(np.diff(x), np.diff(far)))))
    middle = len(x) // 2
    even = lengths[middle] - float(bend @ place.around) * (y - y[middle])
    return float(np.abs(lengths / even - 1).max())


def half_size(feature: Feature) -> tuple[float, float]:
    """Return how much further than its port a patch reaches: along the tube and around it [mm]."""
    margin = feature.spec.margin if feature.spec.patch is not None else 0.0
    return margin, margin


def cannot_stand(feature: Feature, tube: Tube, along: float, around: float) -> str | None:
    """Return why a patch cannot be rolled onto its tube, as the end of a sentence; else None.

    Args:
        feature: the port.
        tube: its tube.
        along: half of what port and patch take along the tube [mm].
        around: the same around it, as seen along the column [mm].
    """
    if feature.spec.patch is None:
        return None
    for place in spots(feature, tube):
        for s in (place.s - along, place.s, place.s + along):
            most = stretch(tube, replace(place, s=s, axis=tube.axis.at(s)), around)
            if most > STRETCH:
                return (
                    f"its patch is rolled, and its tube bends there so tightly that the sheet would "
                    f"stretch by {100 * most:.1f} %: at most {100 * STRETCH:.0f}"
                )
    for s in feature.s:
        half = min(float(tube.section.height_at(s)), float(tube.section.width_at(s))) / 2
        if around > ROUND * half:
            return (
                f"its patch, {2 * around:.1f} mm across the tube, is wider than the tube allows there: "
                f"at most {2 * ROUND * half:.1f}"
            )
    return None
