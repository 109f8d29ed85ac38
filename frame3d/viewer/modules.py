"""Join the viewer's modules to one ES module, which a page can embed.

The modules follow a few rules that make joining safe; `joined` refuses all others:

- an import is at the top and names its imports, without renaming, from a file in the same folder:
  ``import { a, b } from "./c.js";``
- exports are ``export function``, ``export class``, ``export const``;
- no two files have a top-level name in common, and there are no circular imports.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from types import MappingProxyType

ENTRY = "viewer.js"
PUBLIC = ("createViewer", "adapt")
"""Names that the joined module exports."""

_IMPORT = re.compile(r'^import \{([\w\s,$]*)\} from "\./([\w.-]+)";\n', re.MULTILINE)
_EXPORT = re.compile(r"^export (?=(?:async function|function|class|const) )", re.MULTILINE)
_NAME = re.compile(r"^(?:export )?(?:async function|function|class|const|let) (\w+)", re.MULTILINE)
_OTHER = re.compile(r"^(?:import|export)\b.*$", re.MULTILINE)


@cache
def viewer_source() -> str:
    """Return the viewer as one ES module that exports `createViewer` and `adapt`."""
    folder = files("frame3d.viewer") / "client"
    modules = {
        entry.name: entry.read_text(encoding="utf-8")
        for entry in folder.iterdir()
        if entry.name.endswith(".js")
    }
    return joined(modules, ENTRY, PUBLIC)


def joined(
    modules: Mapping[str, str],
    entry: str,
    public: tuple[str, ...],
    library: Mapping[str, str] = MappingProxyType({}),
) -> str:
    """Return modules joined to one, in the order of their dependencies.

    Args:
        modules: file name -> text.
        entry: the file that needs all the others.
        public: what the result exports.
        library: more modules, of which only those that are needed are joined.

    Raises:
        ValueError: a module does not keep to the habits above.
    """
    order = _order({**library, **modules}, entry)
    unused = sorted(set(modules) - set(order))
    if unused:
        raise ValueError(f"no module needs {', '.join(unused)}")
    modules = {**library, **modules}
    owner: dict[str, str] = {}
    for name in order:
        for declared in _NAME.findall(modules[name]):
            if declared in owner:
                raise ValueError(f"{declared} is declared in {owner[declared]} and in {name}")
            owner[declared] = name
    parts = []
    for name in order:
        body = _EXPORT.sub("", _IMPORT.sub("", modules[name]))
        strange = _OTHER.search(body)
        if strange is not None:
            raise ValueError(f"{name}: cannot join {strange.group(0)!r}")
        parts.append(f"// {name}\n{body.strip()}\n")
    for wanted in public:
        if wanted not in owner:
            raise ValueError(f"no module declares {wanted}")
    return "\n".join([*parts, f"export {{ {', '.join(public)} }};\n"])


def _order(modules: Mapping[str, str], entry: str) -> list[str]:
    """Return the modules' names, each after those that it imports from; check all imported names."""
    order: list[str] = []

    def visit(name: str, way: tuple[str, ...]) -> None:
        if name in way:
            raise ValueError(f"import in a circle: {' -> '.join((*way, name))}")
        if name in order:
            return
        for taken, source in _IMPORT.findall(modules[name]):
            if source not in modules:
                raise ValueError(f"{name} imports from {source}, which is not there")
            exports = set(
                re.findall(r"^export (?:async )?\w+ (\w+)", modules[source], re.MULTILINE)
            )
            wanted = {word.strip() for word in taken.split(",") if word.strip()}
            if not wanted <= exports:
                lost = ", ".join(sorted(wanted - exports))
                raise ValueError(f"{name} takes {lost} from {source}, which has no such export")
            visit(source, (*way, name))
        order.append(name)

    visit(entry, ())
    return order
