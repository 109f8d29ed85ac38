"""Steps of putting it together: only what is there, with its numbers."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from frame3d.mockup.steps import Numbers, steps

WHOLE = ("frame", "fork", "steerer", "cockpit", "saddle", "crank_spindle", "chainring", "crank_arm_left",
         "crank_arm_right", "pedal_left", "pedal_right", "front_tyre", "front_wheel_left", "front_wheel_right",
         "front_axle", "rear_tyre", "rear_wheel_left", "rear_wheel_right", "rear_axle", "stand", "name_plate")  # fmt: skip


def plates(*names: str) -> Any:
    parts = [
        SimpleNamespace(number=i, part=SimpleNamespace(name=n)) for i, n in enumerate(names, 1)
    ]
    return SimpleNamespace(parts=parts)


def told(*names: str, marks: str = "") -> list[str]:
    joints = [SimpleNamespace(mark=mark) for mark in [*marks, ""]]
    model: Any = SimpleNamespace(joints=joints)
    return steps(model, plates(*names))


def test_a_part_that_was_cut_stands_for_its_pieces() -> None:
    numbers = Numbers(plates("fork", "frame_1", "frame_2", "wheel_29"))
    assert numbers.of("frame") == "(2, 3)"
    assert numbers.of("frame_2", "fork") == "(3, 1)"
    assert numbers.of("nothing") == "()"
    assert "frame" in numbers
    assert "frame_3" not in numbers


def test_a_whole_bike_is_put_together_part_by_part() -> None:
    said = told(*WHOLE)
    text = " ".join(said)
    for number in range(1, len(WHOLE) + 1):
        assert any(f"{mark}{number}{end}" in text for mark in "( " for end in ",)"), WHOLE[
            number - 1
        ]
    order = [next(i for i, s in enumerate(said) if s.startswith(word))
             for word in ("Front wheel", "Rear wheel", "Glue the steerer", "Set the wheels", "Push the spindle",
                          "Glue the saddle", "Lay the name plate")]  # fmt: skip
    assert order == sorted(order)


@pytest.mark.parametrize(
    ("left_out", "word"),
    [
        (("front_tyre", "front_axle"), "wheel"),
        (("fork",), "steerer"),
        (("saddle",), "saddle"),
        (("crank_spindle",), "spindle"),
        (("chainring",), "chainring"),
        (("pedal_left",), "pedals"),
        (("name_plate",), "name plate"),
        (("cockpit",), "stem"),
    ],
)
def test_what_is_not_there_is_not_put_together(left_out: tuple[str, ...], word: str) -> None:
    assert word in " ".join(told(*WHOLE))
    assert word not in " ".join(told(*(n for n in WHOLE if n not in left_out)))


def test_letters_of_cuts_are_told_from_the_first_to_the_last() -> None:
    assert told("frame") == []
    (said,) = told("frame_1", "frame_2", marks="CAB")
    assert "(A to C)" in said
