"""The bike's file that a study varies: its text parsed once, read with any changes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cached_property

from frame3d.errors import Fault, SpecError
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.models.variants import Variants
from frame3d.parameters.reading import scalars, tree
from frame3d.parameters.reading.data import places, refuse_unprintable
from frame3d.parameters.reading.putting import steps_of
from frame3d.parameters.reading.reader import loads, variants_of
from frame3d.parameters.reading.tree import Node, Scalar, join
from frame3d.parameters.reading.variant_tree import VariantTree, resolve


class BikeFile:
    """A parameter file of one bike or of several sizes."""

    def __init__(self, text: str, source: str) -> None:
        """Parse the text.

        Raises:
            SpecError: it is not well-formed; each fault says that it is one of the bike's file.
        """
        self.text, self.source = text.removeprefix("\ufeff"), source
        try:
            place = places(self.text, source)
            refuse_unprintable(self.text, place)
            self._parsed = tree.parse(self.text, place)
            self.variants: Variants = variants_of(self.text, source, parse=self._parse)
        except SpecError as error:
            raise of_bike(error) from None

    def _parse(self, text: str, place: object) -> tree.Parsed:
        return self._parsed

    def spec(self, sets: Sequence[str] = (), size: str | None = None) -> FrameSpec:
        """Return the file's bike with changes of its design, ``KEY=VALUE``.

        Raises:
            SpecError: as `frame3d.parameters.reading.reader.loads`.
        """
        return loads(self.text, self.source, sets, parse=self._parse, size=size)

    def nodes_at(self, path: str, size: str | None) -> list[Node]:
        """Return what stands at a dotted path of one bike; empty where nothing does.

        The path is one of the bike (``geometry.reach``), or of the file where that gives a value for
        each size (``geometry.reach.from``, ``sizes.L.geometry.bb_drop``).
        """
        steps = steps_of(path)
        found = [at_path(root, steps) for root in self._trees(size)]
        return [node for node in found if node is not None]

    def text_at(self, path: str, size: str | None = None) -> str | None:
        """Return the unquoted or quoted text at a dotted path; None where no single value stands."""
        nodes = self.nodes_at(path, size)
        return nodes[0].text if nodes and isinstance(nodes[0], Scalar) else None

    @cached_property
    def numbers(self) -> tuple[str, ...]:
        """Dotted paths of all numbers of the file and of its default bike."""
        paths: dict[str, None] = {}
        for root in self._trees(self.variants.default):
            for path, scalar in leaves(root):
                text = scalar.text.removesuffix("%")
                if scalar.plain and isinstance(scalars.value(text), int | float) and text:
                    paths.setdefault(path)
        return tuple(p for p in paths if p != "format")

    def _trees(self, size: str | None) -> Iterator[Node]:
        """Yield the tree of a bike, then that of the file with a size's changes, then the file's."""
        root = self._parsed.root
        family = VariantTree(root)
        of_size = family.of_size(size)
        bike = resolve(of_size, family, size, ()).root
        for one in (bike, of_size, root):
            if one is not None:
                yield one


def at_path(node: Node, steps: Sequence[str]) -> Node | None:
    """Return what stands at a path below a node, whose keys may be dotted paths; None for nothing."""
    if not steps:
        return node
    if isinstance(node, tree.Sequence):
        step = steps[0]
        is_place = step.isascii() and step.isdigit() and int(step) < len(node.items)
        return at_path(node.items[int(step)], steps[1:]) if is_place else None
    if isinstance(node, tree.Mapping):
        for count in range(len(steps), 0, -1):
            entry = node.entries.get(".".join(steps[:count]))
            if entry is not None:
                found = at_path(entry.node, steps[count:])
                if found is not None:
                    return found
    return None


def leaves(node: Node, path: str = "") -> Iterator[tuple[str, Scalar]]:
    """Yield the scalars at or below a node with their dotted paths."""
    if isinstance(node, Scalar):
        yield path, node
    elif isinstance(node, tree.Sequence):
        for i, item in enumerate(node.items):
            yield from leaves(item, join(path, str(i)))
    else:
        for key, entry in node.entries.items():
            yield from leaves(entry.node, join(path, key))


def of_bike(error: SpecError) -> SpecError:
    """Return the same error, each fault told as one of the bike's file and not of the study."""
    return SpecError(said_of_bike(fault) for fault in error.faults)


def said_of_bike(fault: Fault) -> Fault:
    """Return a fault of the bike's file, told as such."""
    return replace(fault, message=f"the bike's own file is at fault: {fault.message}")
