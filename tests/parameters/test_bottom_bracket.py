"""The bottom bracket's shell and its eccentric insert."""

from __future__ import annotations

import math

import pytest
from pydantic import ValidationError

from frame3d.errors import SpecError
from frame3d.parameters.models.bottom_bracket import BottomBracketSpec, EccentricSpec
from frame3d.parameters.reading.reader import load
from tests.bike.tension.bikes import RIGID, SETS


def test_the_middle_lies_opposite_of_the_angle() -> None:
    spec = EccentricSpec(offset=5, angle=-120)
    x, z = spec.middle(-120)
    assert (x, z) == pytest.approx((2.5, 5 * math.sqrt(3) / 2))


@pytest.mark.parametrize(
    ("angle", "range_"), [(-90, (-180, 0)), (0, (-180, 0)), (10, (0, 180)), (180, (0, 180))]
)
def test_left_out_the_range_is_half_a_turn(angle: float, range_: tuple[float, float]) -> None:
    assert EccentricSpec(offset=5, angle=angle).range == range_


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"offset": 5, "angle": 0, "between": [10, 90]}, "outside of its range"),
        ({"offset": 5, "angle": 0, "between": [90, -90]}, "no turn of the insert"),
        ({"offset": 5, "angle": 0, "between": [-200, 170]}, "no turn of the insert"),
        ({"offset": 0, "angle": 0}, "greater than 0"),
    ],
)
def test_what_no_insert_is(given: dict[str, object], said: str) -> None:
    with pytest.raises(ValidationError, match=said):
        EccentricSpec.model_validate(given)


@pytest.mark.parametrize(
    ("shell", "offset", "said"),
    [
        ("eccentric-68", 8.67, None),  # (54 - 33.65)/2 - 1.5 = 8.675
        ("eccentric-68", 8.7, "leaves 1.48 mm"),
        ("pressfit-46-68", 4.0, None),
        ("pressfit-42-68", 4.0, "leaves 0.16 mm"),
        ("threaded-68", 1.0, "needs a plain bore"),
        ({"width": 68, "od": 60, "bore": 54}, 6.0, None),
    ],
)
def test_metal_that_is_left(shell: object, offset: float, said: str | None) -> None:
    given = {"shell": shell, "eccentric": {"offset": offset, "angle": 0}}
    if said is None:
        BottomBracketSpec.model_validate(given)
    else:
        with pytest.raises(ValidationError, match=said):
            BottomBracketSpec.model_validate(given)


def test_what_it_does_not_go_together_with() -> None:
    slide = "build.dropout={kind: sliding, slide: {length: 16, at: 6}}"
    with pytest.raises(SpecError, match="each of both tensions the chain"):
        load(RIGID, sets=[*SETS, slide])
    full = RIGID.with_name("trail_full_140.yaml")
    with pytest.raises(SpecError, match="stands beside a rear suspension"):
        load(full, sets=[SETS[0]])


@pytest.mark.parametrize(
    ("shell", "holds", "name"),
    [
        ("eccentric-68", None, "threaded-68"),
        ("eccentric-73", None, "threaded-73"),
        ("eccentric-73", "pressfit-42-73", "pressfit-42-73"),
        ({"width": 80, "od": 60, "bore": 54}, None, "threaded-73"),
        ({"width": 60, "od": 60, "bore": 54}, None, "threaded-68"),
    ],
)
def test_an_insert_takes_the_bottom_bracket_of_its_width(
    shell: object, holds: str | None, name: str
) -> None:
    insert = {"offset": 4, "angle": 0, "holds": holds}
    spec = BottomBracketSpec.model_validate({"shell": shell, "eccentric": insert})
    assert spec.held.name == name


def test_a_shell_without_an_insert_holds_none_for_it() -> None:
    with pytest.raises(ValueError, match="no insert"):
        _ = BottomBracketSpec.model_validate({"shell": "threaded-73"}).held
