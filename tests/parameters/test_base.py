"""The base of all models: numbers, shares, names of the tables, keys with nothing."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import TypeAdapter, ValidationError

from frame3d.parameters.models.base import (
    Colour,
    MaterialName,
    Model,
    Problem,
    Share,
    kind,
    number,
    unknown,
)
from frame3d.parameters.models.parts import HubSpec
from frame3d.parameters.sizes.materials import MATERIALS


@pytest.mark.parametrize("number", [True, "455", None, [455], float("nan"), float("inf")])
def test_a_number_is_a_number(number: object) -> None:
    with pytest.raises(ValidationError):
        HubSpec.model_validate({"width": number, "axle": 12})


class Pair(Model):
    """Two numbers, the first below the second."""

    low: float = number("Low", "The first", low=0, high=9, default=1)
    high: float = number("High", "The second", low=0, high=9, default=2)

    def problems(self) -> Iterator[Problem]:
        if self.low >= self.high:
            yield Problem("inconsistent", "low", "not below high", f"less than {self.high:g}")


def test_nothing_as_a_value_counts_as_absent_and_an_unknown_key_does_not() -> None:
    assert Pair.model_validate({"low": None, "high": 3}) == Pair.model_validate({"high": 3})
    with pytest.raises(ValidationError, match="Extra inputs"):
        Pair.model_validate({"lower": None})


def test_whether_values_go_together_is_asked_once_each_is_sound() -> None:
    with pytest.raises(ValidationError, match="low: not below high"):
        Pair(low=3)
    with pytest.raises(ValidationError) as caught:
        Pair.model_validate({"low": 4, "high": 10})
    assert [error["type"] for error in caught.value.errors()] == ["less_than_equal"]


def test_a_field_carries_its_unit() -> None:
    schema = Pair.model_json_schema()["properties"]["low"]
    assert (schema["unit"], schema["description"]) == ("mm", "The first [mm]")


SHARE: TypeAdapter[float] = TypeAdapter(Share)


@settings(max_examples=60, deadline=None)
@given(st.decimals(0, 100, places=2))
def test_a_share_is_its_hundredth_part(percent: Any) -> None:
    assert SHARE.validate_python(f"{percent}%") == pytest.approx(float(percent) / 100, abs=1e-12)


@pytest.mark.parametrize(
    ("said", "hint"),
    [
        (25, "write 25%"),
        (0.25, "write 25%"),
        (1, "from 0% to 100%"),  # 1 % or all of it
        ("101%", "from 0% to 100%"),
        ("-1%", "from 0% to 100%"),
        ("a quarter", "e.g. 25%"),
        (True, "from 0% to 100%"),
        (None, "from 0% to 100%"),
    ],
)
def test_no_share(said: object, hint: str) -> None:
    with pytest.raises(ValidationError) as caught:
        SHARE.validate_python(said)
    (problem,) = caught.value.errors()[0]["ctx"]["problems"]
    assert problem.code == "wrong-type"
    assert hint in problem.hint


@pytest.mark.parametrize("name", MATERIALS)
def test_materials_are_known_with_and_without_quotes(name: str) -> None:
    material: TypeAdapter[str] = TypeAdapter(MaterialName)
    assert material.validate_python(int(name) if name.isdigit() else name) == name


@pytest.mark.parametrize(
    ("colour", "good"),
    [
        ("#4a6b57", True),
        ("#4A6B57", True),
        ("#4a6b5", False),
        ("4a6b57", False),
        ("#4a6b5g", False),
    ],
)
def test_a_colour_is_six_digits_to_the_base_of_16(colour: str, good: bool) -> None:
    adapter: TypeAdapter[str] = TypeAdapter(Colour)
    if good:
        assert adapter.validate_python(colour) == colour
    else:
        with pytest.raises(ValidationError):
            adapter.validate_python(colour)


@pytest.mark.parametrize(
    ("value", "tag"),
    [
        (3, "<number>"),
        (2.5, "<number>"),
        ("a", "<text>"),
        ({}, "<mapping>"),
        (Pair(), "<Pair>"),
        (True, None),
        ([1], None),
        (None, None),
    ],
)
def test_the_kind_of_a_value(value: object, tag: str | None) -> None:
    assert kind(value) == tag


def test_an_unknown_name_is_asked_after() -> None:
    near = unknown("on", "tube", "top_tub", ["down_tube", "top_tube"])
    assert (near.code, near.key) == ("not-allowed", "on")
    assert near.message == "there is no tube top_tub"
    assert near.hint == "did you mean top_tube? known here: down_tube, top_tube"
    assert unknown("on", "tube", "x", []).hint == "known here: none"
