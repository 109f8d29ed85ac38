"""Sizes at a pivot: who holds the bearings is bored for them, and is as thick as its housing."""

from __future__ import annotations

from frame3d.tubes.hardware import Seat
from frame3d.tubes.pin import Pin, housing_name, lug_name, plate_name


def pin(owner: str | None, seat: Seat | None = None) -> Pin:
    return Pin("p", (0.0, 0.0), ("frame", "arm"), owner, None, None, 14.0, 30.0, 12.0, 8.0, seat)


def test_the_owner_is_bored_for_bearings_and_others_for_the_axle() -> None:
    seated = pin("arm", Seat(24.0, 7.0))
    assert (seated.bored("arm"), seated.bored("frame")) == (24.0, 12.0)
    assert (seated.thickness("arm"), seated.thickness("frame")) == (14.0, 8.0)


def test_without_bearings_or_an_owner_all_are_bored_for_the_axle() -> None:
    assert [pin("arm").bored(body) for body in ("arm", "frame")] == [12.0, 12.0]
    free = pin(None, Seat(24.0, 7.0))
    assert [free.bored(body) for body in ("arm", "frame")] == [12.0, 12.0]
    assert [free.thickness(body) for body in ("arm", "frame")] == [8.0, 8.0]


def test_names_tell_pieces_apart() -> None:
    names = {
        housing_name("p"), lug_name("p", "arm", "left"), lug_name("p", "arm", "right"),
        lug_name("p", "frame", "left"), plate_name("arm", "left"), plate_name("arm", "right"),
    }  # fmt: skip
    assert len(names) == 6
