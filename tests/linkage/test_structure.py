"""Trees of links and their loops: named linkages worked by hand, and counts that hold for any."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.linkage.structure import AXLE, Closure, ParentJoint, structure_of

FOUR_BAR = {
    "frame": ["o2", "o4", "fix"],
    "crank": ["o2", "a"],
    "coupler": ["a", "b"],
    "rocker": ["o4", "b"],
}


def test_a_four_bar() -> None:
    """Both links on the frame hang there, the coupler on one of them; its other pivot closes the loop."""
    found = structure_of(FOUR_BAR, "coupler", ("fix", "a"))
    assert found.links == ("crank", "rocker", "coupler")
    assert found.tree == (
        ParentJoint("crank", "frame", "o2"),
        ParentJoint("rocker", "frame", "o4"),
        ParentJoint("coupler", "crank", "a"),
    )
    assert found.closures == (Closure("b", "coupler", "rocker"),)
    assert found.shock == (("fix", "frame"), ("a", "crank"))
    assert found.count == 1


def test_a_swingarm_closes_no_loop() -> None:
    found = structure_of({"frame": ["p", "f"], "arm": ["p", "r"]}, "arm", ("f", "r"))
    assert found.tree == (ParentJoint("arm", "frame", "p"),)
    assert found.closures == ()
    assert found.count == 1


def test_six_links() -> None:
    """Stephenson's chain: 6 bodies and 7 pivots have one degree of freedom (any textbook on kinematics)."""
    bodies = {**FOUR_BAR, "frame": ["o2", "o4", "o6"], "coupler": ["a", "b", "c"],
              "strut": ["c", "d"], "lever": ["o6", "d"]}  # fmt: skip
    found = structure_of(bodies, "coupler", ("o2", "d"))
    assert len(found.links) == 5
    assert len(found.closures) == 2
    assert found.count == 1


def test_three_bodies_on_one_pivot_are_two_joints() -> None:
    """All on the frame's pivot hang there, and nothing is left to close."""
    found = structure_of({"frame": ["p"], "one": ["p", "q"], "two": ["p", "r"]}, "one", ("q", "r"))
    assert [joint.parent for joint in found.tree] == ["frame", "frame"]
    assert found.closures == ()
    assert found.count == 2
    # Around a loop: of three bodies on b, the tree joins none there, so two closures are left.
    bodies = {**FOUR_BAR, "frame": ["o2", "o4", "o6"], "third": ["o6", "b"]}
    found = structure_of(bodies, "coupler", ("o2", "b"))
    assert [c.pivot for c in found.closures] == ["b", "b"]
    assert found.count == 0


def test_a_pivot_on_the_rear_axle_joins_what_is_there() -> None:
    """The axle's own link is on the axle, whether the file lists it there or not."""
    bodies = {"frame": ["p", "f"], "arm": ["p", AXLE], "brake": [AXLE, "t"], "tie": ["t", "f"]}
    listed = structure_of(bodies, "arm", ("f", "t"))
    left_out = structure_of({**bodies, "arm": ["p"]}, "arm", ("f", "t"))
    for found in (listed, left_out):
        assert {(c.pivot, {c.first, c.second} == {"brake", "tie"}) for c in found.closures} <= {
            ("t", True),
            (AXLE, False),
        }
        assert len(found.closures) == 1
        assert found.count == 1


def test_links_joined_to_nothing_are_named() -> None:
    with pytest.raises(ValueError, match=r"not joined to the frame: lost, found$"):
        structure_of({**FOUR_BAR, "lost": ["x"], "found": ["x", "y"]}, "coupler", ("fix", "a"))


@st.composite
def linkages(draw: st.DrawFn) -> dict[str, list[str]]:
    """Bodies with points of which the first is on a body before, so that all hang together."""
    bodies = {"frame": ["f0", "f1", "f2"]}
    for i in range(draw(st.integers(1, 6))):
        known = sorted({p for points in bodies.values() for p in points})
        on = draw(st.lists(st.sampled_from(known), min_size=1, max_size=3, unique=True))
        bodies[f"link{i}"] = [*on, f"own{i}"]
    order = draw(st.permutations(sorted(bodies)))
    return {body: bodies[body] for body in order}


@settings(max_examples=30)
@given(linkages())
def test_each_pivot_has_a_joint_less_than_bodies(bodies: dict[str, list[str]]) -> None:
    """A pivot of k bodies is k - 1 joints, each either of the tree or a closure."""
    found = structure_of(bodies, "link0", ("f0", "own0"))
    assert sorted(found.links) == sorted(set(bodies) - {"frame"})
    known = {"frame"}
    for link, joint in zip(found.links, found.tree, strict=True):
        assert joint.link == link
        assert joint.parent in known
        assert joint.pivot in bodies[link]
        assert joint.pivot in bodies[joint.parent]
        known.add(link)
    points = {p for own in bodies.values() for p in own}
    for point in points:
        there = sum(point in own for own in bodies.values())
        joints = sum(j.pivot == point for j in found.tree)
        joints += sum(c.pivot == point for c in found.closures)
        assert joints == there - 1, point
    # Grübler with every joint counted: 3 for each moving link, less 2 for each joint.
    joints = sum(sum(p in own for own in bodies.values()) - 1 for p in points)
    assert found.count == 3 * len(found.links) - 2 * joints
