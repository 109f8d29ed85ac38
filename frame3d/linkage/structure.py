r"""The structure of a linkage: a tree of links from the frame, and the pivots that close loops.

In a four-bar linkage, the tree reaches both links on the frame and the third link over one of them. The
pivot at which the third link meets the other one closes the loop:

             coupler
        o---------------x  closure: both bodies must agree on where this pivot is
         \             /
    link  \           / link
           o         o
      /////////////////////  frame

The tree contains three joints (o), one for each moving link; each closure (x) gives two equations.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

FRAME: Final = "frame"
"""Name of the body that does not move."""
AXLE: Final = "rear_axle"
"""Name of the rear axle's point."""


@dataclass(frozen=True, slots=True)
class ParentJoint:
    """The pivot that joins a link to its parent, the next body toward the frame."""

    link: str
    parent: str
    pivot: str


@dataclass(frozen=True, slots=True)
class Closure:
    """A pivot shared by two bodies that the tree does not join there: it closes a loop (2 equations)."""

    pivot: str
    first: str
    second: str


@dataclass(frozen=True, slots=True)
class Structure:
    """Joints of a linkage without any lengths: a tree and its loop closures."""

    links: tuple[str, ...]
    """Moving links, each after its parent."""
    tree: tuple[ParentJoint, ...]
    """One joint for each link, in the same order."""
    closures: tuple[Closure, ...]
    shock: tuple[tuple[str, str], tuple[str, str]]
    """(point, body) of the shock's start and of its end."""
    axle: str
    """The link that carries the rear axle."""

    @property
    def count(self) -> int:
        """Mobility by Grübler's count: 3 for each moving link, less 2 for each joint.

        The tree has one joint for each link, so each link keeps 1; each closure takes 2.
        """
        return len(self.links) - 2 * len(self.closures)


def structure_of(
    bodies: Mapping[str, Sequence[str]], axle: str, shock: tuple[str, str]
) -> Structure:
    """Build the tree of links from the frame outward, nearest first, and find the loop closures.

    Args:
        bodies: body -> names of the points on it; the frame is one of the bodies.
        axle: the link that carries the rear axle.
        shock: points of the shock's start and end.

    Raises:
        ValueError: a link is not joined to the frame, directly or through other links.
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
