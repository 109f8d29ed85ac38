"""Numba for the kernels, its results kept on disk under a name of all their sources."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TypeVar, cast
from zlib import crc32

from numba import njit

F = TypeVar("F", bound=Callable[..., object])

SOURCES = (
    "signed_distance.py",
    "positions.py",
    "cutters.py",
    "bounds.py",
    "search.py",
    "compiled.py",
)
"""Files with compiled code. One kernel's code holds that of the kernels it calls from other files."""


def compiled(function: F) -> F:
    """The function, compiled by numba when first called.

    Numba keeps the result beside the source or, where that is read-only, in the user's cache folder;
    where neither can be written, it compiles anew in each process. By itself it notices changes of
    the function's own file only, so the name it files it under holds a check sum of all sources.
    """
    function.__qualname__ = f"{function.__qualname__}_{_CHECK_SUM:08x}"
    try:
        return cast(F, njit(cache=True, error_model="numpy")(function))
    except RuntimeError:  # no folder to keep it in
        return cast(F, njit(error_model="numpy")(function))


def _check_sum() -> int:
    total = 0
    for name in SOURCES:
        total = crc32(Path(__file__).with_name(name).read_bytes(), total)
    return total


_CHECK_SUM = _check_sum()
