"""Parameter files: models, reader, standard sizes, starters."""

from __future__ import annotations

from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.reading.reader import load, loads

__all__ = ["FrameSpec", "load", "loads"]
