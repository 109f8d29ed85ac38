"""Rounds beside each other on one axle: none overlap, and each stands where its tubes or the file want it."""

from __future__ import annotations

from itertools import pairwise

import pytest

from frame3d.bike.bike import Bike
from frame3d.pivots.axle_stackup import lanes
from frame3d.tubes.hardware import PLAY, Housing, LinkPlate, Lug
from frame3d.tubes.pin import Pin
from tests.linked import (
    CHAINSTAY,
    ROCKER,
    ROCKER_TUBES,
    SEATSTAY,
    SINGLE,
    layout,
)
from tests.pivots.parts import part


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


def test_a_position_of_ones_own_that_is_taken_is_told() -> None:
    """A housing pair asked for at 34 mm, where the eye of 30 mm reaches to 15 and a plate lies."""
    pins = {
        "a": pin("a", ("arm", "rocker"), None, owner="arm", y=34.0),
        "b": pin("b", ("frame", "rocker"), 27.0),
    }
    kinds = {"frame": "tubes", "arm": "tubes", "rocker": "plates"}
    found = lanes(pins, kinds, {})
    assert found.plates["rocker"] == pytest.approx((27.5, 33.5))
    assert found.rounds["a", "arm"] == pytest.approx((28.0, 40.0))
    assert found.crowded == (("a", "arm"),)
    free = lanes({**pins, "a": pin("a", ("arm", "rocker"), None, owner="arm", y=50.0)}, kinds, {})
    assert free.crowded == ()
    assert free.rounds["a", "arm"] == pytest.approx((44.0, 56.0))
    # The plate's round is lengthened to it, less the play.
    assert free.rounds["a", "rocker"] == pytest.approx((27.5, 44.0 - PLAY))


def test_a_lug_goes_inside_where_its_tube_is() -> None:
    """Between a round at 44 to 56 mm and the centre plane, if its tube is nearer to that side."""
    pins = {"a": pin("a", ("arm", "stay"), None, owner="arm", y=50.0)}
    kinds = {"arm": "tubes", "stay": "tubes"}
    inside = lanes(pins, kinds, {("a", "stay"): 30.0}).rounds["a", "stay"]
    outside = lanes(pins, kinds, {("a", "stay"): 70.0}).rounds["a", "stay"]
    assert inside == pytest.approx((44 - PLAY - 6, 44 - PLAY))
    assert outside == pytest.approx((56 + PLAY, 56 + PLAY + 6))
    unsaid = lanes(pins, kinds, {}).rounds["a", "stay"]
    assert unsaid == pytest.approx(outside)  # the outermost


def test_no_part_of_a_pair_comes_near_the_centre_plane() -> None:
    pins = {"a": pin("a", ("arm", "stay"), None, owner="arm", y=13.0)}
    found = lanes(pins, {"arm": "tubes", "stay": "tubes"}, {("a", "stay"): 2.0})
    assert found.rounds["a", "arm"] == pytest.approx((7.0, 19.0))
    assert found.rounds["a", "stay"][0] == pytest.approx(19.0 + PLAY)


def test_a_housing_between_its_own_links_plates_reaches_to_their_outer_faces() -> None:
    pins = {"a": pin("a", ("frame", "rocker"), 36.0, owner="rocker")}
    found = lanes(pins, {"frame": "tubes", "rocker": "plates"}, {})
    assert found.plates["rocker"] == pytest.approx((30.0, 36.0))
    assert found.halves["a"] == pytest.approx(36.0)
    assert found.rounds["a", "frame"][0] == pytest.approx(36 + PLAY)
    assert ("a", "rocker") not in found.rounds
