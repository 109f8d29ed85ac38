"""Find the three.js bundle in the installed `nicegui` package.

pyproject.toml pins the range of versions. `viewer/three.js` imports the bundle's names on the page.
"""

from __future__ import annotations

import re
from importlib.util import find_spec
from pathlib import Path
from typing import Final

from frame3d.errors import Fault, OutputError

PLACES: Final = ("elements/scene/dist/index.js",)
"""Paths of the bundle in versions of the package, newest first."""
NEEDED: Final = ("THREE", "GLTFLoader", "OrbitControls")
"""Names that the viewer imports from it."""

_EXPORTS = re.compile(r"export\s*\{([^}]*)\}\s*;?\s*(?://# sourceMappingURL=\S*\s*)?$")


def three_bundle(package: Path | None = None) -> str:
    """Return the bundle as one ES module, without the reference to its source map.

    Args:
        package: folder of the `nicegui` package; by default found by Python, without importing it.

    Raises:
        OutputError: the package is missing, or has no such bundle at a known place.
    """
    folder = _package() if package is None else package
    found = [folder / place for place in PLACES if (folder / place).is_file()]
    if not found:
        raise _lost(f"there is no {' or '.join(PLACES)} in the installed nicegui package")
    text = found[0].read_text(encoding="utf-8")
    missing = [name for name in NEEDED if name not in exported(text)]
    if missing:
        raise _lost(f"the three.js bundle of the nicegui package lacks {', '.join(missing)}")
    return re.sub(r"\n//# sourceMappingURL=\S*\s*$", "\n", text)


def exported(module: str) -> frozenset[str]:
    """Return the names in the export list at the end of an ES module."""
    match = _EXPORTS.search(module)
    names = match.group(1).split(",") if match is not None else []
    return frozenset(name.split(" as ")[-1].strip() for name in names if name.strip())


def _package() -> Path:
    spec = find_spec("nicegui")
    if spec is None or not spec.submodule_search_locations:
        raise _lost("the package nicegui is not installed")
    return Path(next(iter(spec.submodule_search_locations)))


def _lost(message: str) -> OutputError:
    hint = "install frame3d again with its dependencies (it takes nicegui 3.16 or newer, below 4)"
    return OutputError(Fault("dependency", "", message, hint))
