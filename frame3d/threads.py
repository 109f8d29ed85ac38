"""Threads of linear algebra: one, as matrices are small and threads would wait for one another."""

from __future__ import annotations

import os
from typing import Final

LINEAR_ALGEBRA: Final = ("OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "VECLIB_MAXIMUM_THREADS")
"""Settings of its libraries, read when NumPy is imported."""


def one_thread() -> None:
    """Let linear algebra have one thread, unless the user says otherwise: before NumPy is imported.

    On busy cores that is a third to a seventh of the time.
    """
    for setting in LINEAR_ALGEBRA:
        os.environ.setdefault(setting, "1")
