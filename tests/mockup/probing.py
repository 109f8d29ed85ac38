"""Walls of solids, probed by needles."""

from __future__ import annotations

from typing import Any

import numpy as np

from frame3d.mockup.drawing import Drawing
from frame3d.mockup.model import assembled
from frame3d.mockup.part import Array, ModelPart
from frame3d.mockup.solid import rod

CLOSE = 0.02
"""Facets of a hole may stand this far within it [mm]."""


def walls(solid: Any, start: Array, way: Array) -> list[float]:
    """Lengths of solid that a needle meets from a point along a unit direction [mm]."""
    needle = rod(start, start + 60.0 * way, 0.02)
    pieces = (solid ^ needle).decompose()
    ends = [np.asarray(p.to_mesh64().vert_properties)[:, :3] @ way for p in pieces]
    return [float(np.ptp(end)) for end in sorted(ends, key=lambda end: float(end.min()))]


def parts(drawn: Drawing) -> dict[str, ModelPart]:
    return {part.name: part for part in assembled(drawn).parts}
