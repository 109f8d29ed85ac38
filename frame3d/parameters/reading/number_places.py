"""Where in a parameter file the numbers of one of its bikes stand, and which sizes share them.

::

    sizes: {S: {}, M: {}, L: {geometry.bb_drop: 60}}       size L:
    geometry:
      reach: {from: 430, step: 25}                           geometry.reach.from, 50 below the bike's
      seat_tube_length: {S: 390, M: 420, L: 450}             geometry.seat_tube_length.L
      bb_drop: 62                                            sizes.L.geometry.bb_drop
      head_tube_angle: 65.5                                  geometry.head_tube_angle, of all sizes
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import partial
from typing import Final

from frame3d.errors import SourceLocation, SpecError
from frame3d.parameters.reading import tree
from frame3d.parameters.reading.tree import Node, Scalar, join
from frame3d.parameters.reading.variant_tree import RULE, SETTINGS, VariantTree, resolve

_NUMBER: Final = re.compile(r"([-+]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+))%?")
_Span = tuple[int, int]


@dataclass(frozen=True, slots=True)
class NumberPlace:
    """A number of a bike, and the one in the file that it comes from."""

    path: str
    """Dotted path of the number in the bike, e.g. ``geometry.reach``."""
    text: str
    """As the bike has it, with its percent sign if it has one."""
    written: str
    """Dotted path of the number in the file, e.g. ``geometry.reach.from``."""
    above: Decimal
    """How much the bike's number is more than the file's: steps of a rule; else 0."""
    by_rule: bool
    """Whether the file's number is the first one of a rule: then all its sizes move together."""
    sizes: tuple[str, ...]
    """The sizes that take their number from there; empty where the file has no sizes."""
    setting: str | None
    """The setting that the number belongs to."""

    def in_file(self, value: Decimal) -> Decimal:
        """Return what has to stand in the file for the bike to have a value; exact."""
        return value - self.above


def number_places(
    text: str, size: str | None = None, settings: Sequence[str] = ()
) -> Mapping[str, NumberPlace]:
    """Return the numbers of one bike by their path, without those that anchors or merge keys share.

    Args:
        text: of a parameter file.
        size: as for `frame3d.parameters.reading.reader.loads`.
        settings: likewise.

    Raises:
        SpecError: the text is not well-formed, or its sizes or settings are not.
    """
    root = tree.parse(text, partial(SourceLocation, "<text>")).root
    family = VariantTree(root)
    chosen = family.default if size is None else size
    written = _written(root)
    bike = _spans(family, size, settings)
    sharing = _sharing(family, settings)
    found: dict[str, NumberPlace] = {}
    for span, (path, scalar) in bike.items():
        if span not in written:
            continue
        where, stands, by_rule = written[span]
        number = _NUMBER.fullmatch(scalar.text)
        before = _NUMBER.fullmatch(stands.text)
        if number is None or before is None:
            continue
        steps = where.split(".")
        found[path] = NumberPlace(
            path=path,
            text=scalar.text,
            written=where,
            above=Decimal(number[1]) - Decimal(before[1]),
            by_rule=by_rule,
            sizes=sharing.get(span, () if chosen is None else (chosen,)),
            setting=steps[1] if steps[0] == SETTINGS and len(steps) > 1 else None,
        )
    return found


def own_scalars(node: Node | None, path: str = "") -> Iterator[tuple[str, Scalar]]:
    """Yield the scalars at or below a node with their paths, without those that are shared."""
    if isinstance(node, Scalar):
        if not node.is_shared:
            yield path, node
    elif isinstance(node, tree.Sequence):
        for i, item in enumerate(node.items):
            yield from own_scalars(item, join(path, str(i)))
    elif node is not None:
        for key, entry in node.entries.items():
            yield from own_scalars(entry.node, join(path, key))


def resolved_scalars(
    text: str, size: str | None = None, settings: Sequence[str] = ()
) -> Mapping[str, str]:
    """Return what stands at the paths of one bike, without what anchors or merge keys share.

    Raises:
        SpecError: as `number_places`.
    """
    root = tree.parse(text, partial(SourceLocation, "<text>")).root
    family = VariantTree(root)
    bike = resolve(family.of_size(size), family, size, settings).root
    return {path: scalar.text for path, scalar in own_scalars(bike)}


def _written(root: Node | None) -> dict[_Span, tuple[str, Scalar, bool]]:
    """Return path and scalar of each plain number in a text, and whether it begins a rule.

    Of two numbers with one path, which dots in keys allow, only the first can be told by its path.
    """
    found: dict[str, Scalar] = {}
    for path, scalar in own_scalars(root):
        found.setdefault(path, scalar)
    rules = set(_rules(root, ""))
    return {s.span: (path, s, path in rules) for path, s in found.items() if s.plain}


def _rules(node: Node | None, path: str) -> Iterator[str]:
    """Yield the paths of the first numbers of rules."""
    if isinstance(node, tree.Sequence):
        for i, item in enumerate(node.items):
            yield from _rules(item, join(path, str(i)))
    elif isinstance(node, tree.Mapping):
        if node.entries.keys() == set(RULE):
            yield join(path, RULE[0])
        for key, entry in node.entries.items():
            yield from _rules(entry.node, join(path, key))


def _spans(
    family: VariantTree, size: str | None, settings: Sequence[str]
) -> dict[_Span, tuple[str, Scalar]]:
    """Return the scalars of one bike by where they stand in the text."""
    bike = resolve(family.of_size(size), family, size, settings).root
    return {scalar.span: (path, scalar) for path, scalar in own_scalars(bike) if scalar.plain}


def _sharing(family: VariantTree, settings: Sequence[str]) -> dict[_Span, tuple[str, ...]]:
    """Return which sizes take a value from each place; sizes that cannot be read take none."""
    found: dict[_Span, tuple[str, ...]] = {}
    for size in family.sizes:
        try:
            spans = _spans(family, size, settings)
        except SpecError:
            continue
        for span in spans:
            found[span] = (*found.get(span, ()), size)
    return found
