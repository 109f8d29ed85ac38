"""Solids of a bike's frame: its parts, and the whole frame as one solid.

`make` needs the CAD kernel, which takes a second or more to load; it is loaded when first called.
"""

from __future__ import annotations

from collections.abc import Callable

from frame3d.bike.bike import Bike
from frame3d.solids.model import FrameModel, FramePart

__all__ = ["FrameModel", "FramePart", "make"]


def make(bike: Bike, progress: Callable[[str, float], None] | None = None) -> FrameModel:
    """Return the frame's solids; see `frame3d.solids.build_parts.make`.

    Raises:
        SolidError: parts that cannot be made.
    """
    from frame3d.solids import build_parts

    return build_parts.make(bike, progress)
