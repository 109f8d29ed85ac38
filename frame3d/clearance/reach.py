"""Reach: how near a tube and a shape can come at all, by balls that hold them."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from frame3d.bodies.mounts import Mount
from frame3d.bodies.pose import Pose, matrices
from frame3d.bodies.shapes import Placed, Tubular
from frame3d.clearance.motion import Range

Array = NDArray[np.float64]

PLACES = 17
"""Over the rear travel, between which a ball's middle may stray by the way from one to the next."""


def reach(tubes: Sequence[Tubular], shapes: Sequence[Placed], ranges: Sequence[Range]) -> Array:
    """A lower bound of each tube's gap to each shape over all positions.

    Only where nothing but the rear travel moves the one against the other; elsewhere minus infinity.

    Args:
        tubes: of one body, so on one mount.
        shapes: of another.
        ranges: limits of the motions.

    Returns:
        (tubes, shapes) float [mm].
    """
    a, b = tubes[0].mount, shapes[0].mount
    names = set() if a.steps == b.steps else {s.name for s in (*a.steps, *b.steps)}
    moving = [r for r in ranges if r.name in names]
    if any(r.name != "rear" for r in moving):
        return np.full((len(tubes), len(shapes)), -np.inf)
    motion = _against(a, b, moving[0] if moving else None) if names else np.eye(4)[None]
    balls, others = (np.array([solid.ball for solid in solids]) for solids in (tubes, shapes))
    middles = balls[:, :3] @ motion[:, :3, :3].swapaxes(1, 2) + motion[:, None, :3, 3]
    apart = np.linalg.norm(middles[:, :, None] - others[:, :3], axis=-1).min(axis=0)
    # Between two places a middle strays by less than it moves from the one to the other.
    strays = np.linalg.norm(np.diff(middles, axis=0), axis=-1).max(axis=0, initial=0.0)
    bound: Array = apart - strays[:, None] - balls[:, 3:] - others[:, 3]
    return bound


@lru_cache(maxsize=512)
def _against(a: Mount, b: Mount, over: Range | None) -> Array:
    """The motion of what one mount carries, seen from another, at places over a range: (k, 4, 4)."""
    values = np.zeros(1) if over is None else np.linspace(over.low, over.high, PLACES)
    there, here = (matrices(mount, Pose(), "rear", values) for mount in (a, b))
    motion: Array = np.linalg.inv(here) @ there
    return motion
