"""Standover and the ends of a straight top tube, by hand and there and back."""

from __future__ import annotations

import math

import pytest

from frame3d.chart.givens import held
from frame3d.chart.nodes import nodes_of
from frame3d.chart.solve import solve_chart
from frame3d.parameters.models.figures import STANDOVERS
from tests.chart.test_solve import STRAIGHT_TOP_TUBE
from tests.charts import MULLET, TRAIL, spec, without


@pytest.mark.parametrize("figure", STANDOVERS)
@pytest.mark.parametrize("turned", [False, True], ids=["seat to head", "head to seat"])
@pytest.mark.parametrize("left_open", ["seat_tube_length", "bb_drop", "reach", "rear_wheel_radius"])
def test_standover_as_an_input(left_open: str, turned: bool, figure: str) -> None:
    top = STRAIGHT_TOP_TUBE["top_tube"]
    if turned:
        top = top | {"start": top["end"], "end": top["start"]}
    tubes = {"top_tube": top}
    before = solve_chart(spec(TRAIL, {}, tubes))
    standover = before.figures()[figure]
    assert standover is not None
    figures = without(TRAIL, left_open) | {figure: standover}
    again = solve_chart(spec(figures, {}, tubes))
    assert again.values[left_open] == pytest.approx(TRAIL[left_open], abs=1e-6)


def test_standover_of_a_level_top_tube_by_hand() -> None:
    """A top tube that is level: its upper edge is half its diameter above its axis."""
    base = solve_chart(spec(TRAIL, {}, STRAIGHT_TOP_TUBE))
    head = nodes_of(base.values)
    drop = 35.0
    z = (
        head["head_tube_top"][2]
        - drop
        * (head["head_tube_top"][2] - head["head_tube_bottom"][2])
        / TRAIL["head_tube_length"]
    )
    along = z / math.sin(held("actual_seat_tube_angle", 75.5))
    tubes = {
        "top_tube": {
            "start": {"on": "seat_tube", "above_bottom": along},
            "end": {"on": "head_tube", "below_top": drop},
            "od": {
                "start": {"height": 35.0, "width": 28.0},
                "end": {"height": 35.0, "width": 30.0},
            },
            "wall": 0.8,
        }
    }
    chart = solve_chart(spec(TRAIL, {}, tubes)).figures()
    for figure in STANDOVERS:
        assert chart[figure] == pytest.approx(310 + z + 35.0 / 2, abs=1e-9)


def test_standover_over_the_bottom_bracket_of_a_sloping_top_tube_by_hand() -> None:
    """The line through both ends at x = 0, and half the diameter over the cosine of its slope."""
    solved = solve_chart(spec(TRAIL, {}, STRAIGHT_TOP_TUBE))
    nodes, od = nodes_of(solved.values), STRAIGHT_TOP_TUBE["top_tube"]["od"]
    angle = solved.values["actual_seat_tube_angle"]
    up = solved.values["top_tube_at_seat"]
    px, pz = -up * math.cos(angle), up * math.sin(angle)
    top, bottom = nodes["head_tube_top"], nodes["head_tube_bottom"]
    share = solved.values["top_tube_at_head"] / TRAIL["head_tube_length"]
    qx, qz = (top[i] + share * (bottom[i] - top[i]) for i in (0, 2))
    slope = (qz - pz) / (qx - px)
    by_hand = solved.values["bb_height"] + pz - px * slope + od / 2 * math.hypot(1, slope)
    assert solved.figures()["standover"] == pytest.approx(by_hand, abs=1e-9)


BY_ANGLE = {
    "seat": {
        "start": {"on": "seat_tube", "angle": 62.0},
        "end": {"on": "head_tube", "below_top": 35},
    },
    "head": {
        "start": {"on": "seat_tube", "below_top": 40},
        "end": {"on": "head_tube", "angle": 81.0},
    },
}


@pytest.mark.parametrize("at", BY_ANGLE)
def test_an_end_placed_by_its_angle_has_it(at: str) -> None:
    """Between the tube, away from that end, and the joint tube's axis upward: by atan2 on placed ends."""
    tubes = {"top_tube": STRAIGHT_TOP_TUBE["top_tube"] | BY_ANGLE[at]}
    values = solve_chart(spec(MULLET, {}, tubes)).values
    nodes = nodes_of(values)
    seat_angle, offset = values["actual_seat_tube_angle"], values["seat_tube_offset"]
    up = complex(-math.cos(seat_angle), math.sin(seat_angle))
    foot = offset * complex(math.sin(seat_angle), math.cos(seat_angle))
    seat = foot + values["top_tube_at_seat"] * up
    top, bottom = (
        complex(nodes[f"head_tube_{n}"][0], nodes[f"head_tube_{n}"][2]) for n in ("top", "bottom")
    )
    axis = (top - bottom) / abs(top - bottom)
    head = top - values["top_tube_at_head"] * axis
    away, along = (head - seat, up) if at == "seat" else (seat - head, axis)
    wanted = 62.0 if at == "seat" else 81.0
    ratio = away / along
    assert abs(math.degrees(math.atan2(ratio.imag, ratio.real))) == pytest.approx(wanted, abs=1e-9)


@pytest.mark.parametrize(
    ("start", "end", "at_seat", "at_head"),
    [
        ({"below_top": 40.0}, {"below_top": 35.0}, 430 - 40, 35),
        ({"above_bottom": 380.0}, {"above_bottom": 80.0}, 380, 115 - 80),
        ({"from_start": 380.0}, {"from_end": 35.0}, 380, 35),
        ({"from_end": 40.0}, {"from_start": 80.0}, 430 - 40, 115 - 80),
    ],
)  # fmt: skip
def test_ends_by_distances(
    start: dict[str, float], end: dict[str, float], at_seat: float, at_head: float
) -> None:
    """Up the seat tube from the foot of the bottom bracket on it; down the head tube from its top."""
    ends = {"start": {"on": "seat_tube", **start}, "end": {"on": "head_tube", **end}}
    tubes = {"top_tube": STRAIGHT_TOP_TUBE["top_tube"] | ends}
    values = solve_chart(spec(TRAIL, {}, tubes)).values
    assert values["top_tube_at_seat"] == pytest.approx(at_seat, abs=1e-9)
    assert values["top_tube_at_head"] == pytest.approx(at_head, abs=1e-9)
