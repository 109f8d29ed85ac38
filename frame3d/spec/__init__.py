"""What a parameter file may say: models, reader with line numbers, schema, standard sizes."""

from __future__ import annotations

from frame3d.spec.models import FrameSpec
from frame3d.spec.reader import load, loads

__all__ = ["FrameSpec", "load", "loads"]
