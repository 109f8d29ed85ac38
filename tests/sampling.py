"""Which cases run: a sample in everyday runs and CI, every one with FRAME3D_EVERY_CASE=1."""

from __future__ import annotations

import os
from collections.abc import Sequence
from typing import Final, TypeVar

EVERY_CASE: Final = os.environ.get("FRAME3D_EVERY_CASE") == "1"
T = TypeVar("T")


def sample(cases: Sequence[T], step: int) -> list[T]:
    """Every step-th case, the first among them; all of them where every case was asked for."""
    return list(cases if EVERY_CASE else cases[::step])
