"""Partial charts: by plane trigonometry, by an independent null space, and by completing them."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from math import cos, hypot, radians, sin, tan

import numpy as np
import pytest
from scipy.linalg import null_space

from frame3d.chart.givens import key
from frame3d.chart.partial import FEW, PartialChart, UnderDeterminedError, partial_chart
from frame3d.chart.solve import solve_chart
from frame3d.errors import GeometryError
from frame3d.parameters.models.figures import FIGURES, STANDOVERS
from tests.charts import MULLET, ROAD, TRAIL, spec, without
from tests.sampling import first, sample

BIKES = {"trail": TRAIL, "mullet": MULLET, "road": ROAD}
TOP_TUBE = {
    "top_tube": {
        "start": {"on": "seat_tube", "below_top": 40},
        "end": {"on": "head_tube", "below_top": 35},
        "od": 31.8,
        "wall": 0.8,
    }
}


def partial(figures: Mapping[str, float], **more: object) -> PartialChart:
    chart = partial_chart(spec(figures, **more))  # type: ignore[arg-type]
    assert chart is not None
    return chart


def chart_of(figures: Mapping[str, float], **more: object) -> dict[str, float]:
    solved = solve_chart(spec(figures, **more)).figures()  # type: ignore[arg-type]
    return {figure: value for figure, value in solved.items() if value is not None}


@cache
def whole_chart(bike: str, *, tube: bool = False) -> dict[str, float]:
    return chart_of(BIKES[bike], tubes=TOP_TUBE if tube else {})


def known(chart: PartialChart, figure: str) -> float | None:
    """A figure's value, settled by what is given or by what is assumed."""
    return chart.settled.get(figure, chart.assumed.get(figure, (None,))[0])


# --- by hand --------------------------------------------------------------------------------------

NO_FORK = {
    "reach": 455.0,
    "stack": 630.0,
    "head_tube_angle": 65.5,
    "head_tube_length": 115.0,
    "effective_seat_tube_angle": 75.5,
    "bb_drop": 62.0,
    "front_wheel_radius": 370.0,
    "rear_wheel_radius": 366.0,
}
"""Frame and wheels, but neither fork nor chainstay."""


def test_what_follows_without_a_fork() -> None:
    """The head tube's place settles the seat's line, not how far the axle is along the steering axis.

    The front axle's height over the bottom bracket is known, 370 - (366 - 62) = 66 mm, so it slides on
    a level line as the fork's offset changes.
    """
    chart = partial(NO_FORK)
    assert set(chart.settled) == {*NO_FORK, "bb_height"}
    assert chart.settled["bb_height"] == pytest.approx(366 - 62, abs=1e-9)
    assert known(chart, "effective_top_tube") == pytest.approx(
        455 + 630 / tan(radians(75.5)), abs=1e-9
    )
    assert chart.missing == 4
    assert set(chart.open) == {
        "seat_tube_length",
        "chainstay_length",
        "front_centre",
        "wheelbase",
        "fork_axle_to_crown",
        "fork_offset",
        "lower_headset_stack",
        "trail",
        "mechanical_trail",
        "wheel_flop",
    }
    assert chart.open["front_centre"].alone == (
        "fork_offset",
        "trail",
        "mechanical_trail",
        "wheel_flop",
    )
    assert (chart.open["seat_tube_length"].alone, chart.open["seat_tube_length"].needs) == ((), 0)
    fork = chart.open["fork_axle_to_crown"]
    assert (fork.alone, fork.needs) == ((), 2)
    assert fork.together == ("fork_offset", "lower_headset_stack")


def test_the_fork_offset_settles_the_front_axle() -> None:
    """Along the axis the axle is where the level line crosses it: worked by hand."""
    chart = partial(NO_FORK | {"fork_offset": 44.0})
    slope, height = radians(65.5), 370 - (366 - 62)
    along = (630 - height + 44 * cos(slope)) / sin(slope)
    ahead = 455 + along * cos(slope) + 44 * sin(slope)
    mechanical = 370 * cos(slope) - 44
    # Without cups that turn the steering axis, of which the file says nothing: trail is free of them.
    assert chart.settled["mechanical_trail"] == pytest.approx(mechanical, abs=1e-9)
    assert chart.settled["trail"] == pytest.approx(mechanical / sin(slope), abs=1e-9)
    assert chart.settled["wheel_flop"] == pytest.approx(mechanical * cos(slope), abs=1e-9)
    value, by = chart.assumed["front_centre"]
    assert value == pytest.approx(hypot(ahead, height), abs=1e-9)
    assert by == ("build.headset.angle",)
    straight = "fork_length_straight"  # the fork's own figure, where it is measured straight
    assert chart.open["fork_axle_to_crown"].alone == ("lower_headset_stack", straight)
    assert chart.open["lower_headset_stack"].alone == ("fork_axle_to_crown", straight)
    assert chart.open["wheelbase"].alone == ("chainstay_length",)


