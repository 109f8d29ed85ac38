"""Compiled code, where its cache can be kept and where not."""

from __future__ import annotations

import ast
import re
import shutil
import subprocess
import sys
from pathlib import Path

from frame3d.clearance.certify import compiled

PACKAGE = Path(compiled.__file__).parents[2]


def test_compiled_code_works_where_nothing_can_be_written(tmp_path: Path) -> None:
    """A package that is read only, and a user without a cache folder: numba cannot keep anything."""
    copy = tmp_path / "frame3d"
    shutil.copytree(PACKAGE, copy, ignore=shutil.ignore_patterns("__pycache__"))
    # A file in the place of each folder that numba would make.
    (copy / "clearance" / "certify" / "__pycache__").write_text("")
    (tmp_path / "home").write_text("")
    script = (
        "from frame3d.clearance.certify import signed_distance as k\n"
        f"assert k.__file__.startswith({str(tmp_path)!r})\n"
        "from frame3d.bodies.shapes import Torus\n"
        "from frame3d.clearance.certify.search_input import edges_of, numbers_of\n"
        "shape = Torus(10.0, 2.0)\n"
        "print(k.signed(numbers_of(shape)[0], edges_of(shape), 15.0, 0.0, 0.0)[0])\n"
    )
    run = subprocess.run(
        [sys.executable, "-B", "-c", script],
        cwd=tmp_path,
        env={"HOME": str(tmp_path / "home"), "PATH": "", "XDG_CACHE_HOME": str(tmp_path / "home")},
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.returncode == 0, run.stderr
    assert float(run.stdout) == 3.0


CERTIFY = Path(compiled.__file__).parent


def test_every_file_whose_change_matters_is_watched() -> None:
    """Files with compiled functions, and those of the package that they take names from."""
    watched = {(CERTIFY / name).resolve() for name in compiled.SOURCES}
    assert all(file.exists() for file in watched)
    using = [
        file
        for file in CERTIFY.glob("*.py")
        if any(
            isinstance(node, ast.FunctionDef)
            and any(isinstance(d, ast.Name) and d.id == "compiled" for d in node.decorator_list)
            for node in ast.walk(ast.parse(file.read_text("utf-8")))
        )
    ]
    assert len(using) > 3
    assert set(using) <= watched
    for file in using:
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("frame3d."):
                source = PACKAGE.joinpath(*(node.module or "").split(".")[1:]).with_suffix(".py")
                types = {alias.name for alias in node.names} <= TYPES
                assert types or source.resolve() in watched, (file.name, node.module)


TYPES = {"Array", "Ints", "Mask", "Vector"}
"""Names that are for type checkers alone."""


@compiled.compiled
def _added(a: float, b: float) -> float:
    return a + b


def test_a_compiled_function_does_what_it_says_under_a_name_of_its_sources() -> None:
    assert _added(2.0, 3.5) == 5.5
    assert re.fullmatch(r"_added_[0-9a-f]{8}", _added.py_func.__qualname__)
    assert _added.py_func(2.0, 3.5) == 5.5


ADDED = """
from pathlib import Path
from frame3d.clearance.certify.compiled import compiler
compiled = compiler(Path(__file__).parent, ("added.py",))
@compiled
def added(a, b):
    return a + b
"""
TWICE = """
import sys
import numpy as np
from added import added
print(added(2.0, 3.5), sum(added.stats.cache_hits.values()))
print([n for n in ("numba.np.linalg", "scipy", "yaml") if n in sys.modules])
print(added(np.array([1.0, 2.0]), 1.5).tolist())
import scipy.linalg
"""


def test_code_that_is_compiled_loads_without_what_compiles_it(tmp_path: Path) -> None:
    """And another signature is compiled in the same process; SciPy can be imported as ever."""
    (tmp_path / "added.py").write_text(ADDED)
    (tmp_path / "twice.py").write_text(TWICE)

    def lines() -> list[str]:
        run = subprocess.run(
            [sys.executable, "twice.py"],
            cwd=tmp_path,
            env={"PYTHONPATH": str(PACKAGE.parent), "PATH": ""},
            capture_output=True,
            text=True,
            check=False,
        )
        assert run.returncode == 0, run.stderr
        return run.stdout.splitlines()

    first = lines()
    assert first[0] == "5.5 0"
    assert "numba.np.linalg" in first[1]
    again = lines()
    assert again[0] == "5.5 1"
    assert again[1] == "[]"
    assert first[2] == again[2] == "[2.5, 3.5]"
