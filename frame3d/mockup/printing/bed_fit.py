"""Whether a part fits the bed, and the fault for those that do not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product
from typing import TYPE_CHECKING

import numpy as np

from frame3d.errors import Fault, MockupError, SourceLocation
from frame3d.geometry.arrays import Array
from frame3d.mockup.options import EDGE, Bed, Options
from frame3d.mockup.part import ModelPart
from frame3d.mockup.printing.nesting import TURNS
from frame3d.mockup.solid import X, Y, Z, axes, bounds

if TYPE_CHECKING:
    from manifold3d import Manifold


@dataclass(frozen=True, eq=False)
class Misfit:
    """A part that fits no plate."""

    name: str
    """Name of the part."""
    size: tuple[float, float, float]
    """Size of the piece that does not fit, along the model's axes [mm]."""
    over: float
    """By how much the piece is too large for the bed, approximately [mm]."""


def fits_somehow(part: ModelPart, bed: Bed) -> bool:
    """Return whether a part fits the bed at one of `TURNS`.

    It lies with its `down` on the plate, or, where it names none, with one of the bike's axes vertical.
    """
    points = np.asarray(part.solid.hull().to_mesh64().vert_properties)[:, :3]
    return overhang(points, bed, part.down) <= 0


def overhang(points: Array, bed: Bed, down: Array | None) -> float:
    """Return by how much points (n, 3) are too large for the bed in the best pose [mm].

    Negative where they fit. Poses as in `fits_somehow`, with `down` the direction that faces the plate.
    """
    turns = np.radians(TURNS)
    flat = np.stack([np.cos(turns), np.sin(turns)], axis=1)
    across = np.stack([-np.sin(turns), np.cos(turns)], axis=1)
    best = np.inf
    for way in (X, Y, Z) if down is None else (down,):
        own_points = points @ upright(way)
        x, y = (np.ptp(own_points[:, :2] @ side.T, axis=0) for side in (flat, across))
        height = float(np.ptp(own_points[:, 2])) - bed[2]
        sides = np.maximum(x - bed[0], y - bed[1]) + 2 * EDGE
        best = min(best, max(float(sides.min()), height))
    return best


def upright(z: Array) -> Array:
    """Return axes with z along a direction, as columns x, y, z: (3, 3)."""
    return axes(np.zeros(3), z, X if abs(z[0]) < 0.9 * float(np.linalg.norm(z)) else Y)[:, :3]


def misfit(name: str, solid: Manifold, bed: Bed, down: Array | None = None) -> Misfit:
    """Return the misfit of a solid that does not fit the bed."""
    box = bounds(solid)
    corners = np.array([[box[i, 0], box[j, 1], box[k, 2]] for i, j, k in product((0, 1), repeat=3)])
    size = box[1] - box[0]
    over = max(overhang(corners, bed, down), 1.0)
    return Misfit(name, (float(size[0]), float(size[1]), float(size[2])), over)


def too_large(misfits: Sequence[Misfit], options: Options) -> MockupError:
    """Return one error for all parts that fit no plate."""
    bed = options.bed
    names = ", ".join(
        f"{item.name.replace('_', ' ')} ({item.size[0]:.0f} x {item.size[1]:.0f} x "
        f"{item.size[2]:.0f} mm)"
        for item in misfits
    )
    more = max(item.over for item in misfits)
    return MockupError(
        Fault(
            "out-of-range",
            "",
            f"the bed leaves {bed[0] - 2 * EDGE:g} x {bed[1] - 2 * EDGE:g} x {bed[2]:g} mm, and no cut "
            f"makes these fit: {names}",
            f"a smaller scale than {options.ratio}, a bed larger by about {more:.0f} mm, or leave parts "
            "out with --with or --no-stand",
            SourceLocation("--bed " + "x".join(f"{side:g}" for side in bed)),
        )
    )