def test_a_headset_without_angle_has_plain_cups() -> None:
    chart = partial(NO_FORK | {"fork_offset": 44.0}, build={"headset": {"lower_stack": 4.0}})
    assert "front_centre" in chart.settled
    assert "fork_axle_to_crown" in chart.settled


def test_an_upright_steering_axis_has_no_flop() -> None:
    """With cos 90°, a factor of it, it is 0 whatever the trail: only here, so a usual bike tells nothing."""
    chart = partial({"head_tube_angle": 90.0})
    assert chart.settled["wheel_flop"] == pytest.approx(0, abs=1e-9)
    assert "wheel_flop" not in chart.open["trail"].alone
    assert "mechanical_trail" in chart.open["trail"].alone


def test_nothing_given() -> None:
    chart = partial({})
    assert chart.settled == {}
    assert set(chart.assumed) == {"seat_tube_offset"}
    assert set(chart.open) == set(FIGURES) - {*STANDOVERS, "seat_tube_offset"}
    assert chart.missing == 12
    assert chart.beyond == STANDOVERS
    assert chart.open["bb_height"].needs == 2
    assert set(chart.open["bb_height"].together) == {"bb_drop", "rear_wheel_radius"}
    assert chart.open["wheelbase"].needs > FEW


# --- several solutions ----------------------------------------------------------------------------


def above_or_below() -> dict[str, float]:
    """Chainstay and wheelbase leave the rear axle above or below the bottom bracket; no seat tube."""
    chart = chart_of(TRAIL)
    return without(
        TRAIL,
        "bb_drop",
        "rear_wheel_radius",
        "seat_tube_length",
        stack=chart["stack"],
        wheelbase=chart["wheelbase"],
    )


def test_a_figure_with_two_values_left_is_open() -> None:
    chart = partial(above_or_below())
    assert chart.missing == 1
    assert chart.open["bb_drop"].between == pytest.approx((62, -62), abs=1e-9)
    assert chart.open["bb_drop"].alone == ("rear_wheel_radius",)
    assert chart.open["rear_wheel_radius"].between == pytest.approx((372, 248), abs=1e-9)
    assert chart.open["seat_tube_length"].between == ()


def test_a_redundant_figure_tells_which() -> None:
    chart = partial(above_or_below() | {"rear_wheel_radius": 248.0})
    assert known(chart, "bb_drop") == pytest.approx(-62, abs=1e-9)
    assert set(chart.open) == {"seat_tube_length"}


def test_what_leaves_two_values_does_not_settle() -> None:
    """Wheelbase and chainstay give the drop but for its sign."""
    ways = partial(without(TRAIL, "bb_drop")).open
    assert "bb_height" in ways["bb_drop"].alone
    assert "wheelbase" not in ways["bb_drop"].alone
    assert "bb_drop" in ways["wheelbase"].alone


# --- faults ---------------------------------------------------------------------------------------


def test_the_fault_carries_the_partial_chart() -> None:
    with pytest.raises(UnderDeterminedError) as caught:
        solve_chart(spec(NO_FORK))
    assert caught.value.partial == partial_chart(spec(NO_FORK))


def test_contradictions_have_none() -> None:
    with pytest.raises(GeometryError) as caught:
        solve_chart(spec(NO_FORK | {"bb_height": 330.0}))
    assert not isinstance(caught.value, UnderDeterminedError)


def test_figures_that_no_bicycle_has_have_none() -> None:
    """A rear axle 300 mm above the bottom bracket is not at the end of a chainstay of 250 mm."""
    figures = without(TRAIL, "reach", "seat_tube_length", "bb_drop", "chainstay_length")
    with pytest.raises(UnderDeterminedError) as caught:
        solve_chart(spec(figures | {"bb_drop": 300.0, "chainstay_length": 250.0}))
    assert caught.value.partial is None


