"""A bike's tubes, shells and dropouts as parts and as one frame.

`make` needs the CAD kernel, which takes a second or more to load; it is loaded when first called.
"""

from __future__ import annotations

from collections.abc import Callable

from frame3d.bike.bike import Bike
from frame3d.solids.model import FrameModel, FramePart

__all__ = ["FrameModel", "FramePart", "make"]


def make(bike: Bike, progress: Callable[[str, float], None] | None = None) -> FrameModel:
    """The frame's solids; see `frame3d.solids.build_parts.make`.

    Raises:
        SolidError: parts that cannot be made.
    """
    from frame3d.solids import build_parts

    return build_parts.make(bike, progress)
