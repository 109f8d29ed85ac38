"""Build HTML and SVG by nested calls; all text is escaped unless it is `Markup`."""

from __future__ import annotations

from html import escape
from typing import Final

VOID: Final = frozenset({"br", "col", "hr", "img", "input", "link", "meta"})
"""HTML elements without an end tag (HTML living standard, "Void elements")."""


class Markup(str):
    """Text that is markup already and needs no escaping."""

    __slots__ = ()


Child = str | int | float | None
"""A child of an element; None adds nothing."""


def text(value: object) -> Markup:
    """Return a value as text within markup; markup stays as it is."""
    return value if isinstance(value, Markup) else Markup(escape(str(value), quote=True))


def el(name: str, /, *children: Child, **attributes: object) -> Markup:
    """Return an element with its children.

    Attributes: ``class_`` for ``class``, ``data_part`` for ``data-part``; None and False leave one
    out, True writes its bare name.
    """
    opening = name + "".join(
        _attribute(key, value)
        for key, value in attributes.items()
        if value is not None and value is not False
    )
    if name in VOID:
        return Markup(f"<{opening}>")
    return Markup(f"<{opening}>{together(*children)}</{name}>")


def together(*children: Child) -> Markup:
    """Return children one after the other."""
    return Markup("".join(text(child) for child in children if child is not None))


def _attribute(key: str, value: object) -> str:
    name = key.removesuffix("_").replace("_", "-")
    if name == "viewbox":
        name = "viewBox"  # SVG is particular about capitals
    return f" {name}" if value is True else f' {name}="{escape(str(value), quote=True)}"'
