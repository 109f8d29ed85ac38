"""Posts that carry a bike without wheels: columns that let it in from above and hold it below.

A post seen from the side, with a tube and a thinner bar in it. What is above the bike's underside is
taken away, and so is what would be left thinner than prints, here at the left edge:

      before                after
    .---------.
    | o  .-.  |                .--.
    |    | |  |            .   |  |
    |    '-'  |          __ '-'   |
    |         |         |         |
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

import numpy as np

from frame3d.mockup.drawing import Drawing
from frame3d.mockup.meeting import TURNING
from frame3d.mockup.options import THIN_WALL, Options
from frame3d.mockup.part import ModelPart
from frame3d.mockup.printing.check import CRUMB
from frame3d.mockup.solid import X, Y, Z, block, bounds, grown, hull, minus, pressed, together

if TYPE_CHECKING:
    from manifold3d import CrossSection, Manifold

POST: Final = 6.0
"""Half of a post's length along the bike [mm]."""
HUGS: Final = 4.0
"""Height of a post beside the part that it carries [mm]."""
RISE: Final = 27.0
"""Height of a frame's lowest point above the base, so that it clears the desk [mm]."""
MOVES: Final = (0.0, 4.0, -4.0, 8.0, -8.0, 12.0, -12.0)
"""Ways by which the posts are moved ahead, tried in turn [mm]."""
LOOSELY: Final = (
    "the stand's posts carry the bike without holding it to all sides, as no place for them does both: "
    "glue it to them"
)
STEP: Final = 0.25
"""Height of the layers in which a post is opened upward [mm]."""
SMOOTH: Final = 0.01
"""Details of the bike up to this are left out of its shadow [mm]."""
ASIDE: Final = 1.5
"""A bike that can be moved by this to a side is not held [mm]."""
TOP: Final = 2000.0
"""A height above everything [mm]."""


@dataclass(frozen=True, eq=False)
class Posts:
    """Two posts, and what the base below them needs to know [mm]."""

    solids: tuple[Manifold, Manifold]
    at: tuple[float, float]
    """Places of their middles along the bike."""
    half: float
    """Half of the wider one's width."""
    floor: float
    """Height of the base's upper face."""
    changes: tuple[str, ...] = ()
    """What was made otherwise than usual."""


@dataclass(frozen=True, eq=False)
class Load:
    """A bike to be carried by posts."""

    bike: Manifold
    """All of its parts."""
    turning: tuple[ModelPart, ...]
    """Those of them that rotate beside the frame about the bottom bracket."""
    half: float
    """Half of a post's width, more where the bike needs more [mm]."""
    floor: float
    """Height of the base's upper face [mm]."""
    options: Options


def posts_under(load: Load, centre: float) -> Posts:
    """Return a post on either side of a bike's centre of mass.

    Both are moved along the bike, by the least of `MOVES`, to where they hold it.

    Args:
        load: the bike to be carried.
        centre: place of the centre of mass along the bike [mm].
    """
    first = min(0.0, centre - POST)
    second = max(centre + 2.5 * POST, first + 5 * POST)
    found = None
    for move in MOVES:
        at = (first + move, second + move)
        halves = (_half(load, at[0]), _half(load, at[1]))
        solids = (_post(load, at[0], halves[0]), _post(load, at[1], halves[1]))
        tried = Posts(solids, at, max(halves), load.floor)
        if _holds(solids, load.bike):
            if move == 0.0:
                return tried
            told = (
                f"the stand's posts are {abs(move):g} mm further {'ahead' if move > 0 else 'back'} "
                "than usual, as they would not hold the bike there"
            )
            return replace(tried, changes=(told,))
        found = found or tried
    assert found is not None
    return replace(found, changes=(LOOSELY,))


def load_of(drawing: Drawing, parts: Sequence[ModelPart]) -> Load:
    """Return a bike to be carried by posts."""
    turning = tuple(p for p in parts if p.name.startswith(TURNING) and p.name != "crank_spindle")
    half = 0.75 * (60.0 if drawing.bike.shell is None else drawing.bike.shell.width / 2)
    half = max(half * drawing.scale * (0.5 if drawing.has("cranks") else 1.0), 3.0)
    lowest = min(float(bounds(part.solid)[0, 2]) for part in parts)
    bike = together(part.solid for part in parts)
    return Load(bike, turning, half, lowest - RISE, drawing.options)


