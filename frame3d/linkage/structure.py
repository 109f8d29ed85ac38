"""Which links hang on which pivots, and which pivots close loops."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

FRAME: Final = "frame"
"""The body that stands still."""
AXLE: Final = "rear_axle"


@dataclass(frozen=True, slots=True)
class ParentJoint:
    """A link on the pivot that leads back toward the frame."""

    link: str
    parent: str
    pivot: str


@dataclass(frozen=True, slots=True)
class Closure:
    """A pivot that two bodies reach in different ways: two equations."""

    pivot: str
    first: str
    second: str


@dataclass(frozen=True, slots=True)
class Structure:
    """A linkage without its sizes: a tree of links from the frame, and what closes the loops."""

    links: tuple[str, ...]
    """Moving links, each after the one that it hangs on."""
    tree: tuple[ParentJoint, ...]
    """One a link, in the same order."""
    closures: tuple[Closure, ...]
    shock: tuple[tuple[str, str], tuple[str, str]]
    """(point, body) of its start and its end."""
    axle: str
    """The link that carries the rear axle."""

    @property
    def count(self) -> int:
        """Freedoms by counting (Grübler): 3 a link, less 2 for each further body on a pivot."""
        return len(self.links) - 2 * len(self.closures)


def structure_of(
    bodies: Mapping[str, Sequence[str]], axle: str, shock: tuple[str, str]
) -> Structure:
    """Order the bodies from the frame outward.

    Args:
        bodies: body -> points on it, the frame among them; every link joined to the frame in some way.
        axle: the link that carries the rear axle.
        shock: points of the shock's start and end.

    Raises:
        ValueError: a link is not joined to the frame.
    """
    on: dict[str, list[str]] = {}
    for body, points in bodies.items():
        for point in points:
            on.setdefault(point, []).append(body)
    if axle not in on.setdefault(AXLE, []):
        on[AXLE].append(axle)
    tree = _tree(on)
    reached = {FRAME, *(joint.link for joint in tree)}
    lost = [body for body in bodies if body not in reached]
    if lost:
        raise ValueError(f"not joined to the frame: {', '.join(lost)}")
    start, end = ((point, on[point][0]) for point in shock)
    links = tuple(joint.link for joint in tree)
    return Structure(links, tree, _closures(on, tree), (start, end), axle)


def _tree(on: Mapping[str, Sequence[str]]) -> tuple[ParentJoint, ...]:
    """Return each link with the pivot that it hangs on, those nearest to the frame first.

    Args:
        on: point -> bodies on it.
    """
    reached = [FRAME]
    tree: list[ParentJoint] = []
    for parent in reached:  # grows as links are reached: nearest to the frame first
        for pivot, there in on.items():
            if parent in there:
                for link in there:
                    if link not in reached:
                        reached.append(link)
                        tree.append(ParentJoint(link, parent, pivot))
    return tuple(tree)


def _closures(on: Mapping[str, Sequence[str]], tree: Sequence[ParentJoint]) -> tuple[Closure, ...]:
    """Return the pivots that close loops: at each, the bodies that the tree does not join there.

    Args:
        on: point -> bodies on it.
        tree: from `_tree`.
    """
    closures: list[Closure] = []
    for pivot, there in on.items():
        group = {body: i for i, body in enumerate(there)}
        for joint in tree:
            if joint.pivot == pivot:
                old, new = group[joint.link], group[joint.parent]
                group = {b: new if g == old else g for b, g in group.items()}
        for body in there[1:]:
            if group[body] != group[there[0]]:
                closures.append(Closure(pivot, there[0], body))
                old, new = group[body], group[there[0]]
                group = {b: new if g == old else g for b, g in group.items()}
    return tuple(closures)
