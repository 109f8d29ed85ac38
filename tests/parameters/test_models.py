"""The models by themselves, as a script builds them, and what the format promises about them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from pydantic import BaseModel

from frame3d.parameters.models.figures import FIGURES, title, unit
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.models.junctions import JunctionSpec
from frame3d.parameters.models.parts import BuildSpec, HubSpec, WheelSpec
from frame3d.parameters.models.profiles import OvalSpec, TaperSpec, smallest
from frame3d.parameters.models.tubes import TubeSpec
from frame3d.parameters.reading.facts import models
from frame3d.parameters.sizes import standards


def all_models(model: type[BaseModel] = FrameSpec) -> Iterator[type[BaseModel]]:
    """Every model of the format, by following the fields."""
    yield model
    for field in model.model_fields.values():
        for inner in models(field.annotation).values():
            yield from all_models(inner)


UNITS = (
    "mm",
    "degrees",
    "kg",
    "g/cm³",
    "GPa",
    "%",
    "N/mm",
    "lb/in",
    "bar",
    "psi",
    "cm³",
    "no unit",
    "s",
    "m/s",
    "N·s/m",
)
MODELS = list(dict.fromkeys(all_models()))


def test_every_model_is_found() -> None:
    names = {model.__name__ for model in MODELS}
    assert {"GeometrySpec", "BuildSpec", "TubeSpec", "JunctionSpec", "BendSpec"} <= names
    assert {"OvalSpec", "TaperSpec", "ButtedSpec", "CupSpec", "MaterialSpec"} <= names
    assert {"ClearanceSpec", "ExtraCheckSpec"} <= names


@pytest.mark.parametrize("model", MODELS, ids=lambda m: m.__name__)
def test_models_are_frozen_and_forbid_unknown_keys(model: type[BaseModel]) -> None:
    assert model.model_config["frozen"]
    assert model.model_config["extra"] == "forbid"
    assert model.model_config["strict"]


@pytest.mark.parametrize("model", MODELS, ids=lambda m: m.__name__)
def test_every_field_says_what_it_is(model: type[BaseModel]) -> None:
    assert model.__doc__
    for name, field in model.model_fields.items():
        assert field.title, name
        assert field.description, name


@pytest.mark.parametrize("model", MODELS, ids=lambda m: m.__name__)
def test_numbers_have_bounds_a_unit_and_an_example_within_them(model: type[BaseModel]) -> None:
    for name, field in model.model_fields.items():
        extra = field.json_schema_extra
        if not isinstance(extra, dict) or "unit" not in extra:
            continue
        assert extra["unit"] in UNITS, name
        assert str(field.description).endswith(f"[{extra['unit']}]")
        bounds: dict[str, Any] = {}
        for item in field.metadata:
            for key in ("ge", "gt", "le"):
                if hasattr(item, key):
                    bounds[key] = getattr(item, key)
        assert "le" in bounds, name
        assert ("ge" in bounds) != ("gt" in bounds), name
        assert field.examples, name
        example = field.examples[0]
        assert bounds.get("ge", example) <= example <= bounds["le"], name
        assert bounds.get("gt", example - 1) < example, name
        if isinstance(field.default, int | float):
            assert bounds.get("ge", field.default) <= field.default <= bounds["le"], name


def test_the_chart_figures_are_those_of_the_format() -> None:
    assert FIGURES == (
        "reach", "stack", "head_tube_angle", "head_tube_length", "effective_seat_tube_angle",
        "effective_seat_tube_angle_at_stack", "actual_seat_tube_angle", "seat_tube_length", "seat_tube_offset", "effective_top_tube",
        "chainstay_length", "front_centre", "wheelbase", "bb_drop", "bb_height",
        "fork_axle_to_crown", "fork_offset", "lower_headset_stack", "front_wheel_radius",
        "rear_wheel_radius", "trail", "mechanical_trail", "wheel_flop", "standover", "standover_mid_tube",
    )  # fmt: skip
    angles = [figure for figure in FIGURES if unit(figure) == "degrees"]
    assert angles == [
        "head_tube_angle",
        "effective_seat_tube_angle",
        "effective_seat_tube_angle_at_stack",
        "actual_seat_tube_angle",
    ]
    assert title("bb_drop") == "Bottom bracket drop"


def test_a_script_builds_what_a_file_says() -> None:
    spec = FrameSpec(
        format=1,
        name="Test",
        geometry={"reach": 455},  # type: ignore[arg-type]
        build=BuildSpec(rear_wheel=WheelSpec(hub=HubSpec(width=148, axle=12), tyre="61-622")),
        tubes={
            "brace": TubeSpec(
                start=JunctionSpec(at=(0, 0, 0)),
                end=JunctionSpec(on="head_tube", angle=70),
                od=TaperSpec(start=OvalSpec(height=30, width=17), end=16),
                wall=1,
            )
        },
    )
    again = FrameSpec.model_validate(spec.model_dump() | {"build": {}})
    assert again.tubes == spec.tubes
    assert smallest(spec.tubes["brace"].od) == 16


def test_every_size_of_the_tables_is_taken() -> None:
    for hub in standards.HUBS:
        assert WheelSpec(hub=hub).hub == hub
    for bead in standards.BEAD_SEATS:
        assert WheelSpec(tyre=f"40-{bead}").tyre == f"40-{bead}"
    for shell in standards.SHELLS:
        assert BuildSpec.model_validate({"bottom_bracket": {"shell": shell}}).bottom_bracket
    for material in standards.MATERIALS:
        base = {"format": 1, "name": "T", "geometry": {}, "material": material}
        assert FrameSpec.model_validate(base).material == material
