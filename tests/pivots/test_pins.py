"""Pivots: housings, lugs and link plates as laid out, and what is wrong with them."""

from __future__ import annotations

from itertools import pairwise
from typing import TypeVar

import numpy as np
import pytest

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.errors import FrameError
from frame3d.geometry.disc_hull import Flat
from frame3d.geometry.vector import vector
from frame3d.parameters.reading.reader import loads
from frame3d.pivots.axle_stackup import lanes
from frame3d.tubes.hardware import PLAY, Arm, Housing, LinkPlate, Lug
from frame3d.tubes.junctions import CLEAR
from frame3d.tubes.mass import masses_of
from frame3d.tubes.mitre import mitre_curve
from frame3d.tubes.pin import Pin
from frame3d.tubes.vents import VENT
from tests.bike.single import MINIMAL
from tests.bike.single import SINGLE as NO_TUBES
from tests.bikes import hardtail_layout
from tests.linked import (
    BRIDGE,
    CHAINSTAY,
    FRONT,
    OWN,
    OWN_TUBES,
    ROCKER,
    ROCKER_TUBES,
    SEATSTAY,
    SINGLE,
    layout,
)

Kind = TypeVar("Kind", Housing, Lug, LinkPlate)


def part(of: Bike, kind: type[Kind], name: str) -> Kind:
    found = next(item for item in of.pivots if item.name == name)
    assert isinstance(found, kind)
    return found


@pytest.fixture(scope="module")
def rocker() -> Bike:
    return layout(ROCKER_TUBES, ROCKER)


@pytest.fixture(scope="module")
def single() -> Bike:
    return layout(CHAINSTAY + SEATSTAY, SINGLE)


def test_a_frame_without_suspension_has_none() -> None:
    assert hardtail_layout().pivots == ()


def test_nor_has_a_file_without_tubes() -> None:
    """A chart with a suspension, as one starts."""
    assert solve(loads(MINIMAL + NO_TUBES)).pivots == ()


def test_every_pivot_has_what_it_turns_on(rocker: Bike) -> None:
    names = [item.name.removesuffix("_right") for item in rocker.pivots]
    assert [name for name in names if not name.endswith("_left")][:2] == [
        "housing_main_pivot",
        "housing_rocker_pivot",
    ]
    assert set(names) == {
        "housing_main_pivot",
        "housing_rocker_pivot",
        "lug_main_pivot_swingarm_left",
        "lug_main_pivot_swingarm",
        "lug_strut_rear_swingarm_left",
        "lug_strut_rear_swingarm",
        "lug_shock_front_frame_left",
        "lug_shock_front_frame",
        "plate_strut_left",
        "plate_strut",
        "plate_rocker_left",
        "plate_rocker",
    }


def test_left_and_right_are_mirror_images(rocker: Bike) -> None:
    for item in rocker.pivots:
        if isinstance(item, Lug) and item.side == "left":
            other = part(rocker, Lug, item.name.replace("_left", "_right"))
            x, y, z = item.axle
            assert other.axle == (x, -y, z)
            assert other.stays == tuple(
                (name.replace("_left", "_right"), which) for name, which in item.stays
            )
            low, high = item.span
            assert other.span == (-high, -low)
            assert len(other.webs) == len(item.webs)
        elif isinstance(item, LinkPlate) and item.side == "left":
            plate = part(rocker, LinkPlate, item.name.replace("_left", "_right"))
            assert plate.plate.is_same(item.plate.mirrored())


def test_lugs_stand_beside_the_housing(single: Bike) -> None:
    """In line with the tubes that end on them, which says how wide the housing is: 36 - 3 - 0.5."""
    housing = part(single, Housing, "housing_main_pivot")
    lug = part(single, Lug, "lug_main_pivot_swingarm_left")
    assert housing.width == pytest.approx(65.0)
    assert lug.span == pytest.approx((33.0, 39.0))
    assert lug.span[0] - housing.width / 2 == pytest.approx(PLAY)
    assert housing.at == (10.0, 0.0, 75.0)
    assert (housing.od, housing.bore, lug.boss, lug.bore) == (30.0, 12.0, 30.0, 12.0)
    assert housing.link is None
    assert lug.link == "swingarm"


def test_a_given_width_holds_and_arms_go_aside() -> None:
    bike = layout(CHAINSTAY + SEATSTAY, SINGLE, "{main_pivot: {width: 50, plate: 8}}")
    assert part(bike, Housing, "housing_main_pivot").width == 50
    assert part(bike, Lug, "lug_main_pivot_swingarm_left").span == pytest.approx((25.5, 33.5))


