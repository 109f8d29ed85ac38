r"""What falls off a tube that is wider than the target of its mitre: its metal behind the target.

The tube is cut along its edge (figure in `mitre`): to the target's near side where it meets that, square
at the long point where it passes it by. What would lie on the target's far side falls off::

      seen across both axes           seen along the target
         /  /                            ______________
     :  /  /___________                       ________|__  passes by
      \/  /    tube                      :::|( )
      /\ /                               :::|( ) ______    meets: cut to the near side
     /  /______________                  :::|(_)
       /                                 ______________|_  passes by
      target                            shadow

The solids, and masses without them, take it off by one box behind the target's axis.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from frame3d.geometry.arrays import Array, Mask
from frame3d.geometry.centreline import Centreline, Line
from frame3d.geometry.vector import Vector, cross, point, unit
from frame3d.tubes.cuts.mitre import MitreCut
from frame3d.tubes.cuts.straight_lines import Outside
from frame3d.tubes.tube import End, Tube

LEAST: Final = 0.1
"""How far metal goes past an end's point where there is a shadow at all [mm]."""
WITHIN: Final = 0.02
"""How much narrower than the target a shadow is on either side [mm], so that no face of the box lies on
the target's outside."""
MARGIN: Final = 2.0
"""How far a shadow reaches beyond the metal in it [mm]."""
SQUARE: Final = 0.9994
"""Least cosine of the angle between the line square to both axes and the target's height or width."""


@dataclass(frozen=True, slots=True)
class Shadow:
    """A box behind a target, along it."""

    target: str
    axis: Centreline
    """Middle of the box, straight."""
    height: tuple[float, float]
    """Size at start and end along the axis' height direction, see `Centreline.frame` [mm]."""
    width: tuple[float, float]
    """Size at start and end along its width direction [mm]."""

    def depth(self, points: Array) -> Array:
        """Return how far inside points lie: (n, 3) -> (n,) [mm]; negative outside."""
        start, t = self.axis.at(0.0), self.axis.tangent(0.0)
        up, across = self.axis.frame(0.0)
        d = points - start
        s = d @ t
        share = np.clip(s / self.axis.length, 0.0, 1.0)
        high, wide = (a + share * (b - a) for a, b in (self.height, self.width))
        aside = np.minimum(high / 2 - np.abs(d @ up), wide / 2 - np.abs(d @ across))
        return np.asarray(np.minimum(aside, np.minimum(s, self.axis.length - s)))

    def near(self, points: Array, within: float = 0.0) -> Mask:
        """Which points lie in it or `within` mm of it: (n, 3) -> (n,)."""
        return np.asarray(self.depth(points) >= -within)


def shadows(tube: Tube, bodies: Mapping[str, Outside]) -> tuple[Shadow, ...]:
    """Return the shadows of the targets that a tube is mitred to and passes by in part.

    None of a bent target, and none where the tube leaves the target neither in the plane of its height
    nor in that of its width.

    Args:
        tube: in place.
        bodies: what it may be mitred to, by name.
    """
    found = []
    ends: tuple[tuple[Literal["start", "end"], End], ...]
    ends = (("start", tube.start), ("end", tube.end))
    for at, end in ends:
        if end.cut != "mitre" or end.target is None or end.long_point > -LEAST:
            continue
        if end.target not in bodies:
            continue
        made = _shadow(MitreCut(tube, at, bodies[end.target]), end.target)
        if made is not None:
            found.append(made)
    return tuple(found)


def _shadow(cut: MitreCut, name: str) -> Shadow | None:
    target = cut.target
    phi, z = cut.coarse
    meets = ~np.isnan(z)
    if meets.all() or not target.axis.is_straight:
        return None
    t = target.axis.tangent(cut.where)
    square = unit(cross(cut.along, t))
    up, across = target.axis.frame(cut.where)
    behind = unit((cut.along @ t) * t - cut.along)
    sides = abs(float(square @ across)) > SQUARE
    if not sides and abs(float(square @ up)) < SQUARE:
        return None
    middle = target.axis.at(cut.where)
    low, high, far = _reach(cut, phi[meets], z[meets], (middle, t, behind))
    if far <= MARGIN:  # nothing is behind it
        return None
    ends = [middle + x * t + far / 2 * behind for x in (low, high)]
    sizes = [target.section.radii_at(cut.where + x)[1 if sides else 0] for x in (low, high)]
    narrow = (2 * float(sizes[0]) - 2 * WITHIN, 2 * float(sizes[1]) - 2 * WITHIN)
    axis = Centreline((Line(point(ends[0]), point(ends[1])),), target.axis.pitch)
    deep = (far, far)
    return Shadow(name, axis, deep if sides else narrow, narrow if sides else deep)


def _reach(
    cut: MitreCut, phi: Array, z: Array, frame: tuple[Vector, Vector, Vector]
) -> tuple[float, float, float]:
    """Return from where to where along the target, and how far behind its axis, metal would lie [mm].

    Args:
        cut: the mitre.
        phi: (n,) where it meets its target [degrees].
        z: (n,) its edge there [mm].
        frame: a point of the target's axis, its direction, and the direction behind it.
    """
    middle, t, behind = frame
    long = cut.extremes()[0]
    along = np.concatenate([long + share * (z - long) for share in (0.0, 0.5, 1.0)])
    metal = cut.surface(np.tile(phi, 3), along) - middle
    s, far = metal @ t, float((metal @ behind).max())
    return float(s.min()) - MARGIN, float(s.max()) + MARGIN, far + MARGIN
