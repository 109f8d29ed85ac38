"""The blank of a patch: its outline unrolled at the middle of its sheet, as it is cut before rolling."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.geometry.closed_path import Path
from frame3d.geometry.extrusion import Plane
from frame3d.geometry.outline import Outline
from frame3d.geometry.rounded import arc_shares
from frame3d.geometry.vector import point
from frame3d.plates.surface import fitted
from frame3d.tubes.features.edges import edge_points, on_tube
from frame3d.tubes.features.patches import Patch, stretch, thickened
from frame3d.tubes.features.stand import Spot, reach
from frame3d.tubes.tube import Tube

AROUND = 480
"""Points of the edge that are unrolled."""
FINE = 2001
"""Points around the section on which lengths around it are found."""


@dataclass(frozen=True)
class Blank:
    """A patch before it is rolled."""

    outline: Outline
    """x along the tube, y around it, from the port's middle; without the port's hole."""
    plane: Plane
    """Touching the tube there."""
    radii: tuple[float, ...]
    """Of the tube's outside under it, which it is rolled to [mm]; the larger one of an oval. Of a
    rectangle or a D those of the arcs that it reaches, none where it lies on a flat side."""
    stretch: float = 0.0
    """Share by which it is stretched or pressed together along the tube, where that bends."""


def blank_of(patch: Patch, tube: Tube) -> Blank:
    """Return the blank of a patch.

    On a taper lengths around are those at the port's middle. In a bend lengths along the tube are those
    on the line through the port's middle, which is as curved in the blank as it is on the tube.
    """
    middle = thickened(tube, patch.thickness, 0.5)
    phi, s = on_tube(edge_points(patch.column, middle, count=AROUND), middle)
    at = patch.spot.s
    zero = float(on_tube(patch.spot.foot[None], middle)[0][0])
    phi = zero + (phi - zero + 180.0) % 360.0 - 180.0
    grid = np.linspace(phi.min(), phi.max(), FINE)
    along = _lengths(middle, grid, at)
    y = np.interp(phi, grid, along) - float(np.interp(zero, grid, along))
    place = patch.spot
    flat = np.stack([s - at, y], axis=1) if tube.axis.is_straight else _curved(middle, place, s, y)
    edge = Path(tuple(fitted(flat))).anticlockwise()
    plane = Plane(point(place.foot), point(place.along), point(place.around))
    half = max(float(tube.section.height_at(at)), float(tube.section.width_at(at))) / 2
    radii = _arcs(tube, grid, at) if tube.section.rounds else (half,)
    return Blank(Outline(edge), plane, radii, stretch(middle, place, patch.column.diameter / 2))


def _curved(tube: Tube, place: Spot, s: Array, y: Array) -> Array:
    """Return where places of a bent tube's outside lie in the blank: (n, 2) [mm].

    Args:
        tube: with the middle of the patch's sheet as its outside.
        place: of the patch.
        s: along the axis, (n,) [mm].
        y: the way around the section from the line along the tube through the patch's middle [mm].
    """
    grid = np.union1d(np.linspace(float(s.min()), float(s.max()), FINE), [place.s])
    up, side = tube.axis.frame(place.s)
    _, ups, sides = tube.axis.frames(grid)
    bend = tube.axis.curvatures(grid)
    toward = [
        np.sum(bend * (float(way @ up) * ups + float(way @ side) * sides), axis=1)
        for way in (place.out, place.around)
    ]
    rate = 1 - reach(tube, place.axis, place.out) * toward[0]

    def summed(value: Array) -> Array:
        steps = np.diff(grid) * (value[1:] + value[:-1]) / 2
        whole = np.concatenate(([0.0], np.cumsum(steps)))
        return whole - float(np.interp(place.s, grid, whole))

    # The line turns toward larger y by what lengths there are less than on it.
    turn = summed(toward[1])
    line = [np.interp(s, grid, summed(rate * way(turn))) for way in (np.cos, np.sin)]
    own = np.interp(s, grid, turn)
    return np.stack([line[0] - y * np.sin(own), line[1] + y * np.cos(own)], axis=1)


def _arcs(tube: Tube, phi: Array, s: float) -> tuple[float, ...]:
    """Return the radii of a rounded outside's arcs that lie at any phi, each once [mm]."""
    there = np.full(1, s)
    (radii,) = tube.section.rounds_at(there)
    shares = arc_shares(*tube.section.radii_at(there), radii[None])
    quarter = np.floor(phi / 90.0).astype(np.int64)
    share, which = phi / 90.0 - quarter, quarter % 4
    on = (share > shares[0][0][which] + 1e-9) & (share < shares[1][0][which] - 1e-9)
    return tuple(dict.fromkeys(radii[which[on]].tolist()))


def _lengths(tube: Tube, phi: Array, s: float) -> Array:
    """Return the way around a section's outside up to each phi, from the first: (n,) [mm]."""
    u, v = tube.section.place(phi, np.array([s]))
    steps = np.hypot(np.diff(u), np.diff(v))
    return np.concatenate([[0.0], np.cumsum(steps)])