def test_the_shocks_eye_stands_between_lugs(single: Bike) -> None:
    """Eyes are 30 wide unless the file says otherwise; the bolt is common practice, 8 mm."""
    for name in ("lug_shock_rear_swingarm_left", "lug_shock_front_frame_left"):
        lug = part(single, Lug, name)
        assert lug.span == pytest.approx((15.5, 21.5))
        assert lug.bore == 8.0
    wide = layout(CHAINSTAY + SEATSTAY, SINGLE, "{shock_rear: {width: 40, axle: 10, od: 26}}")
    lug = part(wide, Lug, "lug_shock_rear_swingarm_left")
    assert (lug.span[0], lug.bore, lug.boss) == (20.5, 10.0, 26.0)


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


def test_tubes_are_mitred_to_the_housing_of_their_own_body() -> None:
    """The round branch on a round tube, in closed form: see `mitre_curve`."""
    bike = layout(OWN_TUBES, OWN, "{main_pivot: {housing: swingarm, width: 80, od: 36, axle: 15}}")
    housing = part(bike, Housing, "housing_main_pivot")
    assert housing.link == "swingarm"
    assert housing.inset
    phi = np.arange(0.0, 360.0, 0.25)
    for name, radius in (("beam", 15.0), ("chainstay_left", 10.0)):
        tube = bike.tube(name)
        assert tube.start.target == "housing_main_pivot"
        assert tube.start.cut == "mitre"
        assert tube.start.angle is not None
        edge = mitre_curve(radius, 18.0, tube.start.angle, tube.start.offset, phi)
        assert tube.start.long_point == pytest.approx(edge.min(), abs=1e-3)
        assert tube.start.short_point == pytest.approx(edge.max(), abs=1e-3)


def test_a_single_tube_ends_between_two_lugs() -> None:
    bike = layout(OWN_TUBES, OWN, "{main_pivot: {housing: swingarm, width: 80, od: 36, axle: 15}}")
    for side in ("left", "right"):
        assert part(bike, Lug, f"lug_shock_rear_swingarm_{side}").stays == (("beam", "end"),)


def test_a_housing_in_a_tube_cuts_it() -> None:
    section = SINGLE.replace("[10, 75]", "{on: seat_tube, from_start: 90}")
    bike = layout(CHAINSTAY + SEATSTAY, section)
    housing = part(bike, Housing, "housing_main_pivot")
    assert housing.inset
    assert housing.webs == ()
    assert "housing_main_pivot" in bike.tube("seat_tube").cut_by
    weight = masses_of(bike.frame).parts["housing_main_pivot"]
    # A bored cylinder of 6061, 2.70 g/cm³, with the seat tube's vent through both of its walls.
    vent = np.pi / 4 * VENT**2 * (30 - 12) * 2.70e-3
    weight += vent
    assert weight == pytest.approx(np.pi / 4 * (30**2 - 12**2) * 65 * 2.70e-3, abs=0.02 * vent)


def test_a_housing_that_hangs_free_has_a_web_that_reaches_a_tube(rocker: Bike) -> None:
    housing = part(rocker, Housing, "housing_rocker_pivot")
    assert not housing.inset
    assert not any(housing.name in tube.cut_by for tube in rocker.tubes)
    (web,) = housing.webs
    assert web.to == "seat_tube"
    assert isinstance(web.metal, Flat)
    seat = rocker.tube("seat_tube")
    inside = seat.axis.points(seat.axis.nearest(np.array([housing.at])))
    assert float(web.metal.depth(inside)[0]) > 5.0
    assert float(web.metal.depth(np.array([housing.at]))[0]) > 5.0


def test_webs_of_lugs_reach_the_middle_of_their_tube(single: Bike) -> None:
    lug = part(single, Lug, "lug_shock_front_frame_left")
    (web,) = lug.webs
    tube = single.tube(web.to)
    assert tube.link is None
    assert isinstance(web.metal, Flat)
    assert (web.metal.low, web.metal.high) == lug.span
    feet = [disc for disc in web.metal.discs if disc[2] != lug.boss / 2]
    for x, z, _ in feet:
        place = np.array([[x, 0.0, z]])
        assert np.linalg.norm(tube.axis.points(tube.axis.nearest(place)) - place) < 1e-6


def test_a_pivot_behind_has_a_housing_on_either_side(rocker: Bike) -> None:
    """Nothing may cross the wheel: rounds of 12 mm where the tubes end, beside the plates."""
    lug = part(rocker, Lug, "lug_strut_rear_swingarm_left")
    strut = part(rocker, LinkPlate, "plate_strut_left")
    assert lug.thickness == 12.0
    inner, outer = lug.span
    assert inner == pytest.approx(strut.plate.high + PLAY) or outer == pytest.approx(
        strut.plate.low - PLAY
    )


