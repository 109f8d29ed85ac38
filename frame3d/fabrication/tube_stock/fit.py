r"""Whether a tube can be cut from a tube as sold, and where on it.

::

      as sold   |<-- cut -->|<------- the tube ------->|<-- cut -->|
                |            ____                  ____            |
      wall      |___________/    \________________/    \___________|     thick ends as sold
                |   butt    |left|                |left|   butt    |
                0         begin                      end        length

The outside has to be the same all along, the wall nowhere thinner than the file's, and its thickest and
thinnest the file's: butts may be longer than they are asked to be, walls may not be others.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.geometry.section import Section
from frame3d.parameters.models.shop.tube_stock import SoldButtsSpec, SoldTaperSpec, StockTubeSpec

OD_PLAY: Final = 0.1
"""Most that two outsides differ that count as one [mm]; common practice, no source."""
WALL_PLAY: Final = 0.02
"""Most that two walls differ that count as one [mm]; common practice, no source."""
PLACES: Final = 60
"""Evenly spread places on the tube as sold that are tried besides those where walls line up."""
Cause = Literal["material", "outside", "length", "wall"]
CAUSES: Final[tuple[Cause, ...]] = ("material", "outside", "length", "wall")
"""What is asked, one after the other."""


@dataclass(frozen=True, slots=True)
class Piece:
    """What is wanted: a tube's section between its long points."""

    section: Section
    low: float
    """s of the start's long point [mm]."""
    high: float
    """s of the end's long point [mm]."""
    material: str

    @property
    def length(self) -> float:
        """Cut length [mm]."""
        return self.high - self.low


@dataclass(frozen=True, slots=True)
class Fit:
    """A place on a tube as sold where the piece can be cut from."""

    begin: float
    """Cut off at the stock's start [mm]."""
    rest: float
    """Cut off at the stock's end [mm]."""
    turned: bool
    """Whether the piece's start lies toward the stock's end."""
    butts: tuple[float, float] | None
    """Thick wall left at the piece's start and end [mm]; None for a wall of one thickness."""
    thicker: float
    """Most that the wall is thicker than the file's anywhere [mm]."""
    excess: float
    """Length times thickness of wall that the file does not ask for [mm²]."""

    @property
    def waste(self) -> float:
        """Length that is left over where nothing else is cut from the same tube [mm]."""
        return self.begin + self.rest


@dataclass(frozen=True, slots=True)
class Misfit:
    """Why a piece cannot be cut from a tube as sold."""

    cause: Cause
    by: float
    """How far from fitting: in the cause's own unit, to tell which is nearest."""
    text: str
    """In words."""


def section_of(stock: StockTubeSpec) -> Section:
    """Return outside and wall of a tube as sold along its length."""
    length, ((h0, w0), (h1, w1)) = stock.length, stock.sizes
    after, until = 0.0, length
    if isinstance(stock.od, SoldTaperSpec):
        after = stock.od.after
        until = length if stock.od.over is None else after + stock.od.over
    walls: list[tuple[float, float]]
    if stock.wall == "solid":
        walls = [(0.0, 0.0), (length, 0.0)]
    elif isinstance(stock.wall, SoldButtsSpec):
        wall, taper = stock.wall, stock.wall.transition
        walls = [(0.0, wall.butted[0]), (wall.lengths[0], wall.butted[0])]
        walls.append((wall.lengths[0] + taper, wall.butted[1]))
        if len(wall.butted) == 3:
            last = length - wall.lengths[1]
            walls += [(last - taper, wall.butted[1]), (last, wall.butted[2])]
        walls.append((length, walls[-1][1]))
    else:
        walls = [(0.0, float(stock.wall)), (length, float(stock.wall))]
    wanted = sorted({0.0, length, after, until, *(s for s, _ in walls)})
    s = [x for i, x in enumerate(wanted) if i == 0 or x - wanted[i - 1] > 1e-6]
    ends, places = (after, until), np.array(s)
    return Section(
        tuple(s),
        tuple(np.interp(places, ends, (h0, h1)).tolist()),
        tuple(np.interp(places, ends, (w0, w1)).tolist()),
        tuple(np.interp(places, [x for x, _ in walls], [t for _, t in walls]).tolist()),
    )


def is_plain(section: Section) -> bool:
    """Return whether a tube is the same all along, so that it may be cut anywhere."""
    return section.is_straight_sided and float(np.ptp(section.wall)) < 1e-9


def fit(piece: Piece, stock: StockTubeSpec) -> Fit | Misfit:
    """Return where a piece is cut from a tube as sold with the least wall too many; or why it is not."""
    if stock.material != piece.material:
        return Misfit("material", 0.0, f"is of {stock.material}, not {piece.material}")
    sold, own = section_of(stock), piece.section
    if own.rounds:  # a shop's list holds round and oval tubes alone
        return Misfit("outside", np.inf, "is neither rectangular nor a D")
    if sold.is_solid != own.is_solid:
        return Misfit("outside", np.inf, f"is {'solid' if sold.is_solid else 'hollow'}")
    off = _outside_off(piece, sold)
    if off > OD_PLAY:
        return Misfit("outside", off, f"differs by {off:.2f} mm in its outside")
    if stock.length < piece.length - 1e-9:
        short = piece.length - stock.length
        return Misfit(
            "length",
            short,
            f"is {stock.length:g} mm long, {short:.1f} mm less than {piece.length:.1f}",
        )
    best: Fit | None = None
    nearest: Misfit | None = None
    for turned in (False, True):
        for shape in _shapes(sold, turned=turned):
            for begin in _places(piece, shape):
                found = _at(piece, shape, float(begin), turned=turned)
                if isinstance(found, Misfit):
                    if nearest is None or _rank(found) < _rank(nearest):
                        nearest = found
                elif best is None or (found.excess, found.begin) < (best.excess - 1e-6, best.begin):
                    best = found
    if best is not None:
        return best
    assert nearest is not None
    return nearest


