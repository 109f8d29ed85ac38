"""Standover over a top tube that is not straight: from the placed tube itself."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from frame3d.geometry.layout import Tube


def standover_of(tubes: Sequence[Tube], bb_height: float, pitch: float = 0.0) -> float | None:
    """Ground to the upper edge of the tube named top_tube, at the middle of its axis [mm].

    Args:
        tubes: placed tubes.
        bb_height: bottom bracket above the ground [mm].
        pitch: of the frame against its drawn position, nose up positive [degrees].

    Returns:
        None where no single tube has that name.
    """
    for tube in tubes:
        if tube.name == "top_tube":
            middle = tube.axis.length / 2
            turn = np.radians(pitch)
            up = np.array([np.sin(turn), 0.0, np.cos(turn)])
            rise = float(tube.axis.tangent(middle) @ up)
            level = float(np.sqrt(max(1 - rise**2, 1e-18)))
            upper = float(tube.section.height_at(middle)) / 2 / level
            return bb_height + float(tube.axis.at(middle) @ up) + upper
    return None
