"""Wishes that an exchange on the finished frame settles."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from frame3d.parameters.reading.tree import Entry, Mapping, Node, Scalar, Sequence

_POINTS = "suspension.points."


def without_settled(root: Node | None, exchanged: Iterable[str]) -> Node | None:
    """Return the tree without `solve_for` of points that are exchanged as a whole.

    The exchange says where such a point lies, perhaps by other coordinates than the file searched;
    nothing is searched on a finished frame.

    Args:
        root: the tree, with the exchanged values in it.
        exchanged: dotted paths of the exchanged values.
    """
    whole = {path.removeprefix(_POINTS) for path in exchanged if path.startswith(_POINTS)}
    if not whole or not isinstance(root, Mapping):
        return root
    section = root.entries.get("suspension")
    if section is None or not isinstance(section.node, Mapping):
        return root
    wishes = section.node.entries.get("solve_for")
    if wishes is None or not isinstance(wishes.node, Sequence):
        return root
    left = tuple(item for item in wishes.node.items if _point(item) not in whole)
    return _with(
        root,
        "suspension",
        _with(section.node, "solve_for", replace(wishes.node, items=left)),
    )


def _point(wish: Node) -> str | None:
    """Return the point of a wish; None where it names none."""
    entry = wish.entries.get("point") if isinstance(wish, Mapping) else None
    return entry.node.text if entry is not None and isinstance(entry.node, Scalar) else None


def _with(node: Mapping, key: str, new: Node) -> Mapping:
    """Return a mapping with another node at a key that it has."""
    entries = {**node.entries, key: Entry(node.entries[key].key, new)}
    return Mapping(entries, node.place)
