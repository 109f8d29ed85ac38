"""The terminal's text of a partial chart."""

from __future__ import annotations

from frame3d.chart.givens import key
from frame3d.chart.partial import FEW, OpenFigure, PartialChart
from frame3d.cli.screen_partial import ASSUMED, NOTHING, begun

CHART = PartialChart(
    settled={"reach": 455.0, "head_tube_angle": 65.5},
    assumed={
        "stack": (633.408, ("build.headset.angle",)),
        "effective_top_tube": (
            618.811,
            ("geometry.seat_tube_offset", "build.seatpost.saddle_height"),
        ),
    },
    open={
        "wheelbase": OpenFigure(("chainstay_length",), 1, (), ()),
        "trail": OpenFigure(("fork_offset", "mechanical_trail", "wheel_flop"), 1, (), ()),
        "fork_axle_to_crown": OpenFigure((), 2, ("fork_offset", "fork_length_straight"), ()),
        "front_centre": OpenFigure((), FEW + 1, (), ()),
        "seat_tube_length": OpenFigure((), 0, (), ()),
        "bb_drop": OpenFigure(("bb_height",), 1, (), (62.0, -62.0)),
    },
    missing=4,
    beyond=("standover",),
)


def test_what_is_said() -> None:
    said = begun(CHART, 100).splitlines()
    assert "Reach [mm]               455.00" in said
    assert "Stack [mm]               633.41  [1]" in said
    assert "[1] as long as no headset cups turn the steering axis" in said
    assert (
        "[2] as long as the seat tube's axis runs through the bottom bracket and no saddle height is "
        "given" in said
    )
    assert "- Wheelbase [mm]: chainstay_length" in said
    assert "- Trail [mm]: fork_offset, mechanical_trail or wheel_flop" in said
    assert (
        "- Fork axle to crown [mm]: two others, e.g. fork_offset and build.fork.axle_to_crown"
        in said
    )
    assert "- Front centre [mm]: more than three others" in said
    assert "- Seat tube length [mm]: nothing else" in said
    assert "- Bottom bracket drop [mm]: 62.00 or -62.00; bb_height" in said
    assert "Left out, as only the tubes tell it: Standover over the bottom bracket [mm]." in said


def test_lines_keep_to_the_width() -> None:
    narrow = begun(CHART, 40).split("Open, and")[1].splitlines()[1:7]
    assert max(map(len, narrow)) <= 40


def test_nothing_is_known() -> None:
    assert begun(None, 80) == NOTHING
    none = PartialChart({}, {}, CHART.open, 4, ())
    assert begun(none, 80).startswith("No figure is settled.")


def test_every_assumption_has_its_words() -> None:
    assert set(ASSUMED) == {key("seat_tube_offset"), key("cup_angle"), key("saddle_height")}