def _rank(misfit: Misfit) -> tuple[int, float]:
    """Return how far from fitting it is, to sort by."""
    return -CAUSES.index(misfit.cause), misfit.by


def _outside_off(piece: Piece, sold: Section) -> float:
    """Return by how much the sizes of the piece reach beyond those of the tube as sold [mm].

    That is what no place on it can help; a size of one is told from all of the other.
    """
    s = _marks(piece.section.s, piece.low, piece.high)
    rows = []
    for height, width in ((sold.height, sold.width), (sold.width, sold.height)):
        worst = 0.0
        for own, there in (
            (piece.section.height_at(s), height),
            (piece.section.width_at(s), width),
        ):
            worst = max(worst, float(own.max() - max(there)), float(min(there) - own.min()))
        rows.append(worst)
    return min(rows)


def _shapes(sold: Section, *, turned: bool) -> Iterator[Section]:
    """Yield the tube as sold as it lies, and turned a quarter about its axis where that is another."""
    height, width, wall, s = sold.height, sold.width, sold.wall, sold.s
    if turned:
        height, width, wall = height[::-1], width[::-1], wall[::-1]
        s = tuple(sold.s[-1] - x for x in sold.s[::-1])
    yield Section(s, height, width, wall)
    if height != width:
        yield Section(s, width, height, wall)


def _marks(stations: tuple[float, ...], low: float, high: float) -> Array:
    """Return both ends of a stretch and the stations within it: (n,) [mm]."""
    return np.array([low, *(s for s in stations if low < s < high), high])


def _places(piece: Piece, sold: Section) -> Array:
    """Return where on the tube as sold the piece's start may be, (n,) [mm]: where corners line up."""
    room = sold.s[-1] - piece.length
    own = _marks(piece.section.s, piece.low, piece.high) - piece.low
    lined = (np.array(sold.s)[:, None] - own[None]).ravel()
    wanted = np.concatenate([lined, np.linspace(0.0, max(room, 0.0), PLACES)])
    return np.unique(np.round(wanted[(wanted >= 0.0) & (wanted <= room + 1e-9)], 6))


def _at(piece: Piece, sold: Section, begin: float, *, turned: bool) -> Fit | Misfit:
    """Return the fit of a piece that begins so far from an end of the tube as sold, or why it is none.

    Both are linear between their corners, so it is enough to look there.
    """
    own = piece.section
    corners = [s - begin + piece.low for s in sold.s]
    s = np.unique(_marks((*own.s, *corners), piece.low, piece.high))
    x = s - piece.low + begin
    off = float(
        np.maximum(
            np.abs(sold.height_at(x) - own.height_at(s)), np.abs(sold.width_at(x) - own.width_at(s))
        ).max()
    )
    if off > OD_PLAY:
        return Misfit("outside", off, f"differs by {off:.2f} mm in its outside at best")
    there, asked = sold.wall_at(x), own.wall_at(s)
    worst = int(np.argmin(there - asked))
    thin = float(asked[worst] - there[worst])
    if thin > WALL_PLAY:
        where = float(s[worst]) - piece.low
        return Misfit(
            "wall",
            thin,
            f"is {thin:.2f} mm too thin {where:.0f} mm from the start, wherever it is cut",
        )
    for which, a, b in (
        ("thinnest", float(there.min()), float(asked.min())),
        ("thickest", float(there.max()), float(asked.max())),
    ):
        if abs(a - b) > WALL_PLAY:
            return Misfit("wall", abs(a - b), f"is {a:.2f} mm where {which}, not {b:.2f}")
    over = there - asked
    return Fit(
        begin=sold.s[-1] - begin - piece.length if turned else begin,
        rest=begin if turned else sold.s[-1] - begin - piece.length,
        turned=turned,
        butts=_butts(sold, begin, begin + piece.length),
        thicker=max(0.0, float(over.max())),
        excess=float(np.trapezoid(np.maximum(over, 0.0), s)),
    )


def _butts(sold: Section, low: float, high: float) -> tuple[float, float] | None:
    """Return how far the wall stays as thick as it is at either end [mm]; None if it never changes."""
    s = _marks(sold.s, low, high)
    wall = sold.wall_at(s)
    if np.ptp(wall) < 1e-9:
        return None
    first = s[np.argmax(np.abs(wall - wall[0]) > 1e-9) - 1] - low
    last = high - s[::-1][np.argmax(np.abs(wall[::-1] - wall[-1]) > 1e-9) - 1]
    return float(first), float(last)