def test_seat_angles_that_differ_ask_for_an_offset() -> None:
    """An axis through the bottom bracket has one angle: given two, nothing is assumed or contradicted."""
    figures = {"effective_seat_tube_angle": 75.5, "actual_seat_tube_angle": 72.0}
    chart = partial(figures)
    assert chart.settled == figures
    assert set(chart.assumed) == {"effective_seat_tube_angle_at_stack"}
    assert chart.open["seat_tube_offset"].alone == ("stack",)
    # stack·sin(75.5° - 72°) = offset·sin 75.5°, by the law of sines.
    more = partial(figures | {"stack": 620.0})
    offset = 620 * sin(radians(3.5)) / sin(radians(75.5))
    assert known(more, "seat_tube_offset") == pytest.approx(offset, abs=1e-9)


# --- any completion -------------------------------------------------------------------------------


def subsets(seed: int, count: int) -> list[tuple[str, bool, list[str]]]:
    """Bikes, with a top tube or without, and some of their figures, too few."""
    random = np.random.default_rng(seed)
    out = []
    for _ in range(count):
        bike, tube = list(BIKES)[random.integers(len(BIKES))], bool(random.integers(2))
        names = [f for f in FIGURES if tube or f not in STANDOVERS]
        size = random.integers(3, 11)
        out.append((bike, tube, [str(n) for n in random.permutation(names)[:size]]))
    return out


def chart_or_partial(
    figures: Mapping[str, float], **more: object
) -> tuple[dict[str, float], PartialChart | None]:
    """What is known of the figures: by `solve`, or by the partial chart where some are missing."""
    try:
        return chart_of(figures, **more), None
    except UnderDeterminedError as error:
        chart = error.partial
    if chart is None:
        return {}, None
    return {**chart.settled, **{f: value for f, (value, _) in chart.assumed.items()}}, chart


@pytest.mark.parametrize(("bike", "tube", "names"), first(3, sample(subsets(3, 120), 20)))
def test_any_completion_has_what_is_settled(bike: str, tube: bool, names: list[str]) -> None:
    """The bike that the figures are from is a completion; so is each figure that would settle another."""
    more = {"tubes": TOP_TUBE if tube else {}}
    whole = whole_chart(bike, tube=tube)
    given = {name: whole[name] for name in names}
    _, chart = chart_or_partial(given, **more)
    assert chart is not None
    assert {*chart.settled, *chart.assumed, *chart.open, *chart.beyond} == set(FIGURES)
    for figure, value in chart.settled.items():
        assert value == pytest.approx(whole[figure], abs=1e-9), figure
    if bike == "mullet" and "seat_tube_offset" in chart.assumed:
        return  # its seat tube has an offset: what is assumed is not so
    for figure, (value, _) in chart.assumed.items():
        assert value == pytest.approx(whole[figure], abs=1e-9), figure
    random = np.random.default_rng(len(names))
    for figure in random.permutation(list(chart.open))[:3]:
        way = chart.open[figure]
        assert not way.between or min(abs(v - whole[figure]) for v in way.between) < 1e-7
        ways = [(one,) for one in way.alone] + ([way.together] if way.together else [])
        ways = [one for one in ways if set(one) <= set(FIGURES)]
        for added in random.permutation(np.array(ways, dtype=object))[:1]:
            found, _ = chart_or_partial(given | {n: whole[n] for n in added}, **more)
            assert found.get(figure) == pytest.approx(whole[figure], abs=1e-7), (figure, added)


def test_settled_holds_with_cups_and_a_saddle_too() -> None:
    """Parts that come later turn what was assumed, and nothing that was settled."""
    build = {"headset": {"angle": 1.5, "lower_stack": 4.0}, "seatpost": {"saddle_height": 735.0}}
    whole = chart_of(without(MULLET, "lower_headset_stack"), build=build)
    given = {f: whole[f] for f in (*NO_FORK, "fork_offset")}
    chart = partial(given)
    for figure, value in chart.settled.items():
        assert value == pytest.approx(whole[figure], abs=1e-9), figure
    assert "effective_top_tube" in chart.assumed
    for figure, (value, _) in chart.assumed.items():
        assert value != pytest.approx(whole[figure], abs=1e-3), figure


