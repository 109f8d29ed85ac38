"""Solids: a layout's tubes, shells and dropouts as parts and as one frame.

`make` needs the CAD kernel, which takes a second or more to load; it is loaded when first called.
"""

from __future__ import annotations

from collections.abc import Callable

from frame3d.geometry.layout import Layout
from frame3d.solids.model import FrameModel, Part

__all__ = ["FrameModel", "Part", "make"]


def make(layout: Layout, progress: Callable[[str, float], None] | None = None) -> FrameModel:
    """The frame's solids; see `frame3d.solids.making.make`.

    Raises:
        SolidError: parts that cannot be made.
    """
    from frame3d.solids import making

    return making.make(layout, progress)
