"""Tests mirror the rooms: a module with branches has a test of its name in its room's folder.

Tests take public names only. What a test would need a private name for is either shown by a public one,
or is no promise.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

import frame3d

PACKAGE = Path(frame3d.__file__).parent
TESTS = Path(__file__).parent
BRANCHES = (ast.If, ast.For, ast.While, ast.IfExp, ast.Match, ast.Try)

EXEMPT: dict[str, str] = {}
"""Module -> why it needs no test of its own name."""


@cache
def has_branches(module: Path) -> bool:
    tree = ast.parse((PACKAGE / module).read_text("utf-8"))
    return any(isinstance(node, BRANCHES) for node in ast.walk(tree))


MODULES = sorted(
    file.relative_to(PACKAGE) for file in PACKAGE.rglob("*.py") if not file.name.startswith("__")
)
FILES = sorted(TESTS.rglob("*.py"))


def namesakes(module: Path) -> list[Path]:
    """Tests of a module: in its room's folder or below; beside this file for modules of no room."""
    name = f"test_{module.stem}.py"
    if len(module.parts) == 1:
        return [file for file in FILES if file == TESTS / name]
    return [f for f in FILES if f.name == name and f.is_relative_to(TESTS / module.parts[0])]


def test_every_module_with_branches_has_its_test() -> None:
    without = [m for m in MODULES if not namesakes(m) and m.as_posix() not in EXEMPT]
    assert [m.as_posix() for m in without if has_branches(m)] == []


def test_modules_of_one_name_have_a_test_each() -> None:
    """Where a room has two modules of a name, one has its test in a folder of its own."""
    same: dict[tuple[str, str], list[Path]] = {}
    for module in MODULES:
        if module.as_posix() not in EXEMPT:
            same.setdefault((module.parts[0], module.stem), []).append(module)
    for modules in same.values():
        if len(modules) > 1:
            wanted = [m for m in modules if has_branches(m)]
            assert len(namesakes(modules[0])) >= len(wanted), [m.as_posix() for m in wanted]


def test_exemptions_are_needed_and_say_why() -> None:
    for name, why in EXEMPT.items():
        module = Path(name)
        assert module in MODULES, f"{name} is gone"
        assert has_branches(module), f"{name} has no branches"
        assert not namesakes(module), f"{name} has a test by now"
        assert len(why) > 10, name


def is_private(name: str) -> bool:
    return name.startswith("_") and not name.endswith("__")


DEFINED = re.compile(r"(?:^|[^\w.])(?:(?:def|class)\s+|self\.|cls\.)?(_[a-zA-Z]\w*)", re.MULTILINE)


@cache
def private_names() -> frozenset[str]:
    """Every private name that stands on its own, or at self, anywhere in the package."""
    found = set()
    for module in MODULES:
        found |= set(DEFINED.findall((PACKAGE / module).read_text("utf-8")))
    return frozenset(name for name in found if is_private(name))


def taken(file: Path) -> Iterator[str]:
    """Private names of the package that a test imports, reads, calls or replaces."""
    text = file.read_text("utf-8")
    if not private_names().intersection(re.findall(r"\b_\w+", text)):
        return
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("frame3d"):
            path = (node.module or "").split(".")
            yield from (name for name in path if is_private(name))
            yield from (alias.name for alias in node.names if is_private(alias.name))
        elif isinstance(node, ast.Import):
            for alias in node.names:
                if alias.name.startswith("frame3d"):
                    yield from (name for name in alias.name.split(".") if is_private(name))
        elif isinstance(node, ast.Attribute) and node.attr in private_names():
            if not (isinstance(node.value, ast.Name) and node.value.id in ("self", "cls")):
                yield node.attr
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute | ast.Name):
            called = node.func.attr if isinstance(node.func, ast.Attribute) else node.func.id
            if called in ("setattr", "delattr", "getattr"):
                for argument in node.args:
                    if isinstance(argument, ast.Constant) and isinstance(argument.value, str):
                        yield from (
                            part for part in argument.value.split(".") if part in private_names()
                        )


def test_no_test_takes_a_private_name() -> None:
    found = [f"{file.relative_to(TESTS)}: {name}" for file in FILES for name in taken(file)]
    assert found == []


@pytest.mark.parametrize(
    ("line", "name"),
    [
        ("from frame3d.tubes.cuts.mitre import _peak", "_peak"),
        ("from frame3d.tubes.cuts.mitre import MitreCut as _Cut, _peak as peak", "_peak"),
        ("cut = None\ncut._traced(1)", "_traced"),
        ("monkeypatch.setattr(module, '_peak', 1)", "_peak"),
        ("monkeypatch.setattr('frame3d.tubes.cuts.mitre._peak', 1)", "_peak"),
        ("getattr(module, '_peak')", "_peak"),
    ],
)
def test_private_names_are_seen(tmp_path: Path, line: str, name: str) -> None:
    """The rule above does see what it is about."""
    file = tmp_path / "test_it.py"
    file.write_text(line)
    assert list(taken(file)) == [name]


@pytest.mark.parametrize("line", ["self._traced", "row._asdict()", "x = '_peak'", "import _thread"])
def test_what_is_nobodys_private_name_is_free(tmp_path: Path, line: str) -> None:
    file = tmp_path / "test_it.py"
    file.write_text(line)
    assert list(taken(file)) == []
