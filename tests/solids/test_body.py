"""Bodies before the kernel: mirror images, thinnest walls, connected pieces."""

from __future__ import annotations

from dataclasses import replace

import pytest

from frame3d.solids.bodies import bodies
from frame3d.solids.body import BREAK_THROUGH, SolidBody, SolidCut, mirrors, pieces, skin
from frame3d.solids.sweep import straight
from tests.bikes import hardtail_layout
from tests.frames import bar, context


def made(name: str, *cut_by: str) -> SolidBody:
    rod = straight((0, 0, 0), (0, 0, 100), (20, 20))
    return SolidBody(
        name=name, key=name, path=f"tubes.{name}", side=None, colour="#000000", material="steel",
        density=7.85, metal=(rod,), bore=None, voids=(), holes=(), drills=(),
        cuts=tuple(SolidCut(other, (), ()) for other in cut_by),
    )  # fmt: skip


def test_pieces_are_what_hangs_together() -> None:
    a, b, c, d, e = made("a"), made("b", "a"), made("c"), made("d", "c", "b"), made("e")
    assert pieces((a, b, c, d, e)) == (("a", "b", "c", "d"), ("e",))
    assert pieces((a, c, e)) == (("a",), ("c",), ("e",))
    assert pieces(()) == ()


def test_a_pair_of_stays_is_mirrored_and_one_that_is_changed_is_not() -> None:
    found = {body.name: body for body in bodies(hardtail_layout())}
    left, right = found["chainstay_left"], found["chainstay_right"]
    assert mirrors(left, right)
    assert mirrors(right, left)
    assert not mirrors(left, left)
    assert not mirrors(left, replace(right, density=right.density + 0.1))
    assert not mirrors(left, replace(right, colour="#ffffff"))
    assert not mirrors(left, replace(right, cuts=right.cuts[1:]))
    hole = straight((-100, -40, 0), (-100, -40, 9), (3, 3))
    assert not mirrors(left, replace(right, drills=(*right.drills, hole)))


@pytest.mark.parametrize(("wall", "half"), [(1.0, 1.0), (2.0, 2.0), ("solid", 5.0)])
def test_the_skin_is_a_wall_across(wall: object, half: float) -> None:
    """Half a wall on either side of a tube, a quarter of a bar's size."""
    bike = context({"one": bar(20.0, (0, 0, 0), (0, 0, 100), wall)})
    (body,) = bodies(bike)
    assert skin(body) == pytest.approx(half)


def test_a_part_alone_is_open_at_both_ends() -> None:
    bike = context({"one": bar(20.0, (0, 0, 0), (0, 0, 100), 1.0)})
    (body,) = bodies(bike)
    (void,) = body.own_voids
    assert (void.axis.start[2], void.axis.end[2]) == (-BREAK_THROUGH, 100 + BREAK_THROUGH)
    assert made("bar").own_voids == ()
