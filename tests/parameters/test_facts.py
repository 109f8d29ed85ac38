"""What messages say of a field: its models, its words, its range, unit and example."""

from __future__ import annotations

from typing import Annotated, Literal

import pytest
from pydantic import BaseModel, Field

from frame3d.parameters.models.base import Model, number
from frame3d.parameters.models.fork import ForkSpec
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.models.junctions import JunctionSpec
from frame3d.parameters.reading.facts import about, bounds, literals, models, unit


class Inner(Model):
    """A model within another."""

    word: Literal["up", "down"] = Field("up", title="Word", description="Which way")


class Outer(Model):
    """A model with a field of every kind."""

    wide: float = number("Wide", "Across", low=1, high=9, example=2.5, default=3)
    heavy: float = number("Heavy", "On the scales", above=0, high=250, unit="kg", example=80)
    teeth: int = Field(
        ..., title="Teeth", description="Number of teeth", ge=18, le=70, examples=[32]
    )
    which: Inner | tuple[Inner, ...] | None = None
    sizes: tuple[Annotated[float, Field(gt=0, le=25)], ...] = Field(
        (), title="Sizes", description="In a row [mm]", examples=[[0.9, 0.6]]
    )
    colour: str = Field("#000000", title="Colour", description="Of it", examples=["#4a6b57"])
    bare: Inner = Field(title="Bare")


@pytest.mark.parametrize(
    ("annotation", "names"),
    [
        (float, set[str]()),
        (Inner, {"Inner"}),
        (dict[str, Inner | None], {"Inner"}),
        (Annotated[Inner | tuple[Outer, ...], "said"], {"Inner", "Outer"}),
    ],
)
def test_models_within_an_annotation(annotation: object, names: set[str]) -> None:
    found = models(annotation)
    assert set(found) == names
    assert all(issubclass(model, BaseModel) for model in found.values())


@pytest.mark.parametrize(
    ("annotation", "words"),
    [
        (float, []),
        (Literal["left", "right"], ["left", "right"]),
        (Literal["a"] | Literal[2] | None, ["a", 2]),
        (Inner, []),
        (Annotated[Literal["solid"] | float, Field()], ["solid"]),
        (JunctionSpec.model_fields["cut"].annotation, ["mitre", "square"]),
    ],
)
def test_literals_that_an_annotation_allows(annotation: object, words: list[object]) -> None:
    assert literals(annotation) == words


@pytest.mark.parametrize(
    ("key", "said"),
    [
        ("wide", "Across; from 1 to 9 mm; e.g. wide: 2.5"),
        ("heavy", "On the scales; above 0, up to 250 kg; e.g. heavy: 80"),
        ("teeth", "Number of teeth; from 18 to 70; e.g. teeth: 32"),
        ("sizes", "In a row; above 0, up to 25 mm; e.g. sizes: [0.9, 0.6]"),
        ("colour", 'Of it; e.g. colour: "#4a6b57"'),  # quoted: # starts a comment
        ("bare", "Bare"),
    ],
)
def test_about(key: str, said: str) -> None:
    assert about(Outer.model_fields[key], key) == said


def test_a_name_of_digits_is_quoted_and_nothing_says_nothing() -> None:
    assert about(FrameSpec.model_fields["material"], "material").endswith('e.g. material: "4130"')
    assert about(None, "x") == ""
    assert unit(None) == ""
    assert bounds(None) == {}


def test_words_are_listed() -> None:
    assert "allowed: straight, along_axis" in about(ForkSpec.model_fields["measured"], "measured")


@pytest.mark.parametrize(
    ("key", "in_unit", "limits"),
    [
        ("wide", "mm", {"ge": 1.0, "le": 9.0}),
        ("heavy", "kg", {"gt": 0.0, "le": 250.0}),
        ("teeth", "", {"ge": 18.0, "le": 70.0}),
        ("sizes", "mm", {"gt": 0.0, "le": 25.0}),
    ],
)
def test_unit_and_bounds(key: str, in_unit: str, limits: dict[str, float]) -> None:
    field = Outer.model_fields[key]
    assert unit(field) == in_unit
    assert bounds(field) == limits
