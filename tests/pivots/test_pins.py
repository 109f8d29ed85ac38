"""Pivots: what their hardware turns on, mitres to it, and what is wrong with its sizes."""

from __future__ import annotations

import pytest

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.geometry.vector import vector
from frame3d.parameters.reading.reader import loads
from frame3d.tubes.hardware import PLAY, Housing, LinkPlate, Lug
from frame3d.tubes.placing.junctions import CLEAR
from tests.bike.single import MINIMAL
from tests.bike.single import SINGLE as NO_TUBES
from tests.bikes import hardtail_layout
from tests.linked import (
    CHAINSTAY,
    OWN,
    OWN_TUBES,
    SEATSTAY,
    SINGLE,
    layout,
)
from tests.pivots.parts import Faulty, assert_fault, part


def test_a_frame_without_suspension_has_none() -> None:
    assert hardtail_layout().pivots == ()


def test_nor_has_a_file_without_tubes() -> None:
    """A chart with a suspension, as one starts."""
    assert solve(loads(MINIMAL + NO_TUBES)).pivots == ()


def test_a_tube_stops_short_of_its_lug_where_the_file_does_not_say(single: Bike) -> None:
    for name, at, od in (
        ("chainstay_left", (10.0, 75.0), 30),
        ("seatstay_left", (-88.0, 190.0), 22),
    ):
        tube = single.tube(name)
        assert tube.start.target is not None
        assert tube.start.target.startswith("lug_")
        assert tube.start.cut == "square"
        # The end moves back along the tube's own axis, which a start far from its bend lies on.
        first = vector(tube.start.point) - (od / 2 + CLEAR) * tube.axis.tangent(0.0)
        assert (first[0], first[2]) == pytest.approx(at, abs=1e-6)


def test_a_stop_within_the_round_is_told() -> None:
    tubes = CHAINSTAY.replace("y: 36}", "y: 36, stop_short: 5}") + SEATSTAY
    (note,) = [n for n in layout(tubes, SINGLE).notes if "inside of the round" in n.message]
    assert note.path == "tubes.chainstay.start.stop_short"


def test_a_pivot_about_the_bottom_bracket_turns_on_its_shell() -> None:
    section = SINGLE.replace("  main_pivot: [10, 75]\n", "").replace("main_pivot", "bottom_bracket")
    tubes = (CHAINSTAY + SEATSTAY).replace("{on: main_pivot, y: 36}", "{at: [-60, 45, 0]}")
    bike = layout(tubes, section)
    assert bike.shell is not None
    lug = part(bike, Lug, "lug_bottom_bracket_swingarm_left")
    assert lug.span[0] == pytest.approx(bike.shell.width / 2 + PLAY)
    assert (lug.boss, lug.bore) == (bike.shell.od, bike.shell.bore)
    assert not any(isinstance(item, Housing) for item in bike.pivots)


def test_a_pivot_about_the_rear_axle_turns_beside_the_dropouts() -> None:
    section = SINGLE.replace("swingarm: [main_pivot, shock_rear]",
        "swingarm: [main_pivot, shock_rear]\n  stay: [rear_axle, brace]\n  brace_arm: [brace, brace_foot]"
    ).replace("links:\n  frame: [main_pivot, shock_front]",
        "  brace: [-200, 250]\n  brace_foot: [-70, 320]\nlinks:\n"
        "  frame: [main_pivot, shock_front, brace_foot]")  # fmt: skip
    bike = layout(CHAINSTAY + SEATSTAY, section)
    left = bike.dropouts[0]
    plate = part(bike, LinkPlate, "plate_stay_left")
    boss = next(boss for boss in plate.bosses if boss.pivot == "rear_axle")
    assert boss.low == pytest.approx(left.axle[1] + left.thickness + PLAY)
    assert (boss.od, boss.bore) == (left.boss, left.bore)


FAULTS: dict[str, Faulty] = {
    "axle in no wall": (
        (CHAINSTAY, SINGLE, "{main_pivot: {axle: 27}}"),
        "section", "suspension.pivots.main_pivot.axle", "1.5 mm around", "at least 31",
    ),
    "outside too small": (
        (CHAINSTAY, SINGLE, "{main_pivot: {od: 14}}"),
        "section", "suspension.pivots.main_pivot.od", "1.0 mm around", "at least 16",
    ),
    "a mitre on a lug": (
        (CHAINSTAY.replace("y: 36}", "y: 36, cut: mitre}"), SINGLE, ""),
        "inconsistent", "tubes.chainstay.start.cut", "swingarm has no round at main_pivot",
        "suspension.pivots.main_pivot.housing",
    ),
    "past the housing's face": (
        (OWN_TUBES.replace("y: 26", "y: 60"), OWN, "{main_pivot: {housing: swingarm, width: 80}}"),
        "junction-miss", "tubes.chainstay.start.y", "20.0 mm past the face of housing_main_pivot",
        "reaches to 40",
    ),
    "a mitre that stops short": (
        (OWN_TUBES.replace("y: 26", "y: 26, cut: mitre, stop_short: 9"), OWN,
         "{main_pivot: {housing: swingarm, width: 80}}"),
        "inconsistent", "tubes.chainstay.start.stop_short", "follows housing_main_pivot", "square",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", FAULTS)
def test_faults(name: str) -> None:
    assert_fault(FAULTS[name])
