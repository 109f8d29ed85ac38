"""Many bikes at once: the same as one by one, and what cannot be is marked, not raised."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
import pytest

from frame3d.chart.batch import INPUTS, solve_many
from frame3d.chart.solve import solve_chart
from frame3d.errors import GeometryError
from frame3d.parameters.models.figures import FIGURES, STANDOVERS
from tests.charts import MULLET, ROAD, TRAIL, spec, without

COUNT = 12
SETS: dict[str, tuple[Mapping[str, float], Mapping[str, Any]]] = {
    "usual": (TRAIL, {}),
    "offset seat tube, unequal wheels": (MULLET, {}),
    "trail and wheelbase": (
        without(ROAD, "fork_offset", "chainstay_length", trail=60.0, wheelbase=1000.0),
        {},
    ),
    "head tube angle open": (without(ROAD, "head_tube_angle", stack=575.0), {}),
    "chart of a road frame": (
        without(
            ROAD,
            "head_tube_length",
            "fork_offset",
            "reach",
            "bb_drop",
            stack=580.0,
            trail=60.0,
            effective_top_tube=560.0,
            bb_height=270.0,
        ),
        {},
    ),
    "both seat angles": (
        without(MULLET, "seat_tube_offset", actual_seat_tube_angle=71.5),
        {},
    ),
    "saddle height": (MULLET, {"seatpost": {"saddle_height": 730.0}}),
    "straight fork": (
        without(TRAIL, "fork_axle_to_crown"),
        {"fork": {"axle_to_crown": 531.0, "measured": "straight"}},
    ),
    "cups": (TRAIL, {"headset": {"angle": -1.0}}),
}


def spread(figures: Mapping[str, float]) -> dict[str, np.ndarray]:
    """Bikes about this one: each figure by up to 1 %."""
    random = np.random.default_rng(8)
    return {n: v * random.uniform(0.99, 1.01, COUNT) for n, v in figures.items()}


def asked(
    figures: Mapping[str, np.ndarray], build: Mapping[str, Any]
) -> tuple[dict[str, Any], list[str]]:
    more = {}
    if "seatpost" in build:
        more["saddle_height"] = build["seatpost"]["saddle_height"]
    if "fork" in build:
        more["fork_length_straight"] = build["fork"]["axle_to_crown"]
    if "headset" in build:
        more["cup_angle"] = build["headset"]["angle"]
    return {**figures, **more}, list(more)


@pytest.mark.parametrize("name", SETS)
def test_the_same_as_one_by_one(name: str) -> None:
    figures, build = SETS[name]
    rows = spread(figures)
    inputs, _ = asked(rows, build)
    result = solve_many(inputs)
    assert len(result) == COUNT
    assert result.solved.all()
    assert tuple(result.figures) == tuple(f for f in FIGURES if f not in STANDOVERS)
    for k in range(COUNT):
        one = solve_chart(spec({n: float(a[k]) for n, a in rows.items()}, build)).figures()
        for figure, values in result.figures.items():
            assert values[k] == pytest.approx(one[figure], abs=1e-8), (k, figure)


def test_numbers_hold_for_all_bikes() -> None:
    reach = np.linspace(400, 500, 7)
    result = solve_many(TRAIL | {"reach": reach})
    assert len(result) == 7
    assert result.figures["reach"].tolist() == reach.tolist()
    assert (result.figures["head_tube_angle"] == 65.5).all()
    assert np.diff(result.figures["wheelbase"]) == pytest.approx(np.diff(reach))
    assert np.ptp(result.figures["stack"]) == 0


def test_numbers_alone_are_one_bike() -> None:
    result = solve_many(TRAIL)
    assert len(result) == 1
    chart = solve_chart(spec(TRAIL)).figures()
    assert result.figures["wheelbase"][0] == pytest.approx(chart["wheelbase"], abs=1e-9)


def test_lists_and_whole_numbers() -> None:
    result = solve_many(TRAIL | {"reach": [450, 460], "bb_drop": 60})
    assert np.diff(result.figures["wheelbase"]) == pytest.approx([10])
    assert result.figures["bb_height"].tolist() == [312, 312]


@pytest.mark.parametrize("angle", ["effective_seat_tube_angle", "actual_seat_tube_angle"])
def test_offsets_of_which_the_first_is_nought(angle: str) -> None:
    """The set is looked at through the first bike, where both seat tube angles are one."""
    figures = without(TRAIL, "effective_seat_tube_angle") | {angle: 75.0}
    result = solve_many(figures | {"seat_tube_offset": [0.0, 38.0, -20.0]})
    assert result.solved.all()
    for k, offset in enumerate((0.0, 38.0, -20.0)):
        one = solve_chart(spec(figures | {"seat_tube_offset": offset})).figures()
        for figure in ("actual_seat_tube_angle", "effective_seat_tube_angle", "effective_top_tube"):
            assert result.figures[figure][k] == pytest.approx(one[figure], abs=1e-9)


def test_no_bikes() -> None:
    result = solve_many(TRAIL | {"reach": np.array([])})
    assert len(result) == 0
    assert result.figures["stack"].shape == (0,)


def test_more_bikes_than_are_solved_together() -> None:
    """Ten thousand in any chunks, with impossible ones among them: over the seams nothing changes."""
    count = 10_001
    reach = np.linspace(400, 500, count)
    chainstay = np.full(count, 432.0)
    impossible = [0, *range(511, count, 512), count - 1]
    chainstay[impossible] = 10.0
    result = solve_many(TRAIL | {"reach": reach, "chainstay_length": chainstay})
    assert np.flatnonzero(~result.solved).tolist() == impossible
    ok = result.solved
    front = result.figures["front_centre"][ok] ** 2 - 62.0**2
    expected = np.sqrt(front) + np.sqrt(432.0**2 - 62.0**2)
    assert result.figures["wheelbase"][ok] == pytest.approx(expected, abs=1e-8)


def test_what_cannot_be_is_nan_and_marked() -> None:
    chainstay = np.array([432.0, 61.0, np.nan, np.inf, 440.0])
    stack = solve_many(TRAIL).figures["stack"][0]
    result = solve_many(TRAIL | {"chainstay_length": chainstay})
    assert result.solved.tolist() == [True, False, False, False, True]
    for figure, values in result.figures.items():
        if figure not in TRAIL:
            assert np.isfinite(values).tolist() == result.solved.tolist(), figure
    assert result.figures["stack"][[0, 4]].tolist() == [stack, stack]
    # What was asked stands as it was asked.
    assert result.figures["reach"].tolist() == [455.0] * 5


def test_arrays_are_not_changed() -> None:
    arrays = spread(TRAIL)
    before = {n: a.copy() for n, a in arrays.items()}
    result = solve_many(arrays)
    for name, a in arrays.items():
        assert (a == before[name]).all()
        assert not np.shares_memory(a, result.figures[name])


def faults(figures: Mapping[str, Any]) -> list[tuple[str, str]]:
    with pytest.raises(GeometryError) as caught:
        solve_many(figures)
    return [(f.code, f.path) for f in caught.value.faults]


def test_unknown_figures() -> None:
    assert faults(TRAIL | {"raech": 1, "standover": 700}) == [
        ("unknown-key", "raech"),
        ("unknown-key", "standover"),
    ]
    assert not set(STANDOVERS) & set(INPUTS)


@pytest.mark.parametrize(
    "more",
    [
        {"reach": np.zeros(3), "bb_drop": np.zeros(4)},
        {"reach": np.zeros((2, 2))},
    ],
    ids=["lengths", "two-dimensional"],
)
def test_arrays_that_do_not_fit(more: dict[str, Any]) -> None:
    assert faults(TRAIL | more) == [("wrong-type", "")]


def test_a_set_that_does_not_settle_a_bike() -> None:
    assert faults(without(TRAIL, "reach", "seat_tube_length")) == [("under-determined", "")] * 2
    assert faults(TRAIL | {"trail": 120.0}) == [("contradictory", "trail")]
    with pytest.raises(GeometryError, match=r"give 1 of chainstay_length, wheelbase"):
        solve_many(without(TRAIL, "chainstay_length"))