def test_given_lateral_positions() -> None:
    bike = layout(
        ROCKER_TUBES, ROCKER, "{strut_rear: {y: 70, width: 16}, rocker_pivot: {width: 80}}"
    )
    assert part(bike, Lug, "lug_strut_rear_swingarm_left").span == pytest.approx((62.0, 78.0))
    plate = part(bike, LinkPlate, "plate_rocker_left").plate
    assert plate.low == pytest.approx(40 + PLAY)
    across = layout(CHAINSTAY + SEATSTAY, SINGLE, "{main_pivot: {y: 20, width: 8}}")
    # A pair of housings on the front frame, each with a lug beside it.
    lug = part(across, Lug, "lug_main_pivot_frame_left")
    assert lug.span == pytest.approx((16.0, 24.0))
    assert lug.link is None
    assert part(across, Lug, "lug_main_pivot_swingarm_left").span[0] == pytest.approx(24 + PLAY)


def test_plates_hold_every_point_and_reach_what_they_turn_beside(rocker: Bike) -> None:
    plate = part(rocker, LinkPlate, "plate_rocker_left")
    assert rocker.linkage is not None
    for boss in plate.bosses:
        assert (boss.x, boss.z) == rocker.linkage.drawn[boss.pivot]
        assert (boss.x, boss.z, boss.od / 2) in plate.plate.discs
    reach = {boss.pivot: (boss.low, boss.high) for boss in plate.bosses}
    housing = part(rocker, Housing, "housing_rocker_pivot")
    assert reach["rocker_pivot"][0] == pytest.approx(housing.width / 2 + PLAY)
    assert reach["rocker_shock"][0] == pytest.approx(15 + PLAY)  # eyes of 30
    strut = part(rocker, LinkPlate, "plate_strut_left")
    other = next(boss for boss in strut.bosses if boss.pivot == "rocker_rear")
    assert other.low == pytest.approx(reach["rocker_rear"][1] + PLAY)
    # The strut comes first, so its housing: 12 about the plate's middle, and on to the rocker's.
    assert other.high == pytest.approx((strut.plate.low + strut.plate.high) / 2 + 6)


def test_plates_may_carry_the_housing_between_them() -> None:
    bike = layout(ROCKER_TUBES, ROCKER, "{rocker_pivot: {housing: rocker, width: 72}}")
    housing = part(bike, Housing, "housing_rocker_pivot")
    plate = part(bike, LinkPlate, "plate_rocker_left").plate
    assert housing.link == "rocker"
    assert housing.width == pytest.approx(2 * plate.high) == pytest.approx(72.0)
    lug = part(bike, Lug, "lug_rocker_pivot_frame_left")
    assert lug.span[0] == pytest.approx(plate.high + PLAY)
    (web,) = lug.webs
    assert isinstance(web.metal, Arm)  # aside, to a tube in the centre plane
    assert web.tongue is not None


def test_a_shock_on_a_pivot_of_two_links() -> None:
    """The eye in the middle, then one body's lugs, then the other's."""
    section = ROCKER.replace("  rocker_shock: {on: rocker_pivot, forward: -46, above: 53}\n", "")
    section = section.replace(", rocker_shock]", "]").replace(
        "end: rocker_shock", "end: rocker_rear"
    )
    section = section.replace("size: 230x65", "eye_to_eye: 290, stroke: 40")
    bike = layout(ROCKER_TUBES, section)
    spans = [
        (boss.low, boss.high)
        for name in ("plate_strut_left", "plate_rocker_left")
        for boss in part(bike, LinkPlate, name).bosses
        if boss.pivot == "rocker_rear"
    ]
    inner, outer = sorted(spans)
    assert inner[0] == pytest.approx(15 + PLAY)
    assert outer[0] == pytest.approx(inner[1] + PLAY)


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


def test_a_link_with_the_axle_and_without_tubes_is_left_as_it_is() -> None:
    bike = layout("", SINGLE)
    assert {item.link for item in bike.pivots} == {None}


STRUT = """
strut: {pair: true, link: strut, start: {on: strut_rear, y: 62}, end: {on: rocker_rear, y: 50},
  od: 16, wall: 1.5}
"""


def test_a_body_on_one_side_has_lugs_there_alone() -> None:
    """A swingarm with a single leg; the invented bike is none to ride."""
    leg = (CHAINSTAY + SEATSTAY).replace("pair: true", "material: 4130")
    leg = leg.replace("{on: rear_dropout,", "{on: rear_dropout, side: left,")
    names = {item.name for item in layout(leg, SINGLE).pivots if item.link == "swingarm"}
    assert names == {"lug_main_pivot_swingarm_left", "lug_shock_rear_swingarm_left"}


