"""What may import what: the light parts stay light, nothing undeclared, no cycles."""

from __future__ import annotations

import ast
import json
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

import frame3d

PACKAGE = Path(frame3d.__file__).parent
ROOT = PACKAGE.parent
DEMO = ROOT / "configs" / "trail_hardtail_29.yaml"

HEAVY = {"cadquery", "OCP", "manifold3d", "rich"}
LIGHT = {"numpy", "pydantic", "pydantic_core", "ruamel", "frame3d"}
"""What the light rooms may import besides the standard library."""
NEVER_FOR_SOLVE = {
    "cadquery",
    "OCP",
    "scipy",
    "trimesh",
    "manifold3d",
    "rich",
    "numba",
    "llvmlite",
    "vtk",
    "casadi",
}

MODULES = {
    ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__"): path
    for path in sorted(PACKAGE.rglob("*.py"))
}


@cache
def tree_of(path: Path) -> ast.Module:
    """A module, parsed once for all tests."""
    return ast.parse(path.read_text(encoding="utf-8"))


def imports(path: Path, *, inside_functions: bool) -> Iterator[str]:
    """Dotted names that a module imports; those for type checkers alone do not count."""

    def walk(node: ast.AST) -> Iterator[str]:
        for child in ast.iter_child_nodes(node):
            if isinstance(child, ast.If) and "TYPE_CHECKING" in ast.dump(child.test):
                continue
            if isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef) and not inside_functions:
                continue
            if isinstance(child, ast.Import):
                yield from (alias.name for alias in child.names)
            elif isinstance(child, ast.ImportFrom):
                assert child.level == 0, f"relative import in {path}"
                assert child.module is not None
                for alias in child.names:
                    assert alias.name != "*", f"wildcard import in {path}"
                    full = f"{child.module}.{alias.name}"
                    yield full if full in MODULES else child.module
            yield from walk(child)

    return walk(tree_of(path))


def top(name: str) -> str:
    return name.partition(".")[0]


def foreign(path: Path, *, inside_functions: bool) -> set[str]:
    found = {top(n) for n in imports(path, inside_functions=inside_functions)}
    return found - set(sys.stdlib_module_names)


def declared() -> set[str]:
    """Top modules of the dependencies in pyproject.toml, and of what comes with them."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = project["optional-dependencies"]["dask"]
    names = {re.split(r"[^\w.-]", d)[0] for d in (*project["dependencies"], *extras)}
    with_them = {"OCP"} if "cadquery" in names else set()
    with_them |= {"pydantic_core"} if "pydantic" in names else set()
    return {top(n) for n in names} | with_them | {"frame3d"}


@pytest.mark.parametrize("module", MODULES)
def test_nothing_undeclared(module: str) -> None:
    assert foreign(MODULES[module], inside_functions=True) <= declared()


LIGHT_ROOMS = ("geometry", "parameters", "chart", "rider", "linkage", "tubes", "pivots", "bike")
LIGHT_PARTS = [m for m in MODULES if m.split(".")[1:2] and m.split(".")[1] in LIGHT_ROOMS]


@pytest.mark.parametrize("module", LIGHT_PARTS)
def test_light_rooms_stay_light(module: str) -> None:
    allowed = LIGHT if module.startswith("frame3d.parameters") else LIGHT - {"ruamel"}
    assert foreign(MODULES[module], inside_functions=True) <= allowed


@pytest.mark.parametrize("module", [m for m in MODULES if not m.startswith("frame3d.solids")])
def test_heavy_libraries_only_where_they_work(module: str) -> None:
    """Solids, exporters and the scale model import them at their top; everything else inside functions."""
    if module.startswith(("frame3d.formats.", "frame3d.mockup.")):
        return
    assert not foreign(MODULES[module], inside_functions=False) & HEAVY


def test_no_cycles() -> None:
    """Among imports at the top of modules."""
    graph = {
        module: {n for n in imports(path, inside_functions=False) if n in MODULES and n != module}
        for module, path in MODULES.items()
    }
    done: set[str] = set()

    def visit(module: str, way: tuple[str, ...]) -> None:
        assert module not in way, " -> ".join((*way[way.index(module) :], module))
        if module in done:
            return
        for other in sorted(graph[module]):
            visit(other, (*way, module))
        done.add(module)

    for module in graph:
        visit(module, ())


def loaded(code: str, *arguments: str) -> tuple[str, set[str]]:
    """Run code in a new interpreter; what it printed, and which libraries it had loaded at the end."""
    script = f"""
import atexit, json, sys
def tell():
    print(json.dumps(sorted({{n.partition('.')[0] for n in sys.modules}})), file=sys.stderr)
atexit.register(tell)
{code}
"""
    run = subprocess.run(
        [sys.executable, "-c", script, *arguments],
        capture_output=True,
        text=True,
        check=True,
        cwd=ROOT,
    )
    return run.stdout, set(json.loads(run.stderr.splitlines()[-1]))


COMMANDS = {
    "solve": ["solve"],
    "solve --json": ["solve", "--json"],
    "solve --sensitivity": ["solve", "--sensitivity"],
    "solve --swap": ["solve", "--swap", "build.fork.axle_to_crown=551"],
    "compare --figures-only": ["compare", "--set", "geometry.reach=470", "--figures-only"],
}


@pytest.mark.parametrize("command", COMMANDS)
def test_solve_loads_no_heavy_library(command: str) -> None:
    arguments = COMMANDS[command]
    code = "from frame3d.cli.commands import main\nmain()"
    out, names = loaded(code, arguments[0], str(DEMO), *arguments[1:])
    assert "numpy" in names
    assert not names & NEVER_FOR_SOLVE
    if "--json" in arguments:
        assert json.loads(out)["chart"]["reach"] > 0


def test_the_package_itself_is_light() -> None:
    _, names = loaded("import frame3d")
    assert not names & (NEVER_FOR_SOLVE | {"numpy", "pydantic", "ruamel"})
