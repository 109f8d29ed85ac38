r"""The edges of a tube's metal at its cuts, computed from the same cuts as its solid.

The tube's outside unrolled, with angle phi around it and distance s along its axis:

      s
      |      metal      .-.
      |                (   ) hole
      |  __             '-'            __
      |    `-.                      .-'    end's edge: the end's own cut (a mitre), and in
      |       `-._      ____     _.'       the middle another body around which it is coped
      |           `-.-'`    `'-'
      +----------------------------------- phi

A field is positive where a body takes metal away. Metal is where all fields are negative: that of the
end's own cut, mitre or square, and those of all other bodies that cut the tube.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final

import numpy as np

from frame3d.geometry.arrays import Array, Ints, Mask
from frame3d.tubes.cuts.contour import contours
from frame3d.tubes.cuts.mitre import Break, MitreCut, feather_of, level
from frame3d.tubes.cuts.overlap import TOUCH, Envelope, surface
from frame3d.tubes.cuts.pieces import grown, loose
from frame3d.tubes.cuts.shadow import shadows
from frame3d.tubes.frame import Frame
from frame3d.tubes.hardware import SHELL, Housing
from frame3d.tubes.tube import Shell, Tube

Edge = tuple[Array, Array, Ints]
"""Points of an edge: phi [degrees], s [mm], and the index of the field that is 0 there, (n,) each."""
Solid = Tube | Shell | Housing
Field = Callable[[Array, Array], Array]
"""(n,) phi [degrees], (n,) s [mm] -> (n,): positive where metal is taken away, 0 at its edge."""

AROUND: Final = 720
"""Number of points of an edge that only one body cuts."""
GRID: Final = 0.5
"""Step of the grid on which edges by several bodies are found [mm]; their points are then refined."""
STEEP: Final = 8
"""Number of finer steps on either side of a jump in a mitre's edge."""
NEAR: Final = 6.0
"""Cuts within this distance of an end's mitre belong to that end [mm]."""
COARSE: Final = (5.0, 1.5)
"""Grid around [degrees] and along [mm] on which footprints of bodies are found."""


@dataclass(frozen=True, slots=True)
class EdgeOutline:
    """One edge of the metal on the unrolled tube: once around the tube, or around a hole."""

    phi: Array
    """Angle around the tube, as `frame3d.tubes.cuts.mitre.Edge.phi`, without jumps, (n,) [degrees]."""
    s: Array
    """Distance along the axis from the tube's start, (n,) [mm]."""
    is_hole: bool


@dataclass(frozen=True, slots=True)
class EdgePlace:
    """A stretch of a tube where it is cut: an end, a hole between the ends, or all of it."""

    at: str
    """``start``, ``end``, ``hole``; ``whole`` for a short tube whose ends' cuts run into each other."""
    cutters: tuple[str, ...]
    """Bodies that cut the tube there, the end's own target first."""
    low: float
    """Lowest s of the cuts [mm]."""
    high: float
    """Highest s of the cuts [mm]."""


def bodies_of(frame: Frame) -> dict[str, Solid]:
    """Return all bodies that can cut a tube, by name."""
    found: dict[str, Solid] = {tube.name: tube for tube in frame.tubes}
    found |= {item.name: item for item in frame.pivots if isinstance(item, Housing)}
    if frame.shell is not None:
        found[SHELL] = frame.shell
    return found


def cut_lengths(frame: Frame) -> dict[str, float]:
    """Return `Cutting.cut_length` of every tube, by name [mm]."""
    bodies = bodies_of(frame)
    return {tube.name: Cutting(tube, bodies).cut_length for tube in frame.tubes}


