"""Find the ECharts bundle in the installed `nicegui` package.

pyproject.toml pins the range of versions. The bundle is a small module and the chunks that it imports;
the one with `echarts` is taken, the one for pictures in 3D is left out.
"""

from __future__ import annotations

import re
from importlib.util import find_spec
from pathlib import Path
from typing import Final

from frame3d.errors import Fault, OutputError

PLACE: Final = "elements/echart/dist/index.js"
"""Path of the bundle in the package."""
NAME: Final = "echarts"
"""What it must export."""

_IMPORT: Final = re.compile(r"""import\s*\{([^}]*)\}\s*from\s*["']\./([\w.-]+)["']\s*;?""")
_EXPORT: Final = re.compile(r"export\s*\{([^}]*)\}\s*;?\s*(?://# sourceMappingURL=\S*\s*)?$")
_LATER: Final = re.compile(r"""\bimport\(\s*["']\./[\w.-]+["']\s*\)""")


def echarts_bundle(package: Path | None = None) -> str:
    """Return ECharts as one ES module that exports `echarts` and imports nothing.

    Args:
        package: folder of the `nicegui` package; by default found by Python, without importing it.

    Raises:
        OutputError: the package is missing, or has no such bundle at its place.
    """
    folder = _package() if package is None else package
    text = _read(folder / PLACE)
    local = _named(text).get(NAME)
    if local is None:
        raise _lost(f"the charts of the nicegui package lack {NAME}")
    for names, file in _IMPORT.findall(text):
        taken = {new: old for old, new in map(_pair, _split(names))}
        if local in taken:
            text = _read((folder / PLACE).parent / file)
            local = _named(text).get(taken[local])
            break
    if local is None or _IMPORT.search(text):
        raise _lost("the charts of the nicegui package are put together in an unknown way")
    text = _EXPORT.sub("", text)
    text = _LATER.sub("Promise.reject()", text)
    return f"{text.rstrip()}\nexport{{{local} as {NAME}}};\n"


def _named(module: str) -> dict[str, str]:
    """Return what a module exports: name -> its own name for it."""
    match = _EXPORT.search(module)
    return {} if match is None else {new: old for old, new in map(_pair, _split(match.group(1)))}


def _split(names: str) -> list[str]:
    return [name.strip() for name in names.split(",") if name.strip()]


def _pair(name: str) -> tuple[str, str]:
    """Return ``a as b`` as (a, b), ``a`` as (a, a)."""
    old, _, new = name.partition(" as ")
    return old.strip(), (new or old).strip()


def _read(file: Path) -> str:
    if not file.is_file():
        raise _lost(f"there is no {file.name} among the charts of the installed nicegui package")
    return file.read_text(encoding="utf-8")


def _package() -> Path:
    spec = find_spec("nicegui")
    if spec is None or not spec.submodule_search_locations:
        raise _lost("the package nicegui is not installed")
    return Path(next(iter(spec.submodule_search_locations)))


def _lost(message: str) -> OutputError:
    hint = "install frame3d again with its dependencies (it takes nicegui 3.16 or newer, below 4)"
    return OutputError(Fault("dependency", "", message, hint))
