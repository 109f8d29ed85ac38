"""A flat part's outline: its closed edge, round holes, slots and pockets, and what is wrong with it.

x to the right, y up, in the part's own plane; for a plate in the side view x is forward and y up. The
front face is the one that is seen so: of a plate in the side view the one nearer to the drive side.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations
from typing import Literal

from frame3d.geometry.arrays import Array
from frame3d.geometry.closed_path import TOUCH, XY, Path
from frame3d.geometry.disc_hull import Flat
from frame3d.geometry.plane_moments import Moments

Face = Literal["front", "back"]
OTHER: dict[Face, Face] = {"front": "back", "back": "front"}


@dataclass(frozen=True, slots=True)
class Hole:
    """A round hole through the part."""

    x: float
    y: float
    diameter: float
    fit: str = ""
    """Tolerance by ISO 286, e.g. ``H7``; empty for none."""
    thread: str = ""
    """Thread that is cut into it, e.g. ``M8``; empty for none. `diameter` is then that of the drill."""
    note: str = ""
    """What it is for, e.g. the bearing in it."""

    @property
    def at(self) -> XY:
        """Centre [mm]."""
        return self.x, self.y

    @property
    def path(self) -> Path:
        """Its rim."""
        return Path.circle(self.x, self.y, self.diameter)


@dataclass(frozen=True, slots=True)
class Slot:
    """A slot with round ends through the part."""

    x: float
    y: float
    """Its middle [mm]."""
    length: float
    """Over all, at least its width [mm]."""
    width: float
    angle: float = 0.0
    """Direction of its length from x, anticlockwise [degrees]."""
    note: str = ""

    @property
    def path(self) -> Path:
        """Its rim."""
        return Path.slot(self.x, self.y, self.length, self.width, self.angle)


@dataclass(frozen=True, slots=True)
class Pocket:
    """A recess of one depth in a face."""

    path: Path
    """Its rim, anticlockwise."""
    depth: float
    """[mm], less than the part's thickness."""
    face: Face = "front"
    note: str = ""


FlawKind = Literal["clockwise", "crossing", "edge", "overlap"]


@dataclass(frozen=True, slots=True)
class Flaw:
    """One thing that is wrong with an outline."""

    kind: FlawKind
    """``clockwise``: the outer edge runs the wrong way; ``crossing``: an edge crosses or touches itself;
    ``edge``: a hole, slot or pocket is not inside, or nearer to the edge than asked; ``overlap``: two of
    them are nearer to each other than asked."""
    message: str
    at: XY
    """Where [mm]."""
    of: tuple[str, ...] = ()
    """What it is about: ``outer``, ``holes.0``, ``slots.1``, ``pockets.0``."""
    gap: float = 0.0
    """Metal that is left there [mm], negative where there is none."""


