"""Apply overrides such as ``--set KEY=VALUE`` to the tree of a parameter file."""

from __future__ import annotations

from typing import NoReturn

from frame3d.errors import Fault, SourceLocation, SpecError
from frame3d.parameters.models.names import unprintable
from frame3d.parameters.reading.scalars import value as meaning
from frame3d.parameters.reading.tree import (
    MAX_DEPTH,
    Entry,
    Mapping,
    Node,
    Scalar,
    Sequence,
    join,
    parse,
)


def override(root: Node | None, typed: str, option: str = "--set") -> Node:
    """Return the tree with one override applied; `root` is not changed.

    ``KEY=VALUE``: KEY is a dotted path, with numbers for places in a list
    (``tubes.chainstay.bends.0.radius``); VALUE is YAML under the same rules as the file's. What is
    missing on the way is created. ``KEY=null`` removes the key. One step beyond a list's end
    appends.

    Raises:
        SpecError: no KEY=VALUE, a VALUE that is no YAML, or a way that leads through a plain value.
    """
    shown = "".join("?" if unprintable(char) else char for char in typed)
    place = SourceLocation(f"{option} {shown if len(shown) <= 200 else shown[:200] + '…'}")
    path, separator, text = typed.partition("=")
    keys = [key.strip() for key in path.split(".")]
    if not separator or not all(keys):
        _fail(place, "", "no override of the form KEY=VALUE", f"e.g. {option} geometry.reach=455")
    if len(keys) > MAX_DEPTH:
        _fail(place, "", "the path is deeper than a parameter file", "e.g. geometry.reach=455")
    bad = unprintable(text, "\n\t\r")
    if bad is not None:
        _fail(place, ".".join(keys), f"the value holds the character U+{ord(bad):04X}", "")
    parsed = parse(text, lambda line, column: place)
    if parsed.faults:
        raise SpecError(parsed.faults)
    new = parsed.root
    if new is None or (isinstance(new, Scalar) and new.plain and new.text == ""):
        hint = f"{option} {'.'.join(keys)}=null takes the key out"
        if text.lstrip().startswith("#"):
            hint = f"# starts a comment in YAML: write '{'.'.join(keys)}=\"{text.strip()}\"'"
        _fail(place, ".".join(keys), "nothing stands after =", hint)
    return _put(root, keys, new, "", place)


def _put(node: Node | None, keys: list[str], new: Node, path: str, place: SourceLocation) -> Node:
    """Return `node` with `new` at `keys` below it."""
    key, rest = keys[0], keys[1:]
    here = join(path, key)
    if node is None or _is_nothing(node):
        node = Mapping({}, place)
    if isinstance(node, Scalar):
        _fail(
            place,
            path,
            f"is {node.text}, which has no {key} in it",
            f"set the whole of {path}, e.g. {path}={{{key}: ...}}",
        )
    if isinstance(node, Sequence):
        return _put_item(node, keys, new, path, place)
    entries = dict(node.entries)
    old = entries.get(key)
    if not rest and _is_nothing(new) and old is not None:
        del entries[key]
        return Mapping(entries, node.place)
    below = _put(None if old is None else old.node, rest, new, here, place) if rest else new
    entries[key] = Entry(Scalar(key, True, place), below)
    return Mapping(entries, node.place)


def _put_item(
    node: Sequence, keys: list[str], new: Node, path: str, place: SourceLocation
) -> Sequence:
    """Return a list with `new` at `keys` below it."""
    key, rest = keys[0], keys[1:]
    items = list(node.items)
    there = f"0 to {len(items) - 1}" if items else "none"
    if not (key.isascii() and key.isdigit() and len(key) < 6) or int(key) > len(items):
        _fail(
            place, path, f"is a list, without {key}", f"places in it: {there}; {len(items)} appends"
        )
    i = int(key)
    old = items[i] if i < len(items) else None
    if not rest and _is_nothing(new):
        if old is None:
            _fail(place, path, f"nothing stands at {key}", f"places in it: {there}")
        del items[i]
        return Sequence(tuple(items), node.place)
    items[i : i + 1] = [_put(old, rest, new, join(path, key), place) if rest else new]
    return Sequence(tuple(items), node.place)


def _is_nothing(node: Node) -> bool:
    return isinstance(node, Scalar) and node.plain and meaning(node.text) is None


def _fail(place: SourceLocation, path: str, message: str, hint: str) -> NoReturn:
    raise SpecError(Fault("override", path, message, hint, place))
