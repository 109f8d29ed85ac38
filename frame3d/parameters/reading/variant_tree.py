"""Resolve the sizes and settings of a parameter file: from its tree to the tree of one bike.

::

    sizes:                              geometry:
      default: M                          reach: {from: 430, step: 25}         S 430, M 455, L 480
      S: {build.crank.length: 165}        seat_tube_length: {S: 390, M: 420, L: 450}
      M:
      L: {build: {rider: {height: 1850}}}
    settings:
      low: {suspension.points.rocker_shock.above: 60}

A size's changes are put into the file first, then overrides, then each value that is given by size
is replaced by that of the chosen one. Settings are exchanges on the finished frame, put in last.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import Final, NoReturn

from frame3d.errors import Fault, SourceLocation, SpecError
from frame3d.parameters.models.base import unknown
from frame3d.parameters.models.variants import Variants
from frame3d.parameters.reading import tree
from frame3d.parameters.reading.putting import is_nothing, leaves, merged
from frame3d.parameters.reading.tree import Entry, Mapping, Node, Scalar, join

SIZES: Final = "sizes"
SETTINGS: Final = "settings"
DEFAULT: Final = "default"
"""Key of `sizes` that names the size that is meant where none is named."""
ALL: Final = "all"
"""Stands for every size, or every setting, on the command line."""
DRAWN: Final = "drawn"
"""Stands for the frame without a setting."""
MOST: Final = 24
"""Most sizes, and most settings, of a file."""
SIZE_NAME: Final = rf"[A-Z0-9][A-Za-z0-9_-]{{0,15}}|{DEFAULT}"
"""A size's name begins with a capital letter or a digit, as no key of the format does: so a mapping by
size cannot be mistaken for one of the format's own."""
SETTING_NAME: Final = r"[A-Za-z0-9][A-Za-z0-9_-]{0,15}"
"""``trail.yaml:L+low`` names a size with a setting, so neither name has a colon or a plus in it."""
RULE: Final = ("from", "step")
"""Keys of a rule: the value of the first size, and the step from each to the next."""
_NUMBER: Final = re.compile(r"[-+]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)")


@dataclass(frozen=True, slots=True)
class Resolved:
    """The tree of one bike."""

    root: Node | None
    variants: Variants