FAULTS = {
    "axle in no wall": (
        (CHAINSTAY, SINGLE, "{main_pivot: {axle: 27}}"),
        "section", "suspension.pivots.main_pivot.axle", "1.5 mm around", "at least 31",
    ),
    "outside too small": (
        (CHAINSTAY, SINGLE, "{main_pivot: {od: 14}}"),
        "section", "suspension.pivots.main_pivot.od", "1.0 mm around", "at least 16",
    ),
    "tube cut in two": (
        (CHAINSTAY, SINGLE.replace("[10, 75]", "{on: seat_tube, from_start: 90}"),
         "{main_pivot: {od: 40}}"),
        "section", "suspension.pivots.main_pivot.od", "cuts seat_tube in two", "at most 32.9",
    ),
    "housing in a tube": (
        (
            CHAINSTAY,
            SINGLE.replace("[10, 75]", "{on: seat_tube, from_start: 90}"),
            "{main_pivot: {width: 20, od: 24}}",
        ),
        "section",
        "suspension.pivots.main_pivot.width",
        "ends inside of seat_tube",
        "more than 34.9",
    ),
    "shell in the axle's way": (
        (CHAINSTAY, SINGLE.replace("[10, 75]", "[10, 20]"), ""),
        "inconsistent", "suspension.points.main_pivot", "runs into the bottom bracket shell",
        "at least 26.0 mm away",
    ),
    "nothing near": (
        (CHAINSTAY, SINGLE.replace("[-88, 190]", "[-150, 440]").replace("[105, 260]", "[-20, 560]"), ""),
        "junction-miss", "suspension.points.shock_rear", "nothing of swingarm is near enough",
        "{on: shock_rear}",
    ),
    "no room": (
        (CHAINSTAY + STRUT, ROCKER, "{rocker_rear: {y: 34}}"),
        "inconsistent", "suspension.pivots.rocker_rear.y", "take the room of another body",
        "another lateral position",
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
    "a taken name": (
        (CHAINSTAY + BRIDGE.replace("bridge", "housing_main_pivot"), SINGLE, ""),
        "bad-name", "tubes.housing_main_pivot", "a part of the rear suspension", "another name",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", FAULTS)
def test_faults(name: str) -> None:
    bike, code, path, words, way = FAULTS[name]
    with pytest.raises(FrameError) as caught:
        layout(*bike)
    fault = next(f for f in caught.value.faults if f.code == code)
    assert fault.path == path
    assert words in fault.message
    assert way in fault.hint
    assert fault.place is not None
    assert fault.place.line is not None
    assert fault.place.line > FRONT.count("\n")


# Lanes by themselves


def pin(point: str, bodies: tuple[str, ...], half: float | None, **more: object) -> Pin:
    plain = {"owner": bodies[0], "y": None, "width": 12.0, "od": 24.0, "axle": 8.0, "plate": 6.0}
    return Pin(point, (0.0, 0.0), bodies, half=half, **{**plain, **more})  # type: ignore[arg-type]


def test_rounds_on_one_axle_never_overlap() -> None:
    """Three bodies on one pivot, a plate among them, and a second plate that shares two of them."""
    pins = {
        "a": pin("a", ("frame", "arm", "rocker"), 30.0),
        "b": pin("b", ("arm", "rocker", "strut"), None),
        "c": pin("c", ("frame", "strut"), 20.0),
    }
    kinds = {"frame": "tubes", "arm": "tubes", "rocker": "plates", "strut": "plates"}
    found = lanes(pins, kinds, {("a", "arm"): 40.0, ("b", "arm"): 50.0})
    assert found.crowded == ()
    for point, one in pins.items():
        spans = sorted(
            [found.rounds[point, body] for body in one.bodies if (point, body) in found.rounds]
        )
        if one.half is not None:
            assert spans[0][0] == pytest.approx(one.half + PLAY)
        for inner, outer in pairwise(spans):
            assert outer[0] - inner[1] == pytest.approx(PLAY)
    assert found.plates["rocker"][0] == pytest.approx(30.5)
    assert found.plates["strut"][0] == pytest.approx(20.5)


def test_a_free_lug_stands_where_its_tube_is() -> None:
    pins = {"a": pin("a", ("arm", "stay"), None)}
    found = lanes(
        pins, {"arm": "tubes", "stay": "tubes"}, {("a", "arm"): 60.0, ("a", "stay"): 52.0}
    )
    assert found.rounds["a", "arm"] == pytest.approx((54.0, 66.0))
    assert found.rounds["a", "stay"] == pytest.approx((47.5, 53.5))
