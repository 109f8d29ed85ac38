"""`compiled`: numba with a disk cache that notices changes in any of the compiled files.

`compiler` makes the same for other files.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TypeVar, cast
from zlib import crc32

from numba import njit

F = TypeVar("F", bound=Callable[..., object])

SOURCES = (
    "records.py",
    "signed_distance.py",
    "positions.py",
    "cutters.py",
    "bounds.py",
    "into_axes.py",
    "moving_spheres.py",
    "search.py",
    "compiled.py",
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
