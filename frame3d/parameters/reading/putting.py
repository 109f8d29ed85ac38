"""Put values at dotted paths of a parameter file's tree; trees are not changed, new ones returned."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import NoReturn

from frame3d.errors import Fault, SourceLocation, SpecError
from frame3d.parameters.reading.scalars import value as meaning
from frame3d.parameters.reading.tree import Entry, Mapping, Node, Scalar, Sequence, join


def _never(_: Mapping) -> bool:
    return False


@dataclass(frozen=True, slots=True)
class Put:
    """How values are put into a tree."""

    place: SourceLocation
    """Source of the new value, for faults and for keys that are created."""
    option: str = ""
    """``--set`` or ``--swap`` where the value comes from the command line."""
    merges: bool = False
    """Whether a mapping adds to the mapping that stands there, rather than replacing it."""
    is_value: Callable[[Mapping], bool] = _never
    """Whether a mapping stands for one value (by size, by rule), so that none is merged with it."""

    def at(self, node: Node | None, keys: list[str], new: Node, path: str = "") -> Node:
        """Return `node` with `new` at `keys` below it.

        What is missing on the way is created; ``null`` takes a key out; one step beyond a list's end
        appends.

        Args:
            node: the tree; None for nothing.
            keys: at least one; numbers for places in a list.
            new: the value.
            path: dotted path of `node`, for faults.

        Raises:
            SpecError: the way leads through a plain value, or to a place that a list does not have.
        """
        key, rest = keys[0], keys[1:]
        here = join(path, key)
        if node is None or is_nothing(node):
            node = Mapping({}, self.place)
        if isinstance(node, Scalar):
            way = (
                f"{self.option} {path}={{{key}: ...}}" if self.option else f"{path}: {{{key}: ...}}"
            )
            self._fail(
                path, f"is {node.text}, which has no {key} in it", f"set the whole of it: {way}"
            )
        if isinstance(node, Sequence):
            return self._item(node, keys, new, path)
        entries = dict(node.entries)
        old = entries.get(key)
        if not rest and is_nothing(new) and old is not None:
            del entries[key]
            return Mapping(entries, node.place)
        below = None if old is None else old.node
        entries[key] = Entry(Scalar(key, True, self.place), self._below(below, rest, new, here))
        return Mapping(entries, node.place)

    def _item(self, node: Sequence, keys: list[str], new: Node, path: str) -> Sequence:
        """Return a list with `new` at `keys` below it."""
        key, rest = keys[0], keys[1:]
        items = list(node.items)
        there = f"0 to {len(items) - 1}" if items else "none"
        if not (key.isascii() and key.isdigit() and len(key) < 6) or int(key) > len(items):
            self._fail(
                path, f"is a list, without {key}", f"places in it: {there}; {len(items)} appends"
            )
        i = int(key)
        old = items[i] if i < len(items) else None
        if not rest and is_nothing(new):
            if old is None:
                self._fail(path, f"nothing stands at {key}", f"places in it: {there}")
            del items[i]
            return Sequence(tuple(items), node.place)
        items[i : i + 1] = [self._below(old, rest, new, join(path, key))]
        return Sequence(tuple(items), node.place)

    def _below(self, old: Node | None, rest: list[str], new: Node, path: str) -> Node:
        if rest:
            return self.at(old, rest, new, path)
        if not self.merges or not isinstance(new, Mapping) or self.is_value(new):
            return new
        if old is None or (isinstance(old, Mapping) and not self.is_value(old)):
            return merged(old, new, path, self.is_value)
        return new

    def _fail(self, path: str, message: str, hint: str) -> NoReturn:
        raise SpecError(Fault("override", path, message, hint, self.place))


def merged(
    node: Node | None,
    changes: Mapping,
    path: str = "",
    is_value: Callable[[Mapping], bool] = _never,
) -> Node:
    """Return `node` with the values of a mapping put into it; keys may be dotted paths.

    Mappings are merged, key by key; anything else replaces what stands there, and ``null`` takes it out.

    Args:
        node: the tree; None for nothing.
        changes: the new values.
        path: dotted path of `node`, for faults.
        is_value: as `Put.is_value`.

    Raises:
        SpecError: as `Put.at`.
    """
    out: Node = Mapping({}, changes.place) if node is None else node
    for name, entry in changes.entries.items():
        put = Put(entry.key.place, merges=True, is_value=is_value)
        out = put.at(out, steps_of(name), entry.node, path)
    return out


def leaves(changes: Mapping, path: str = "") -> Iterator[str]:
    """Yield the dotted paths at which `merged` puts a value, a list, or nothing."""
    for name, entry in changes.entries.items():
        below = join(path, ".".join(steps_of(name)))
        if isinstance(entry.node, Mapping) and entry.node.entries:
            yield from leaves(entry.node, below)
        else:
            yield below


def steps_of(path: str) -> list[str]:
    """Return the steps of a dotted path, without spaces around them."""
    return [step.strip() for step in path.split(".")]


def is_nothing(node: Node) -> bool:
    """Return whether a node is ``null``, or an unquoted nothing."""
    return isinstance(node, Scalar) and node.plain and meaning(node.text) is None
