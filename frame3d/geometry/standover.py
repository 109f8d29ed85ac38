"""Standover over a top tube that is not straight: from the placed tube itself."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from frame3d.geometry.layout import Tube


def standover_of(tubes: Sequence[Tube], bb_height: float) -> float | None:
    """Ground to the upper edge of the tube named top_tube, at the middle of its axis [mm].

    Args:
        tubes: placed tubes.
        bb_height: bottom bracket above the ground [mm].

    Returns:
        None where no single tube has that name.
    """
    for tube in tubes:
        if tube.name == "top_tube":
            middle = tube.axis.length / 2
            level = float(np.hypot(*tube.axis.tangent(middle)[:2]))
            upper = float(tube.section.height_at(middle)) / 2 / max(level, 1e-9)
            return bb_height + float(tube.axis.at(middle)[2]) + upper
    return None
