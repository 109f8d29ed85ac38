"""Sensitivities against central differences of bikes that are really solved again."""

from __future__ import annotations

import copy
from collections.abc import Mapping
from typing import Any

import pytest

from frame3d.chart.as_built import swap
from frame3d.chart.sensitivity import Sensitivity, as_built_sensitivity, design_sensitivity
from frame3d.chart.solve import chart_of, solve_chart
from frame3d.parameters.models.frame import FrameSpec
from tests.charts import MULLET, ROAD, TRAIL, without

PARTS = ("fork_axle_to_crown", "fork_offset", "lower_headset_stack", "front_wheel_radius")
TOP_TUBE = {
    "start": {"on": "seat_tube", "below_top": 40},
    "end": {"on": "head_tube", "angle": 76},
    "od": 31.8,
    "wall": 0.8,
}


def bike(
    geometry: Mapping[str, float], build: Mapping[str, Any], *, top_tube: bool = True
) -> dict[str, Any]:
    out: dict[str, Any] = {
        "format": 1,
        "name": "x",
        "geometry": dict(geometry),
        "build": dict(build),
    }
    if top_tube:
        out["tubes"] = {"top_tube": TOP_TUBE}
    return out


BIKES: dict[str, dict[str, Any]] = {
    "usual": bike(TRAIL, {}),
    "unequal wheels, offset seat tube": bike(MULLET, {}),
    "road by trail and wheelbase": bike(
        without(ROAD, "fork_offset", "chainstay_length", trail=60.0, wheelbase=1000.0), {}
    ),
    "saddle height": bike(MULLET, {"seatpost": {"saddle_height": 725.0}}),
    "parts, straight fork": bike(
        without(TRAIL, *PARTS, "rear_wheel_radius"),
        {
            "fork": {"axle_to_crown": 531.0, "measured": "straight", "offset": 44.0},
            "headset": {"lower_stack": 4.0, "angle": -1.0},
            "front_wheel": {"radius": 372.0},
            "rear_wheel": {"radius": 355.0},
        },
    ),
    "straight fork, offset from trail": bike(
        without(TRAIL, "fork_axle_to_crown", "fork_offset", trail=118.0),
        {"fork": {"axle_to_crown": 531.0, "measured": "straight"}},
    ),
    "standover given": bike(without(TRAIL, "seat_tube_length", standover=720.0), {}),
    "standover given at mid-tube": bike(
        without(TRAIL, "seat_tube_length", standover_mid_tube=745.0), {}
    ),
    "no top tube": bike(TRAIL, {}, top_tube=False),
}
each = pytest.mark.parametrize("name", BIKES)


def changed(raw: dict[str, Any], path: str, by: float) -> FrameSpec:
    """The bike with the number at a dotted path larger by `by`; 0 where none stands there."""
    raw = copy.deepcopy(raw)
    *way, last = path.split(".")
    here = raw
    for name in way:
        here = here.setdefault(name, {})
    here[last] = here.get(last, 0.0) + by
    return FrameSpec.model_validate(raw)


def difference(
    plus: Mapping[str, float | None], minus: Mapping[str, float | None], step: float
) -> dict[str, float]:
    out = {}
    for figure, high in plus.items():
        low = minus[figure]
        if high is not None and low is not None:
            out[figure] = (high - low) / (2 * step)
    return out


def compare(sensitivity: Sensitivity, path: str, measured: Mapping[str, float]) -> None:
    stated = sensitivity.per(path)
    assert set(stated) == set(measured)
    for figure, value in measured.items():
        assert stated[figure] == pytest.approx(value, rel=2e-6, abs=2e-7), (path, figure)


def step(path: str) -> float:
    return 0.002 if path.endswith("angle") else 0.02


@each
def test_design(name: str) -> None:
    raw = BIKES[name]
    sensitivity = design_sensitivity(solve_chart(FrameSpec.model_validate(raw)))
    stated = {f"geometry.{f}" for f in raw["geometry"]}
    assert stated <= set(sensitivity.inputs)
    for path, unit in zip(sensitivity.inputs, sensitivity.units, strict=True):
        assert unit == ("degrees" if path.endswith("angle") else "mm")
        h = step(path)
        plus, minus = (solve_chart(changed(raw, path, by)).figures() for by in (h, -h))
        compare(sensitivity, path, difference(plus, minus, h))


@each
def test_as_built(name: str) -> None:
    raw = BIKES[name]
    spec = FrameSpec.model_validate(raw)
    solved = solve_chart(spec)
    sensitivity = as_built_sensitivity(solved)
    assert len(sensitivity.inputs) == 6
    for path in sensitivity.inputs:
        h = step(path)
        by_path = raw
        if path.startswith("geometry.") and path.split(".")[1] not in raw["geometry"]:
            # A part that the file leaves open: swapping it states it, from its solved value.
            by_path = copy.deepcopy(raw)
            figure = path.removeprefix("geometry.")
            by_path["geometry"][figure] = solved.values[figure]
        ends = []
        for by in (h, -h):
            pitched = swap(solved, spec, changed(by_path, path, by), (path,))
            ends.append(chart_of(pitched.values))
        compare(sensitivity, path, difference(ends[0], ends[1], h))


def test_of_known_slopes() -> None:
    """By hand: reach moves the wheelbase one for one; the drop moves height and stack one for one."""
    sensitivity = design_sensitivity(solve_chart(FrameSpec.model_validate(BIKES["usual"])))
    reach = sensitivity.per("geometry.reach")
    assert reach["reach"] == 1
    assert reach["wheelbase"] == pytest.approx(1, abs=1e-12)
    assert reach["effective_top_tube"] == pytest.approx(1, abs=1e-12)
    assert reach["stack"] == pytest.approx(0, abs=1e-12)
    drop = sensitivity.per("geometry.bb_drop")
    assert drop["bb_height"] == pytest.approx(-1, abs=1e-12)
    assert drop["stack"] == pytest.approx(1, abs=1e-12)
    assert drop["chainstay_length"] == 0
    with pytest.raises(ValueError, match="not in"):
        sensitivity.per("geometry.stack")


def test_as_built_has_no_negative_zeros() -> None:
    sensitivity = as_built_sensitivity(solve_chart(FrameSpec.model_validate(BIKES["usual"])))
    assert "-0.0" not in {str(x) for row in sensitivity.change for x in row}