class VariantTree:
    """The tree of a file, and what its sizes and settings change in it."""

    def __init__(self, root: Node | None) -> None:
        """Take the sections on sizes and settings apart.

        Raises:
            SpecError: every fault in these sections, but for values.
        """
        self._root, sizes = _without(root, SIZES)
        self._sizes: dict[str, Mapping] = {}
        self._default: str | None = None
        self._faults: list[Fault] = []
        if sizes is not None and not is_nothing(sizes.node):
            self._read_sizes(sizes)
        self._refuse_settings_named_as_sizes()
        if self._faults:
            raise SpecError(self._faults)

    @property
    def sizes(self) -> tuple[str, ...]:
        """The sizes, in the order of the file."""
        return tuple(self._sizes)

    @property
    def default(self) -> str | None:
        """The size that is meant where none is named: the one that the file says, or the middle one."""
        if self._default is not None or not self._sizes:
            return self._default
        return self.sizes[(len(self._sizes) - 1) // 2]

    def of_size(self, name: str | None) -> Node | None:
        """Return the tree with the changes of a size, the default one for None.

        Values that are given for each size are still in it; see `resolve`.

        Raises:
            SpecError: there is no such size, or its changes cannot be put into the file.
        """
        if name is not None and name not in self._sizes:
            raise SpecError(not_offered("size", name, self.sizes))
        size = self.default if name is None else name
        if size is None:
            return self._root
        return merged(self._root, self._sizes[size], is_value=_is_one_value)

    def _read_sizes(self, section: Entry) -> None:
        """Take the names of the sizes, their changes and the default from the file's section."""
        node = section.node
        if isinstance(node, tree.Sequence):
            for item in node.items:
                if isinstance(item, Scalar):
                    self._add(item, Mapping({}, item.place))
                else:
                    self._fault(
                        "wrong-type", SIZES, "a size's name is wanted", "[S, M, L]", item.place
                    )
        elif isinstance(node, Mapping):
            default = node.entries.get(DEFAULT)
            for name, entry in node.entries.items():
                if (
                    name == DEFAULT
                    and isinstance(entry.node, Scalar)
                    and not is_nothing(entry.node)
                ):
                    continue
                changes = _changes(entry, join(SIZES, name))
                self._add(entry.key, changes)
            if default is not None and isinstance(default.node, Scalar):
                self._choose_default(default.node)
        else:
            self._fault(
                "wrong-type",
                SIZES,
                "names and what each size changes are wanted",
                "sizes: [S, M, L], or sizes: {S: {geometry.reach: 430}, M: {}}",
                section.key.place,
            )
        if not self._sizes and not self._faults:
            self._fault("missing-key", SIZES, "no size stands here", "[S, M, L]", section.key.place)

    def _add(self, key: Scalar, changes: Mapping) -> None:
        name, path = key.text, join(SIZES, key.text)
        fault = _wrong_name("size", key, path)
        if fault is not None:
            self._faults.append(fault)
        elif name.lower() in (other.lower() for other in self._sizes):
            self._fault(
                "duplicate-key",
                path,
                f"{name} stands here twice, capitals apart",
                "each size gets a folder, and some systems do not tell capitals apart",
                key.place,
            )
        elif len(self._sizes) == MOST:
            self._fault(
                "out-of-range", SIZES, f"more than {MOST} sizes", "write two files", key.place
            )
        else:
            self._sizes[name] = changes

    def _choose_default(self, node: Scalar) -> None:
        if is_nothing(node):
            return
        if node.text in self._sizes:
            self._default = node.text
        else:
            problem = unknown(f"{SIZES}.{DEFAULT}", "size", node.text, self._sizes)
            self._fault(problem.code, problem.key, problem.message, problem.hint, node.place)

    def _fault(self, code: str, path: str, message: str, hint: str, at: SourceLocation) -> None:
        self._faults.append(Fault(code, path, message, hint, at))

    def _refuse_settings_named_as_sizes(self) -> None:
        _, settings = _without(self._root, SETTINGS)
        if settings is None or not isinstance(settings.node, Mapping):
            return
        for name, entry in settings.node.entries.items():
            if name in self._sizes:
                self._fault(
                    "bad-name",
                    join(SETTINGS, name),
                    f"{name} is a size of the file",
                    "another name for the setting",
                    entry.key.place,
                )


def resolve(
    root: Node | None, of: VariantTree, size: str | None, settings: Sequence[str]
) -> Resolved:
    """Return the tree of one bike: values for its size, its settings put in.

    Args:
        root: from `VariantTree.of_size`, overrides put in.
        of: what `root` comes from.
        size: the chosen one; None for the default.
        settings: names of the chosen ones, in the order in which they are made.

    Raises:
        SpecError: a value lacks the size, a rule is none, or there is no such setting.
    """
    chosen = of.default if size is None else size
    if chosen is not None and root is not None:
        picking = _Picking(of.sizes, chosen)
        root = picking.node(root, "")
        if picking.faults:
            raise SpecError(picking.faults)
    root, section = _without(root, SETTINGS)
    offered = {} if section is None or is_nothing(section.node) else _settings(section)
    paths: list[str] = []
    for name in dict.fromkeys(settings):
        if name == DRAWN and name not in offered:
            continue
        if name not in offered:
            raise SpecError(not_offered("setting", name, tuple(offered)))
        root = merged(root, offered[name])
        paths += leaves(offered[name])
    variants = Variants(
        sizes=of.sizes,
        default=of.default,
        settings=tuple(offered),
        size=chosen,
        chosen=tuple(name for name in dict.fromkeys(settings) if name in offered),
        exchanged=tuple(dict.fromkeys(paths)),
    )
    return Resolved(root, variants)


def _wrong_name(what: str, key: Scalar, path: str) -> Fault | None:
    """Return the fault of a name that no size or setting can have; None where it can."""
    is_size = what == "size"
    if not re.fullmatch(SIZE_NAME if is_size else SETTING_NAME, key.text):
        message = f"{key.text} is no name of a {what}"
        way = "16 letters and digits at most, with - and _ between them"
        way += ", a capital or a digit first: S, M-L, XL, 52" if is_size else ": low, long-fork"
    elif key.text in (ALL, DRAWN):
        message, way = f"{key.text} stands for something else already", "another name"
    else:
        return None
    return Fault("bad-name", path, message, way, key.place)


def _is_one_value(node: Mapping) -> bool:
    """Return whether a mapping is a value by rule, or one for each size."""
    names = node.entries.keys()
    return bool(names) and (
        names == set(RULE) or all(re.fullmatch(SIZE_NAME, name) for name in names)
    )


def _settings(section: Entry) -> dict[str, Mapping]:
    """Return the changes of each setting by its name.

    Raises:
        SpecError: no names with their changes.
    """
    node = section.node
    if not isinstance(node, Mapping):
        raise SpecError(
            Fault(
                "wrong-type",
                SETTINGS,
                "names and what each setting exchanges are wanted",
                "settings: {low: {suspension.points.rocker_shock.above: 60}}",
                section.key.place,
            )
        )
    faults: list[Fault] = []
    found: dict[str, Mapping] = {}
    for name, entry in node.entries.items():
        path = join(SETTINGS, name)
        fault = _wrong_name("setting", entry.key, path)
        if fault is None and len(found) == MOST:
            fault = Fault(
                "out-of-range",
                SETTINGS,
                f"more than {MOST} settings",
                "leave some out",
                entry.key.place,
            )
        if fault is not None:
            faults.append(fault)
            continue
        try:
            found[name] = _changes(entry, path)
        except SpecError as error:
            faults += error.faults
    if faults:
        raise SpecError(faults)
    return found


def _changes(entry: Entry, path: str) -> Mapping:
    """Return what a size or a setting changes; an empty mapping for nothing.

    Raises:
        SpecError: it is no mapping, or a key of it is no dotted path.
    """
    node = entry.node
    if is_nothing(node):
        return Mapping({}, node.place)
    if not isinstance(node, Mapping):
        _stop("wrong-type", path, "keys of the file and their values are wanted", node.place)
    for name, below in node.entries.items():
        if not all(step.strip() for step in name.split(".")):
            _stop("override", join(path, name), "is no dotted path", below.key.place)
        if name.split(".")[0].strip() == SIZES:
            _stop(
                "not-allowed", join(path, name), "a size has no sizes of its own", below.key.place
            )
    return node


def _stop(code: str, path: str, message: str, place: SourceLocation) -> NoReturn:
    raise SpecError(Fault(code, path, message, "e.g. {geometry.reach: 430}", place))


def _without(root: Node | None, key: str) -> tuple[Node | None, Entry | None]:
    """Return the tree without a key at its top, and that key's entry."""
    if not isinstance(root, Mapping) or key not in root.entries:
        return root, None
    left = {name: entry for name, entry in root.entries.items() if name != key}
    return Mapping(left, root.place), root.entries[key]


def not_offered(what: str, name: str, names: tuple[str, ...]) -> Fault:
    """Return the fault of a size or setting that a file does not have, at the option that names it."""
    problem = unknown("", what, name, names)
    hint = problem.hint if names else f"the file has no {what}s"
    return Fault(problem.code, "", problem.message, hint, SourceLocation(f"--{what} {name}"))


def no_sizes(place: SourceLocation) -> Fault:
    """Return the fault of a file without sizes where all of them are asked for."""
    hint = "name them in it, e.g. sizes: [S, M, L], with geometry.reach: {from: 430, step: 25}"
    return Fault("missing-key", SIZES, "the file has no sizes", hint, place)


class _Picking:
    """Replaces values that are given for each size by that of one size."""

    def __init__(self, sizes: Sequence[str], size: str) -> None:
        self._sizes, self._size = sizes, size
        self.faults: list[Fault] = []

    def node(self, node: Node, path: str) -> Node:
        """Return the node with such values replaced; the same node where there are none."""
        if isinstance(node, Scalar):
            return node
        if isinstance(node, tree.Sequence):
            items = tuple(self.node(item, join(path, str(i))) for i, item in enumerate(node.items))
            same = all(a is b for a, b in zip(items, node.items, strict=True))
            return node if same else tree.Sequence(items, node.place)
        if node.entries.keys() == set(RULE):
            return self._by_rule(node, path)
        if not node.entries.keys().isdisjoint(self._sizes):
            return self._listed(node, path)
        entries = {
            name: self._entry(entry, join(path, name)) for name, entry in node.entries.items()
        }
        same = all(a is b for a, b in zip(entries.values(), node.entries.values(), strict=True))
        return node if same else Mapping(entries, node.place)

    def _entry(self, entry: Entry, path: str) -> Entry:
        node = self.node(entry.node, path)
        return entry if node is entry.node else Entry(entry.key, node)

    def _listed(self, node: Mapping, path: str) -> Node:
        """Return the value of the size from one for each."""
        for name, entry in node.entries.items():
            if name not in self._sizes:
                problem = unknown(join(path, name), "size", name, self._sizes)
                self.faults.append(
                    Fault(problem.code, problem.key, problem.message, problem.hint, entry.key.place)
                )
        missing = [name for name in self._sizes if name not in node.entries]
        if missing:
            first = next(iter(node.entries.values()))
            self.faults.append(
                Fault(
                    "missing-key",
                    path,
                    f"no value for {_listing('size', missing)}",
                    "give one for each size, or one for all with changes under sizes",
                    first.key.place,
                )
            )
        chosen = node.entries.get(self._size)
        return node if chosen is None else self.node(chosen.node, path)

    def _by_rule(self, node: Mapping, path: str) -> Node:
        """Return the value of the size from that of the first one and the step from each to the next."""
        first, step = (node.entries[key].node for key in RULE)
        numbers = [_decimal(n) for n in (first, step)]
        if numbers[0] is None or numbers[1] is None or numbers[0][1] != numbers[1][1]:
            wrong = step if numbers[1] is None else first
            self.faults.append(
                Fault(
                    "wrong-type",
                    path,
                    "a rule has two bare numbers of one kind: that of the first size and the step to "
                    "each next one",
                    "e.g. {from: 430, step: 25}, or {from: 25%, step: 1%}",
                    wrong.place,
                )
            )
            return node
        (start, mark), (by, _) = numbers[0], numbers[1]
        value = start + self._sizes.index(self._size) * by
        assert isinstance(first, Scalar)
        return Scalar(f"{value:f}{mark}", True, first.place, first.span, first.is_shared)


def _decimal(node: Node) -> tuple[Decimal, str] | None:
    """Return a plain number and its percent sign, if it has one; None for anything else."""
    if not isinstance(node, Scalar) or not node.plain or len(node.text) > 20:
        return None
    text = node.text.removesuffix("%")
    if not _NUMBER.fullmatch(text):
        return None
    try:
        return Decimal(text), node.text[len(text) :]
    except InvalidOperation:
        return None


def _listing(what: str, names: Sequence[str]) -> str:
    if len(names) == 1:
        return f"{what} {names[0]}"
    return f"{what}s {', '.join(names[:-1])} and {names[-1]}"


def of_sizes(paths: Sequence[str]) -> Iterator[str]:
    """Yield the overrides, ``KEY=VALUE``, that change the section on sizes itself."""
    for typed in paths:
        if typed.partition("=")[0].split(".")[0].strip() == SIZES:
            yield typed