@dataclass(frozen=True)
class Outline:
    """A flat part without its thickness."""

    outer: Path
    """Its edge, anticlockwise."""
    holes: tuple[Hole, ...] = ()
    slots: tuple[Slot, ...] = ()
    pockets: tuple[Pocket, ...] = ()

    @classmethod
    def of_flat(cls, flat: Flat, holes: Sequence[Hole] = ()) -> Outline:
        """Return the outline of a hull of discs, with holes."""
        return cls(Path.of_flat(flat), tuple(holes))

    @classmethod
    def rounded(
        cls, corners: Sequence[tuple[float, float, float]], holes: Sequence[Hole] = ()
    ) -> Outline:
        """Return a polygon with rounded corners (`Path.rounded`), in whichever sense they are given."""
        return cls(Path.rounded(corners).anticlockwise(), tuple(holes))

    @classmethod
    def ring(cls, x: float, y: float, od: float, bore: float) -> Outline:
        """Return a ring about (x, y) of two diameters [mm]."""
        return cls(Path.circle(x, y, od), (Hole(x, y, bore),))

    @cached_property
    def inner(self) -> tuple[Path, ...]:
        """Rims of the holes, then of the slots, anticlockwise."""
        return (*(hole.path for hole in self.holes), *(slot.path for slot in self.slots))

    @cached_property
    def moments(self) -> Moments:
        """Area, first and second moments of the face without holes and slots, in closed form."""
        total = self.outer.moments
        for path in self.inner:
            total = total + path.moments.times(-1.0)
        return total

    @property
    def area(self) -> float:
        """Area of the face without holes and slots; pockets count as whole [mm²]."""
        return self.moments.area

    @property
    def centroid(self) -> XY:
        """Centre of that area [mm]."""
        return self.moments.centroid

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Least x, least y, largest x, largest y [mm]."""
        return self.outer.bounds

    def volume(self, thickness: float) -> float:
        """Return the volume at a thickness [mm³]: without pockets, holes and slots."""
        taken = 0.0
        for pocket in self.pockets:
            bored = (rim for rim in self.inner if pocket.path.contains(rim.edges[0].start))
            taken += pocket.depth * (pocket.path.area - sum(rim.area for rim in bored))
        return self.area * thickness - taken

    def polygon(self, tolerance: float) -> tuple[Array, list[Array]]:
        """Return the edge and the rims of holes and slots as polygons, (n, 2) each [mm].

        Their corners lie on the outline; arcs are cut by at most `tolerance`.
        """
        return self.outer.points(tolerance), [path.points(tolerance) for path in self.inner]

    def moved(self, x: float = 0.0, y: float = 0.0, turn: float = 0.0) -> Outline:
        """Return the outline turned about the origin by `turn` [degrees], then shifted [mm]."""
        c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))

        def put(u: float, v: float) -> XY:
            return x + c * u - s * v, y + s * u + c * v

        def hole(one: Hole) -> Hole:
            u, v = put(one.x, one.y)
            return replace(one, x=u, y=v)

        def slot(one: Slot) -> Slot:
            u, v = put(one.x, one.y)
            return replace(one, x=u, y=v, angle=one.angle + turn)

        return Outline(
            self.outer.moved(x, y, turn),
            tuple(hole(one) for one in self.holes),
            tuple(slot(one) for one in self.slots),
            tuple(replace(one, path=one.path.moved(x, y, turn)) for one in self.pockets),
        )

    def mirrored(self) -> Outline:
        """Return the mirror image in the y axis; pockets stay in their face."""
        return Outline(
            self.outer.mirrored(),
            tuple(replace(one, x=-one.x + 0.0) for one in self.holes),
            tuple(replace(one, x=-one.x + 0.0, angle=-one.angle + 0.0) for one in self.slots),
            tuple(replace(one, path=one.path.mirrored()) for one in self.pockets),
        )

    def opposite(self) -> Outline:
        """Return the part of the bike's other side, in the same view: pockets change their face."""
        faces = tuple(replace(one, face=OTHER[one.face]) for one in self.pockets)
        return replace(self, pockets=faces)

    def turned_over(self) -> Outline:
        """Return the same part seen from its other face."""
        return self.mirrored().opposite()

    def wall(self, hole: Hole) -> float:
        """Return the least metal between a hole's rim and the outer edge [mm].

        Negative where the hole breaks the edge, or lies outside.
        """
        far = self.outer.distance(hole.at)
        return (far if self.outer.contains(hole.at) else -far) - hole.diameter / 2

    def flaws(self, wall: float = 0.0) -> tuple[Flaw, ...]:
        """Return all that is wrong with the outline.

        Args:
            wall: least metal that is asked for between holes, slots and the edge [mm]. Pockets only have
                to lie inside and beside the holes, slots and pockets of their face.
        """
        return tuple(self._edge_flaws()) or tuple(self._inner_flaws(wall))

    def _edge_flaws(self) -> Iterator[Flaw]:
        if self.outer.area <= 0:
            yield Flaw(
                "clockwise", "the edge runs clockwise", self.outer.edges[0].start, ("outer",)
            )
        for at in self.outer.crossings():
            said = f"the edge crosses or touches itself at {_place(at)}"
            yield Flaw("crossing", said, at, ("outer",))
        for i, pocket in enumerate(self.pockets):
            for at in pocket.path.crossings():
                said = f"its rim crosses or touches itself at {_place(at)}"
                yield Flaw("crossing", said, at, (f"pockets.{i}",))

    def _inner_flaws(self, wall: float) -> Iterator[Flaw]:
        rims = [(f"holes.{i}", one.path, wall) for i, one in enumerate(self.holes)]
        rims += [(f"slots.{i}", one.path, wall) for i, one in enumerate(self.slots)]
        deep = [(f"pockets.{i}", one.path, 0.0) for i, one in enumerate(self.pockets)]
        for name, path, least in (*rims, *deep):
            gap, at = self.outer.gap(path)
            if name.startswith("holes"):
                gap = self.wall(self.holes[int(name.removeprefix("holes."))])
            elif not self.outer.contains(path.edges[0].start):
                gap = -gap
            if gap < least - TOUCH or gap <= TOUCH:
                yield Flaw("edge", f"{_left(gap)} to the edge at {_place(at)}", at, (name,), gap)
        pairs = list(combinations(rims, 2)) + [(a, b) for a in deep for b in rims]
        pairs += [
            (deep[i], deep[j])
            for i, j in combinations(range(len(deep)), 2)
            if self.pockets[i].face == self.pockets[j].face
        ]
        for (one, a, _), (other, b, _) in pairs:
            least = 0.0 if one.startswith("pockets") else wall
            gap, at = a.gap(b)
            if a.contains(b.edges[0].start):
                if one.startswith("pockets") and not other.startswith("pockets") and gap > TOUCH:
                    continue  # a hole through the floor of a pocket
                gap = -gap
            elif b.contains(a.edges[0].start):
                gap = -gap
            if gap < least - TOUCH or gap <= TOUCH:
                said = f"{_left(gap)} between the two at {_place(at)}"
                yield Flaw("overlap", said, at, (one, other), gap)


def _place(at: XY) -> str:
    return f"{at[0]:.2f}, {at[1]:.2f}"


def _left(gap: float) -> str:
    """Return how much metal is left, as text."""
    return f"{gap:.2f} mm of metal" if gap > 0 else "no metal"
