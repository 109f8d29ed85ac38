"""`compiled`: numba with a disk cache that notices changes in any file of the compiled solver."""

from __future__ import annotations

from pathlib import Path

from frame3d.clearance.certify.compiled import compiler

SOURCES = ("follow.py", "curves.py", "compiled.py")
"""Files with compiled code."""

compiled = compiler(Path(__file__).parent, SOURCES)
