"""`compiled`: numba with a disk cache that notices changes in any of the compiled files.

`compiler` makes the same for other files. A process that finds everything compiled loads no more of
numba than that takes: neither its compiler's tables nor what its configuration might read.
"""

from __future__ import annotations

import importlib
import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from functools import partial
from pathlib import Path
from typing import Any, Final, TypeVar, cast
from zlib import crc32

F = TypeVar("F", bound=Callable[..., object])

_CONFIG: Final = ".numba_config.yaml"
"""What numba reads its configuration from, where the working folder has it."""


@contextmanager
def _as_if_missing(*names: str) -> Iterator[None]:
    """Let modules that are not loaded yet seem not installed, where no other thread could miss them."""
    modules: dict[str, Any] = sys.modules
    hidden = [n for n in names if n not in modules] if threading.active_count() == 1 else []
    modules.update(dict.fromkeys(hidden))
    try:
        yield
    finally:
        for name in hidden:
            del modules[name]


# Numba looks at SciPy for its version alone, and at YAML for a file of its own; each takes a tenth of
# its import.
with _as_if_missing("scipy", *(() if Path(_CONFIG).exists() else ("yaml",))):
    from numba import njit
    from numba.core.runtime.nrt import rtsys


def _import_array_functions() -> None:
    """Import numba's array functions without looking for SciPy's BLAS.

    Numba does look when it makes its compiler ready, which takes longer than its import; nothing here
    multiplies matrices. What else is compiled in this process may: where numba needs it, it looks again
    (`numpy.cov` uses a loop of its own instead).
    """
    with _as_if_missing("scipy.linalg.cython_blas"), suppress(ImportError):
        importlib.import_module("numba.np.arraymath")


def _load(cache: Any, signature: Any, target: Any) -> Any:
    """Return what a cache of numba's has for a signature, or None.

    As its own `load_overload`, which however makes the compiler ready before it looks: that takes ten
    times as long. Numba does it again before it compiles.
    """
    rtsys.initialize(target)  # what compiled code allocates with
    with cache._guard_against_spurious_io_errors():
        found = cache._load_overload(signature, target)
    if found is None:
        _import_array_functions()
    return found


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
            dispatcher: Any = njit(cache=True, error_model="numpy")(function)
        except RuntimeError:  # no folder to keep the result in
            return cast(F, njit(error_model="numpy")(function))
        cache: Any = getattr(dispatcher, "_cache", None)
        if hasattr(cache, "_load_overload"):  # a name of numba's own, which may change
            cache.load_overload = partial(_load, cache)
        return cast(F, dispatcher)

    return compiled


compiled = compiler(Path(__file__).parent, SOURCES)
