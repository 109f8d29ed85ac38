r"""One load case as a picture: supports, load, and the frame as it bends, exaggerated.

Seen from the drive side, from ahead and above, so that sideways motion shows::

      v
      |     / y (left, away)
      |   /
      | /________ u, x forward
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.report.drawing.sheet import XZ, SvgDrawing
from frame3d.report.markup import Markup
from frame3d.report.texts import Texts
from frame3d.stiffness.load_cases import CUPS, Force, LoadCase
from frame3d.stiffness.of_bike import CaseResult, Stiffness

AROUND, ABOVE = math.radians(32), math.radians(18)
"""Turn of the view about the vertical, and above the horizon [rad]."""
DRAWN = 70.0
"""The largest displacement as drawn [mm]."""
STEPS = (0.05, 0.15, 0.30, 0.50)
"""Shares of the strain energy at which a tube's colour changes."""
SIZE = 40.0
"""Height of signs [mm]."""
ARROW = 150.0
"""Length of a load's arrow [mm]."""


def picture(stiffness: Stiffness, one: CaseResult, texts: Texts) -> tuple[Markup, float]:
    """Return the picture of a load case, and how many times as large displacements are drawn."""
    case = one.case
    shapes = stiffness.shape(case.key)
    keys = {joined.beam.name: joined.beam.key for joined in stiffness.model.structure.beams}
    scale = times_drawn(moved for _, moved in shapes.values())
    sheet = SvgDrawing(SIZE)
    for at, _ in shapes.values():
        sheet.path([_seen(_thinned(at))], "still", closed=False)
    for name, (at, moved) in shapes.items():
        step = share_step(one.energy.get(keys[name], 0.0))
        sheet.path([_seen(_thinned(at + scale * moved))], f"bent share-{step}", closed=False)
    places = {name: np.array(spot.at) for name, spot in stiffness.spots.items()}
    for place in supports(case, places):
        _support(sheet, place)
    for foot, tip in arrows(case, places):
        _arrow(sheet, foot, tip)
    reached = np.array(sheet.reached)
    low, high = reached.min(axis=0) - SIZE, reached.max(axis=0) + SIZE
    label = texts("stiffness.picture.label", title=case.title, held=case.held, loaded=case.loaded)
    return sheet.svg((low[0], low[1]), (high[0], high[1]), label), scale


def times_drawn(moved: Iterable[Array]) -> float:
    """Return how many times as large displacements (n, 3) are drawn: the largest is `DRAWN`."""
    return DRAWN / max(float(np.linalg.norm(one, axis=1).max()) for one in moved)


def share_step(share: float) -> int:
    """Return the step of colour, 0 to 4, of a share of the strain energy."""
    return sum(share >= step for step in STEPS)


def _seen(at: Array) -> list[XZ]:
    """Return points as they are seen, in mm of the picture."""
    x, y, z = np.atleast_2d(at).T
    u = x * math.cos(AROUND) + y * math.sin(AROUND)
    deep = y * math.cos(AROUND) - x * math.sin(AROUND)
    v = z * math.cos(ABOVE) + deep * math.sin(ABOVE)
    return [(round(float(a), 1), round(float(b), 1)) for a, b in zip(u, v, strict=True)]


def _thinned(at: Array) -> Array:
    """Return about a dozen of the points along a tube, its ends among them."""
    some: Array = at[np.unique(np.linspace(0, len(at) - 1, 13).round().astype(int))]
    return some


def supports(case: LoadCase, places: Mapping[str, Array]) -> Iterator[Array]:
    """Yield the places (3,) that are held, by where the load case's places are (3,) each [mm]."""
    for name, ways, axes in case.supports:
        if ways or axes:
            yield places[name]


def _support(sheet: SvgDrawing, place: Array) -> None:
    """Draw the sign of a support: a triangle below its place, on a line."""
    ((u, v),) = _seen(place)
    half, deep = 0.6 * SIZE, SIZE
    corners = [(u, v), (u - half, v - deep), (u + half, v - deep)]
    sheet.path([corners], "held", closed=True)
    sheet.line((u - 1.4 * half, v - deep), (u + 1.4 * half, v - deep), "held")


def arrows(case: LoadCase, places: Mapping[str, Array]) -> Iterator[tuple[Array, Array]]:
    """Yield the arrows of a load, from foot to tip (3,) each, by where its places are [mm].

    A couple on the cups is two; another turns about its place.
    """
    for force in case.forces:
        yield from _arrows(force, places)


def _arrows(force: Force, places: Mapping[str, Array]) -> Iterator[tuple[Array, Array]]:
    if force.spot == CUPS:
        for cup, sign in (("head_tube_top", -1.0), ("head_tube_bottom", 1.0)):
            at = places[cup]
            yield at, at + np.array([0.0, sign * ARROW, 0.0])
        return
    at = places[force.spot]
    if not force.turns:
        yield at, at + ARROW * np.array(force.way)
        return
    # A couple about x: up on one side, down on the other, as two arrows beside its place.
    side = np.array([0.0, 0.5 * ARROW, 0.0])
    up = np.cross(np.array(force.way), side)
    yield at + side, at + side + up
    yield at - side, at - side - up


def _arrow(sheet: SvgDrawing, foot: Array, tip: Array) -> None:
    """Draw an arrow."""
    (a,), (b,) = _seen(foot), _seen(tip)
    way = np.array(b) - np.array(a)
    length = float(np.hypot(*way))
    if length < 1e-6:
        return
    t, n = way / length, np.array([-way[1], way[0]]) / length
    back = np.array(b) - 0.8 * SIZE * t
    left, right = back + 0.3 * SIZE * n, back - 0.3 * SIZE * n
    sheet.line(a, (float(back[0]), float(back[1])), "load")
    head = [b, (float(left[0]), float(left[1])), (float(right[0]), float(right[1]))]
    sheet.path([head], "load-head", closed=True)
