"""Distance: the certified gap between a tube and a shape over every position they can take."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from frame3d.bodies.shapes import Placed, Tubular
from frame3d.clearance import kernels
from frame3d.clearance.motion import Motion, Range
from frame3d.clearance.pieces import Array, pieces_of, point_at
from frame3d.geometry.vector import Point, Vector, point

TOLERANCE: Final = 0.01
"""Default width of the certificate [mm]."""
LIMIT: Final = 4_000_000
"""Most boxes that one search may look at."""


@dataclass(frozen=True, slots=True)
class Gap:
    """The smallest distance found, with its certificate.

    Separate bodies: `gap` is the distance between the two points, and no position has a gap below
    `gap - error`. Overlapping ones: `gap` is negative, minus the depth: how far the tube's surface must
    move back along the shape's own normal at the deepest place. Where the tube's axis itself runs
    through the shape (`saturated`), the depth is no shift that would part the two, only the depth of
    that axis point plus the tube's radius.
    """

    gap: float
    error: float
    """The certificate: the true smallest value lies in [gap - error, gap] [mm]."""
    tube: str
    shape: str
    tube_point: Point
    """On the tube's surface, in the frame's axes, at the pose [mm]."""
    shape_point: Point
    """On the shape's surface, in the frame's axes, at the pose [mm]."""
    at: dict[str, float]
    """The pose: motion -> value [mm or degrees]."""
    saturated: bool
    boxes: int
    """How many boxes of positions were looked at."""


@dataclass(frozen=True, slots=True)
class Apart:
    """Known only to be further apart than `beyond`; the search stopped there."""

    tube: str
    shape: str
    beyond: float


def nearest(
    tube: Tubular,
    shape: Placed,
    ranges: Sequence[Range] = (),
    *,
    tolerance: float = TOLERANCE,
    cutoff: float | None = None,
) -> Gap | Apart:
    """Smallest gap between a tube and a shape over all positions.

    Args:
        tube: a tubular body.
        shape: a body with a closed-form signed distance.
        ranges: the motions that matter, each with its limits; others stand at 0.
        tolerance: width of the certificate [mm].
        cutoff: stop once every position is known to be further apart than this [mm].

    Raises:
        RuntimeError: the search needs more than `LIMIT` boxes.
    """
    motion = Motion(tube.mount, shape.mount, np.array(shape.origin), np.array(shape.axes), ranges)
    rows = pieces_of(tube.axis, tube.section)
    modes = _modes(rows, tube, tolerance)
    found = _search(rows, modes, shape, motion, tolerance, cutoff)
    end = _rounded_end(found[2], rows, modes, tube)
    if end is not None:
        # The nearest place lies at an end that is cut flat: search its surface and its cut face.
        for row, cap in _flat_rows(rows, tube):
            modes[row, kernels.CENTRE] = False
            modes[row, kernels.LATERAL] = True
            modes[row, cap] = True
        found = _search(rows, modes, shape, motion, tolerance, cutoff)
    value, bound, where, boxes = found
    if boxes >= LIMIT:
        raise RuntimeError(f"{tube.name} to {shape.name}: no certificate within {LIMIT} boxes")
    if cutoff is not None and bound > cutoff:
        return Apart(tube.name, shape.name, cutoff)
    return _result(tube, rows, shape, motion, value, bound, where, boxes)


def _search(
    rows: Array,
    modes: NDArray[np.bool_],
    shape: Placed,
    motion: Motion,
    tolerance: float,
    cutoff: float | None,
) -> tuple[float, float, Array, int]:
    value, bound, where, boxes = kernels.search(
        rows,
        modes,
        shape.shape.kind,
        shape.shape.numbers,
        motion.steps,
        motion.low,
        motion.high,
        tolerance,
        1e300 if cutoff is None else cutoff,
        LIMIT,
    )
    return float(value), float(bound), where, int(boxes)


def _modes(rows: Array, tube: Tubular, tolerance: float) -> NDArray[np.bool_]:
    """Round pieces by their axis where that is exact enough, others by their surface.

    Spheres along the axis miss at most r·r'²/2 of a tapering tube's outside where the taper begins, and
    r·r'²·(r/R)/2 where it also bends (R the bend radius): taken only below a twentieth of the tolerance.
    """
    slope = np.abs(rows[:, 13] - rows[:, 12]) / rows[:, 1]
    miss = np.maximum(rows[:, 12], rows[:, 13]) * slope**2 / 2
    by_axis = (rows[:, 19] == 1.0) & (miss <= tolerance / 20)
    modes = np.zeros((len(rows), 4), dtype=bool)
    modes[:, kernels.CENTRE] = by_axis
    modes[:, kernels.LATERAL] = ~by_axis
    for row, cap in _flat_rows(rows, tube):
        modes[row, cap] = not by_axis[row]
    return modes


def _flat_rows(rows: Array, tube: Tubular) -> list[tuple[int, int]]:
    """(row, mode) of each end that is cut flat."""
    out = []
    if tube.flat[0]:
        out.append((0, kernels.CAP_START))
    if tube.flat[1]:
        out.append((len(rows) - 1, kernels.CAP_END))
    return out


def _rounded_end(where: Array, rows: Array, modes: NDArray[np.bool_], tube: Tubular) -> int | None:
    """The row whose flat end the search rounded off, if the nearest place lies there."""
    row, mode, u = int(where[0]), int(where[1]), float(where[2])
    if mode != kernels.CENTRE:
        return None
    near = 0.05 + 1e-3 * float(rows[row, 12])
    if row == 0 and tube.flat[0] and u <= near:
        return row
    if row == len(rows) - 1 and tube.flat[1] and u >= rows[row, 1] - near:
        return row
    return None


def _signed(shape: Placed, p: Vector) -> tuple[float, Vector]:
    """Signed distance and outward normal at a point of the shape's own axes."""
    d, x, y, z, _ = kernels.signed(shape.shape.kind, shape.shape.numbers, p[0], p[1], p[2])
    return float(d), np.array([x, y, z])


def _result(
    tube: Tubular,
    rows: Array,
    shape: Placed,
    motion: Motion,
    value: float,
    bound: float,
    where: Array,
    boxes: int,
) -> Gap:
    pose = where[4 : 4 + len(motion.low)]
    on_axis, on_surface = point_at(
        rows, int(where[0]), int(where[1]), float(where[2]), float(where[3])
    )
    saturated = False
    if on_surface is None:
        d, normal = _signed(shape, motion.to_shape(on_axis, pose))
        saturated = d < 0
        radius = d - value
        on_surface = on_axis - radius * motion.turned_back(normal, pose)
    d, normal = _signed(shape, motion.to_shape(on_surface, pose))
    other = on_surface - d * motion.turned_back(normal, pose)
    return Gap(
        gap=value,
        error=max(value - bound, 0.0),
        tube=tube.name,
        shape=shape.name,
        tube_point=point(motion.to_frame(on_surface, pose)),
        shape_point=point(motion.to_frame(other, pose)),
        at={r.name: r.shown(float(q)) for r, q in zip(motion.ranges, pose, strict=True)},
        saturated=saturated,
        boxes=boxes,
    )