class Cutting:
    """The cuts of one tube."""

    def __init__(self, tube: Tube, bodies: Mapping[str, Solid]) -> None:
        self.tube = tube
        self.length = tube.axis.length
        self._cuts: dict[str, MitreCut] = {}
        if tube.start.cut == "mitre" and tube.start.target is not None:
            self._cuts["start"] = MitreCut(tube, "start", bodies[tube.start.target])
        if tube.end.cut == "mitre" and tube.end.target is not None:
            self._cuts["end"] = MitreCut(tube, "end", bodies[tube.end.target])
        mitred = {end.target for end in (tube.start, tube.end) if end.cut == "mitre"}
        self._others = {
            name: _whole(bodies[name], name)
            for name in tube.cut_by
            if name not in mitred and name in bodies
        }
        self._shadows = shadows(tube, bodies)
        self._found: dict[tuple[EdgePlace, float], tuple[EdgeOutline, ...]] = {}
        self._coarse = self._coarse_places()

    @cached_property
    def places(self) -> tuple[EdgePlace, ...]:
        """The places where the tube is cut: its ends, then holes."""
        return tuple(self._exact(place) for place in self._coarse)

    @property
    def cut_length(self) -> float:
        """Length along the axis between the long points, with all cuts [mm]."""
        return self.long_point("end") - self.long_point("start")

    def place(self, at: str) -> EdgePlace:
        """Return the place that an end, ``start`` or ``end``, belongs to."""
        return next(place for place in self.places if place.at in (at, "whole"))

    def copes(self, at: str) -> tuple[str, ...]:
        """Return the bodies, other than a mitre's target, around which an end's metal is cut."""
        return tuple(name for name in self.place(at).cutters if name in self._others)

    def kind(self, at: str) -> str:
        """Return how an end is cut: ``mitre``, ``square``, or ``coped`` (square, then around a body)."""
        end = self.tube.start if at == "start" else self.tube.end
        return "coped" if end.cut == "square" and self.copes(at) else end.cut

    def feather(self, at: str, name: str) -> float:
        """Return the length of the feather edge that a body other than the mitre's target leaves [mm].

        See `frame3d.tubes.cuts.mitre.feather_of`.

        Args:
            at: the end, ``start`` or ``end``.
            name: the body, one of `copes`.
        """
        other, step = self._others[name], 0.05
        longest = 0.0
        for edge in self.outlines(self.place(at)):
            near = other.depth(surface(self.tube, edge.phi, edge.s))
            off = other.depth(surface(self.tube, edge.phi, edge.s + step))
            rise = np.where(np.abs(near) < 1e-3, (off - near) / step, np.nan)
            longest = max(longest, feather_of(edge.s, rise))
        return longest

    def cut_to(self, at: str) -> float:
        """Return the s to which an end is cut, with openings beside its edge [mm]."""
        place = self.place(at)
        if place.at == "whole":
            return self.reach(at)[1]
        return place.high if at == "start" else place.low

    def long_point(self, at: str) -> float:
        """Return s of an end's long point, with all cuts there [mm]."""
        place = self._coarse_place(at)
        if not self._is_cut_by_others(place) or self._keeps_long_point(at, place):
            return self._own_reach(at)[0]
        return self._reach(at, place)[0]

    def reach(self, at: str) -> tuple[float, float]:
        """Return s of an end's long point and of its short point, with all cuts there [mm].

        In a tube that keeps no full turn of metal, the start's short point is beyond the end's.
        """
        place = self._coarse_place(at)
        if not self._is_cut_by_others(place):
            return self._own_reach(at)
        return self.long_point(at), self._reach(at, place)[1]

    def _own_reach(self, at: str) -> tuple[float, float]:
        """Return s of the long point and of the short point of an end's own cut [mm]."""
        end = self.tube.start if at == "start" else self.tube.end
        first, last = end.long_point, end.short_point
        return (first, last) if at == "start" else (self.length - first, self.length - last)

    def _reach(self, at: str, place: EdgePlace) -> tuple[float, float]:
        """Return s of the long point and of the short point of an end's edge, as it is followed [mm]."""
        found = self.outlines(place)
        edges = [outline for outline in found if not outline.is_hole] or list(found[:1])
        if not edges:  # nothing is left of it, see `fabrication.pack.Maker.vanished`
            return (0.0, self.length) if at == "start" else (self.length, 0.0)
        if at == "start":
            s = min(edges, key=lambda outline: float(outline.s.mean())).s
            return float(s.min()), float(s.max())
        s = max(edges, key=lambda outline: float(outline.s.mean())).s
        return float(s.max()), float(s.min())

    def _keeps_long_point(self, at: str, place: EdgePlace) -> bool:
        """Return whether the metal at the long point of an end's own cut certainly remains.

        On a coarse grid, points are taken as metal only where other bodies are further away than
        neighbours are apart, so that metal between joined points is certain. The long point remains
        if it is joined to the far side of the place, or, in a short tube, to most of the metal.
        """
        around, along = COARSE
        fine: Array = np.arange(0.0, 360.0, 0.5)
        sign = 1.0 if at == "start" else -1.0
        edge = sign * self._end(at, fine, 0.0)
        tips = fine[edge < edge.min() + 1e-3]
        phi = np.union1d(np.arange(0.0, 360.0, around), tips[:: max(1, len(tips) // 16)])
        first = self._own_reach(at)[0]
        if place.at == "whole":
            far = self._own_reach("end" if at == "start" else "start")[0]
        else:
            far = place.high + NEAR if at == "start" else place.low - NEAR
        s = first + sign * np.arange(0.0, sign * (far - first) + along, along)
        turns, rows = np.repeat(phi, len(s)), np.tile(s, len(phi))
        low, high = (np.repeat(self._end(end, phi, 0.0), len(s)) for end in ("start", "end"))
        between = (rows > low - 1e-3) & (rows < high + 1e-3)
        points = surface(self.tube, turns, rows)
        depth = np.max([self._others[n].depth(points) for n in self._cutters(place)], axis=0)
        radius = self.tube.section.furthest
        apart = max(along, np.radians(around) * radius)
        shape = (len(phi), len(s))
        certain = (between & (depth < -apart)).reshape(shape)
        seed = np.zeros(shape, bool)
        seed[np.isin(phi, tips), 0] = True
        kept = grown(certain & seed, certain, around=0)
        if place.at == "whole":
            even = phi % around == 0
            left = (between & (depth < 0)).reshape(shape)
            return bool(2 * kept[even].sum() > left[even].sum())
        return bool(kept[:, -1].any())

    def is_metal(self, phi: Array, s: Array) -> Mask:
        """Return which points of the outside remain after all cuts: phi, s (n,) -> (n,) bool."""
        left = (s > self._end("start", phi, 0.0)) & (s < self._end("end", phi, 0.0))
        points = surface(self.tube, phi, s)
        for other in self._others.values():
            left &= other.depth(points) < 0
        return np.asarray(left)

    def is_metal_inside(self, u: Array, v: Array, s: Array) -> Mask:
        """Return which points inside a solid bar remain after all cuts, (n,) bool.

        Args:
            u: distance from the axis along the section's height, (n,) [mm].
            v: distance from the axis along its width, (n,) [mm].
            s: distance along the axis, (n,) [mm].
        """
        centre, up, across = self.tube.axis.frames(s)
        points = centre + u[:, None] * up + v[:, None] * across
        low = min(0.0, self.tube.start.long_point)
        high = self.length + max(0.0, -self.tube.end.long_point)
        left = (s >= low) & (s <= high)
        for cut in self._cuts.values():
            left &= level(cut.target, points)[0] > 0
        for other in self._others.values():
            left &= other.depth(points) < 0
        for shadow in self._shadows:
            left &= shadow.depth(points) < 0
        return np.asarray(left)

    def outlines(self, place: EdgePlace, depth: float = 0.0) -> tuple[EdgeOutline, ...]:
        """Return the edges of the metal at a place: first an end's edge, then holes.

        Args:
            place: one of `places`.
            depth: share of the wall: 0 outside, 1 inside.
        """
        key = (place, depth)
        if key not in self._found:
            self._found[key] = self._outlines(place, depth)
        return self._found[key]

    def _exact(self, place: EdgePlace) -> EdgePlace:
        """Return a place with exact `low` and `high`, where bodies besides the end's target cut."""
        if not self._is_cut_by_others(place):
            return place
        found = self.outlines(place)
        if not found:
            return place
        s = np.concatenate([outline.s for outline in found])
        exact = replace(place, low=float(s.min()), high=float(s.max()))
        self._found[(exact, 0.0)] = found
        return exact

    def _outlines(self, place: EdgePlace, depth: float) -> tuple[EdgeOutline, ...]:
        others = self._cutters(place)
        if place.at in ("hole", "whole"):
            return self._followed(place, others, depth)
        if not others:
            phi, s = self._cornered(place.at, AROUND, depth)
            return (EdgeOutline(phi, s, False),)
        return self._followed(place, others, depth)

    def _end(self, at: str, phi: Array, depth: float) -> Array:
        """Return s of an end's own cut (mitre or square) at each phi [mm]."""
        cut = self._cuts.get(at)
        z = np.zeros(len(phi)) if cut is None else cut.edge_z(phi, depth)
        return z if at == "start" else self.length - z

    def _cornered(self, at: str, count: int, depth: float) -> tuple[Array, Array]:
        """Return phi and s of an end's own cut, at `count` even steps of a full turn and at its jumps.

        At a jump, where a mitre breaks off into a square cut, the edge becomes vertical. Steps get
        smaller toward it, and both of its ends are included, at the same phi.
        """
        phi: Array = np.arange(count + 1, dtype=np.float64) * (360.0 / count)
        found = self._breaks(at, depth)
        near = 360.0 / count * np.arange(1, STEEP) ** 2 / STEEP**2
        steep = [b.phi + sign * near for b in found for sign in (-1.0, 1.0)]
        more = [x for x in np.concatenate([*steep, []]) if 0 < x < 360]
        phi = np.unique(np.concatenate([phi, more]))
        phi = phi[~np.isin(phi, [b.phi for b in found])]
        s = self._end(at, phi, depth)
        places = np.searchsorted(phi, np.repeat([b.phi for b in found], 2))
        corners = [z if at == "start" else self.length - z for b in found for z in b.z]
        return np.insert(phi, places, np.repeat([b.phi for b in found], 2)), np.insert(
            s, places, corners
        )

    def _made_exact(self, at: str, depth: float, which: int, edge: Edge) -> Edge:
        """Return an edge found on a grid with exact points of one end's own cut, the field `which`."""
        phi, s, active = edge
        own = active == which
        if not own.any():
            return edge
        exact = self._end(at, phi[own] % 360.0, depth)
        on_jump = np.abs(exact - s[own]) > GRID / 2
        s = s.copy()
        s[own] = np.where(on_jump, s[own], exact)
        return self._with_corners(at, depth, which, (phi, s, active))

    def _with_corners(self, at: str, depth: float, which: int, edge: Edge) -> Edge:
        """Return an edge found on a grid, with the jumps of one end's own cut (field `which`) added."""
        phi, s, active = edge
        for corner in self._breaks(at, depth):
            ends = [z if at == "start" else self.length - z for z in corner.z]
            for i in range(len(phi) - 1, 0, -1):
                low, high = sorted((phi[i - 1], phi[i]))
                x = _between(low, high, corner.phi)
                if x is None or active[i - 1] != which or active[i] != which:
                    continue
                order = ends if phi[i - 1] < phi[i] else ends[::-1]
                phi, s = np.insert(phi, i, [x, x]), np.insert(s, i, order)
                active = np.insert(active, i, [which, which])
        return phi, s, active

    def _breaks(self, at: str, depth: float) -> list[Break]:
        cut = self._cuts.get(at)
        return [] if cut is None else cut.breaks(depth)

    def _cutters(self, place: EdgePlace) -> list[str]:
        """Return the bodies besides the ends' targets that cut a place."""
        return [name for name in place.cutters if name in self._others]

    def _is_cut_by_others(self, place: EdgePlace) -> bool:
        return bool(self._cutters(place))

    def _coarse_place(self, at: str) -> EdgePlace:
        return next(place for place in self._coarse if place.at in (at, "whole"))

    def _coarse_places(self) -> tuple[EdgePlace, ...]:
        tube = self.tube
        low = {"start": tube.start.long_point, "end": self.length - tube.end.short_point}
        high = {"start": tube.start.short_point, "end": self.length - tube.end.long_point}
        names: dict[str, list[str]] = {
            "start": [t] if (t := tube.start.target) is not None else [],
            "end": [t] if (t := tube.end.target) is not None else [],
        }
        holes: list[EdgePlace] = []
        footprints, kept = self._footprints()
        for name, first, last in footprints:
            at_start = first < max(high["start"] + NEAR, kept[0])
            at_end = last > min(low["end"] - NEAR, kept[1])
            if at_start:
                if name not in names["start"]:
                    names["start"].append(name)
                high["start"] = max(high["start"], last)
            if at_end:
                if name not in names["end"]:
                    names["end"].append(name)
                low["end"] = min(low["end"], first)
            if not at_start and not at_end:
                holes.append(EdgePlace("hole", (name,), first, last))
        if high["start"] + NEAR > low["end"] - NEAR and names["start"] + names["end"]:
            every = tuple(dict.fromkeys([*names["start"], *names["end"]]))
            return (EdgePlace("whole", every, low["start"], high["end"]),)
        ends = [EdgePlace(at, tuple(names[at]), low[at], high[at]) for at in ("start", "end")]
        return (*ends, *holes)

    def _footprints(self) -> tuple[list[tuple[str, float, float]], tuple[float, float]]:
        """Return where other bodies cut what the ends' own cuts leave: name, first s, last s [mm].

        Also returns first and last s of the largest piece of metal that all of them leave: bodies that
        sever a tube belong to the end of it that falls off.
        """
        if not self._others:
            return [], (0.0, self.length)
        phi: Array = np.arange(0.0, 360.0, COARSE[0])
        ends = [self._end(at, phi, 0.0) for at in ("start", "end")]
        # Past the axis' ends, where a mitre misses its target in part.
        low, high = min(0.0, float(ends[0].min())), max(self.length, float(ends[1].max()))
        s: Array = np.arange(low, high, COARSE[1])
        turns, along = np.repeat(phi, len(s)), np.tile(s, len(phi))
        first, last = (np.repeat(end, len(s)) for end in ends)
        inside = (along > first) & (along < last)
        points = surface(self.tube, turns, along)
        found = []
        metal = inside.copy()
        for name, other in self._others.items():
            cut = inside & (other.depth(points) > TOUCH)
            metal &= ~cut
            hit = along[cut]
            if len(hit):
                found.append((name, float(hit.min()), float(hit.max())))
        grid = (len(phi), len(s))
        kept = (0.0, self.length)
        if metal.any() and (inside & ~metal).reshape(grid).any(axis=1).all():
            metal = metal.reshape(grid)
            left = along[(metal & ~loose(metal, np.ones(grid), around=0)).ravel()]
            kept = (float(left.min()), float(left.max()))
        return found, kept

    def _followed(
        self, place: EdgePlace, others: Sequence[str], depth: float
    ) -> tuple[EdgeOutline, ...]:
        """Return the edges at a place cut by several bodies, found on a grid and then refined."""
        ends = {"hole": (), "whole": ("start", "end")}.get(place.at, (place.at,))
        edges = [self._cornered(at, 1440, depth) for at in ends]

        def own(at: str, edge: tuple[Array, Array]) -> Field:
            sign = -1.0 if at == "end" else 1.0
            return lambda phi, s: sign * (np.interp(phi % 360.0, *edge) - s)

        def by(other: Envelope) -> Field:
            return lambda phi, s: other.depth(surface(self.tube, phi, s, depth))

        fields = [own(at, edge) for at, edge in zip(ends, edges, strict=True)]
        fields += [by(self._others[name]) for name in others]
        low = min([place.low - 4.0, *(float(edge.min()) - 2.0 for _, edge in edges)])
        high = max([place.high + 4.0, *(float(edge.max()) + 2.0 for _, edge in edges)])
        low, high = max(low, -200.0), min(high, self.length + 200.0)
        s = np.linspace(low, high, int(np.ceil((high - low) / GRID)) + 1)
        border = {"start": -1, "hole": -1, "end": 0}.get(place.at)
        outlines = []
        for phi, along, active, around in contours(fields, s, border):
            edge: Edge = (phi, along, active)
            for i, at in enumerate(ends):
                edge = self._made_exact(at, depth, i, edge)
            outlines.append(EdgeOutline(edge[0], edge[1], not around))
        return tuple(sorted(outlines, key=lambda outline: outline.is_hole))


def _between(low: float, high: float, x: float) -> float | None:
    """Return `x` plus full turns so that it is between two angles [degrees]; None if impossible."""
    x += 360.0 * np.ceil((low - x) / 360.0)
    return x if low < x < high else None


def _whole(body: Solid, name: str) -> Envelope:
    """Return a body's outside up to its long points, as it cuts other solids."""
    low, high = 0.0, body.axis.length
    if isinstance(body, Tube):
        low = min(low, body.start.long_point)
        high = max(high, high - body.end.long_point)
    return replace(Envelope.of(body, name), low=low, high=high)