# --- an independent null space --------------------------------------------------------------------

FREE = (
    "reach",
    "head_tube_angle",
    "head_tube_length",
    "lower_headset_stack",
    "fork_axle_to_crown",
    "fork_offset",
    "front_wheel_radius",
    "rear_wheel_radius",
    "bb_drop",
    "chainstay_length",
    "actual_seat_tube_angle",
    "seat_tube_offset",
    "seat_tube_length",
)


def forward(p: np.ndarray) -> dict[str, complex]:
    """All figures from thirteen free ones, by vectors; mm and radians. Complex numbers pass through."""
    v = dict(zip(FREE, p, strict=True))
    H, B = v["head_tube_angle"], v["actual_seat_tube_angle"]
    height = v["rear_wheel_radius"] - v["bb_drop"]
    up = v["front_wheel_radius"] - height
    along = v["head_tube_length"] + v["lower_headset_stack"] + v["fork_axle_to_crown"]
    stack = up + along * np.sin(H) - v["fork_offset"] * np.cos(H)
    ahead = v["reach"] + along * np.cos(H) + v["fork_offset"] * np.sin(H)
    behind = np.sqrt(v["chainstay_length"] ** 2 - v["bb_drop"] ** 2)
    far = (stack - v["seat_tube_offset"] * np.cos(B)) / np.sin(B)
    seat = v["seat_tube_offset"] * np.sin(B) - far * np.cos(B)
    trail = v["front_wheel_radius"] / np.tan(H) - v["fork_offset"] / np.sin(H)
    angle = np.pi / 2 - np.arctan(-seat / stack)
    return v | {
        "stack": stack,
        "bb_height": height,
        "front_centre": np.sqrt(ahead**2 + up**2),
        "wheelbase": ahead + behind,
        "effective_top_tube": v["reach"] - seat,
        "effective_seat_tube_angle": angle,
        "effective_seat_tube_angle_at_stack": angle,
        "trail": trail,
        "mechanical_trail": trail * np.sin(H),
        "wheel_flop": trail * np.sin(H) * np.cos(H),
    }


def slopes(at: np.ndarray) -> dict[str, np.ndarray]:
    """The derivative of each figure by the free ones, by complex steps; angles count 500 mm a radian."""
    scale = np.array([500.0 if name.endswith("angle") else 1.0 for name in FREE])
    columns = [forward(at + 1e-30j * step) for step in np.eye(len(FREE)) / scale]
    return {
        f: np.array([c[f].imag / 1e-30 for c in columns]) * (500.0 if "angle" in f else 1.0)
        for f in columns[0]
    }


@pytest.mark.parametrize(
    ("bike", "names"), [(b, n) for b, t, n in sample(subsets(5, 160), 20) if not t]
)
def test_the_same_as_an_independent_null_space(bike: str, names: list[str]) -> None:
    whole = whole_chart("mullet" if bike == "road" else bike)
    _, chart = chart_or_partial({name: whole[name] for name in names})
    assert chart is not None
    random = np.random.default_rng(1)
    usual = np.array([radians(whole[f]) if f.endswith("angle") else whole[f] for f in FREE])
    if "seat_tube_offset" in chart.assumed:
        usual[FREE.index("seat_tube_offset")] = 0.0
        names = [*names, "seat_tube_offset"]
    moved = usual * (1 + 0.02 * random.uniform(-1, 1, len(FREE)))  # 0 stays 0
    rows = slopes(moved)
    free = null_space(np.array([rows[name] for name in names]).reshape(-1, len(FREE)), rcond=1e-9)
    assert free.shape[1] == chart.missing
    moves = {f: row @ free for f, row in rows.items()}
    for figure, move in moves.items():
        still = np.linalg.norm(move) < 1e-9
        known_or_few = figure not in chart.open or bool(chart.open[figure].between)
        assert still == known_or_few, figure
    for figure, way in chart.open.items():
        parallel = {
            f
            for f, move in moves.items()
            if np.linalg.norm(move) > 1e-9
            and np.linalg.matrix_rank(np.array([move, moves[figure]]), tol=1e-9) == 1
        }
        if not way.between:
            assert {n for n in way.alone if n in FIGURES} <= parallel, figure
        assert all(key(name) is not None for name in way.alone)
