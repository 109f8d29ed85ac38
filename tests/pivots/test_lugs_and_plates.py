"""Lugs and plates of links: complete, mirrored, and held."""

from __future__ import annotations

import pytest

from frame3d.bike.bike import Bike
from frame3d.tubes.hardware import PLAY, Arm, Housing, LinkPlate, Lug
from tests.linked import (
    BRIDGE,
    CHAINSTAY,
    OWN,
    OWN_TUBES,
    ROCKER,
    ROCKER_TUBES,
    SEATSTAY,
    SINGLE,
    layout,
)
from tests.pivots.parts import Faulty, assert_fault, part


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


def test_a_single_tube_ends_between_two_lugs() -> None:
    bike = layout(OWN_TUBES, OWN, "{main_pivot: {housing: swingarm, width: 80, od: 36, axle: 15}}")
    for side in ("left", "right"):
        assert part(bike, Lug, f"lug_shock_rear_swingarm_{side}").stays == (("beam", "end"),)


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


FAULTS: dict[str, Faulty] = {
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
    "a taken name": (
        (CHAINSTAY + BRIDGE.replace("bridge", "housing_main_pivot"), SINGLE, ""),
        "bad-name", "tubes.housing_main_pivot", "a part of the rear suspension", "another name",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", FAULTS)
def test_faults(name: str) -> None:
    assert_fault(FAULTS[name])