def _post(load: Load, x: float, half: float) -> Manifold:
    """Return a post at x: one solid that the bike can be put into from above."""
    floor, fit = load.floor, load.options.fit
    lows = list(_lows(load, x))
    if not lows:
        return block((x - POST, -half, floor - 1.0), (x + POST, half, floor + 1.0))
    top = max(lows) + HUGS
    foot = [(x + i * (POST + 3), j * (half + 3), floor - 0.5) for i in (-1, 1) for j in (-1, 1)]
    waist = [(x + i * POST, j * half, floor + 3.0) for i in (-1, 1) for j in (-1, 1)]
    column = block((x - POST, -half, floor), (x + POST, half, top), 0.3)
    near = load.bike ^ block((x - POST - 1, -half - 1, floor), (x + POST + 1, half + 1, top + 1.0))
    shifts = [(fit, 0.0), (-fit, 0.0), (0.0, fit), (0.0, -fit)]
    around = together(near.translate((dx, dy, -0.02)) for dx, dy in shifts)
    taken = [around, *_opened(column, around, min(load.options.wall, THIN_WALL))]
    left = minus(together([hull(np.array(foot + waist)), column]), taken)
    return max(left.decompose(), key=lambda piece: float(piece.volume()))


def _holds(posts: Iterable[Manifold], bike: Manifold) -> bool:
    """Return whether a bike on posts can neither sink nor be pushed ahead, back or to a side."""
    stand = together(posts)
    moved = (bike.translate(tuple(ASIDE * way)) for way in (-Z, X, -X, Y, -Y))
    return all(float((there ^ stand).volume()) > CRUMB for there in moved)


def _lows(load: Load, x: float) -> Iterator[float]:
    """Yield the lowest points of the bike over a post at x: at its ends and its middle."""
    for at in (x - POST, x, x + POST):
        low, high = (at - 0.5, -load.half, load.floor), (at + 0.5, load.half, TOP)
        part = load.bike ^ block(low, high)
        if not part.is_empty():
            yield float(bounds(part)[0, 2])


def _half(load: Load, x: float) -> float:
    """Return half of a post's width: with a wall beside what it carries, but clear of what turns."""
    options, half = load.options, load.half
    lows = list(_lows(load, x)) or [load.floor]
    low, top = min(lows), max(lows) + HUGS
    near = load.bike ^ block((x - POST, -2 * half, low), (x + POST, 2 * half, top))
    sections = (near.slice(float(z)) for z in np.linspace(low, top, 10)[1:-1])
    boxes = [piece.bounds() for section in sections for piece in section.decompose()]
    sides = [max(-right, left) for _, right, _, left in boxes if right < 0 < left]
    # What is wider, such as a bottom bracket shell, goes across: the post holds what is beside it.
    wants = [side + options.fit + options.wall for side in sides if side <= half]
    free = TOP
    for part in load.turning:
        corners = np.asarray(part.solid.to_mesh64().vert_properties)[:, :3]
        if abs(x) - POST < np.hypot(corners[:, 0], corners[:, 2]).max():
            free = min(free, float(np.abs(corners[:, 1]).min()) - options.turn)
    return max(half, min(free, max(wants, default=half)))


def _opened(column: Manifold, around: Manifold, thin: float) -> Iterator[Manifold]:
    """Yield layers of what is above `around`, and of what would be left thinner than `thin` [mm]."""
    shape = around.as_original().simplify(SMOOTH)
    whole = column.project()
    low, top = float(bounds(around)[0, 2]), float(bounds(column)[1, 2])
    for z in np.arange(low, top, STEP):
        shadow = shape.trim_by_plane((0.0, 0.0, -1.0), -float(z)).project()
        left = whole - shadow
        taken = whole - (left ^ _without_thin(left, thin))
        if not taken.is_empty():
            yield pressed(grown(taken, 0.001), float(z), float(z) + STEP + 0.01)


def _without_thin(section: CrossSection, thin: float) -> CrossSection:
    """Return a section without what is thinner than `thin` [mm]."""
    return grown(grown(section, -thin / 2), thin / 2 + 0.002)
