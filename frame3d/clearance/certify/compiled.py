"""`compiled`: numba with a disk cache that notices changes in any of the compiled files.

`compiler` makes the same for other files.
"""

from __future__ import annotations

import importlib
import sys
from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any, Final, TypeVar, cast
from zlib import crc32

from numba import njit

F = TypeVar("F", bound=Callable[..., object])

_BLAS: Final = "scipy.linalg.cython_blas"


def _import_array_functions() -> None:
    """Import numba's array functions without looking for SciPy's BLAS.

    Numba does look when it first compiles or loads anything, which takes longer than the rest of its
    imports; nothing here multiplies matrices. What else is compiled in this process may: where numba
    needs it, it looks again (`numpy.cov` uses a loop of its own instead).
    """
    if _BLAS in sys.modules:
        return
    modules: dict[str, Any] = sys.modules
    modules[_BLAS] = None  # as if it were not installed
    try:
        with suppress(ImportError):
            importlib.import_module("numba.np.arraymath")
    finally:
        del modules[_BLAS]


_import_array_functions()

SOURCES = (
    "records.py",
    "signed_distance.py",
    "positions.py",
    "rounded_sections.py",
    "cutters.py",
    "bounds.py",
    "into_axes.py",
    "moving_spheres.py",
    "search.py",
    "compiled.py",
    "../toe.py",
    "../../bodies/motion/mounts.py",
)
"""Files with compiled code, and those whose constants (kinds of shapes and steps) are compiled in. A
compiled function contains those that it calls from other files."""


def compiler(folder: Path, sources: Sequence[str]) -> Callable[[F], F]:
    """Return a decorator: a function, to be compiled by numba when first called.

    Numba keeps the result beside the source or, where that is read-only, in the user's cache folder;
    where neither can be written, it compiles anew in each process. By itself numba notices changes of
    the function's own file only, so the function's name gets a checksum of all sources.

    Args:
        folder: where the sources are.
        sources: names of all files with code that is compiled in.
    """
    total = 0
    for name in sources:
        total = crc32((folder / name).read_bytes(), total)

    def compiled(function: F) -> F:
        function.__qualname__ = f"{function.__qualname__}_{total:08x}"
        try:
            return cast(F, njit(cache=True, error_model="numpy")(function))
        except RuntimeError:  # no folder to keep the result in
            return cast(F, njit(error_model="numpy")(function))

    return compiled


compiled = compiler(Path(__file__).parent, SOURCES)
