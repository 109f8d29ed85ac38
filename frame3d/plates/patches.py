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
from frame3d.tubes.features.patches import Patch, thickened
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


def blank_of(patch: Patch, tube: Tube) -> Blank:
    """Return the blank of a patch.

    On a taper lengths around are those at the port's middle.
    """
    middle = thickened(tube, patch.thickness, 0.5)
    phi, s = on_tube(edge_points(patch.column, middle, count=AROUND), middle)
    at = patch.spot.s
    zero = float(on_tube(patch.spot.foot[None], middle)[0][0])
    phi = zero + (phi - zero + 180.0) % 360.0 - 180.0
    grid = np.linspace(phi.min(), phi.max(), FINE)
    along = _lengths(middle, grid, at)
    y = np.interp(phi, grid, along) - float(np.interp(zero, grid, along))
    edge = Path(tuple(fitted(np.stack([s - at, y], axis=1)))).anticlockwise()
    place = patch.spot
    plane = Plane(point(place.foot), point(place.along), point(place.around))
    half = max(float(tube.section.height_at(at)), float(tube.section.width_at(at))) / 2
    return Blank(Outline(edge), plane, _arcs(tube, grid, at) if tube.section.rounds else (half,))


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
