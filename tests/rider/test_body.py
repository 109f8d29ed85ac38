"""Joints from circles: segments keep their lengths, the foot stands as it is told, centres by hand."""

from __future__ import annotations

import cmath
import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from frame3d.rider.body import (
    Supports,
    centre_of_mass,
    foot_on,
    in_centre_plane,
    joints_at,
    meet,
    placed_segments,
    side_view,
)
from frame3d.rider.segments import BODY_TABLES, TEXTBOOK, YOUNG_MEN, BodyTable, lengths_of

BODY = lengths_of(1780, 830)


def test_a_point_of_the_side_view_and_back() -> None:
    assert side_view((1.0, 5.0, 3.0)) == 1 + 3j
    assert in_centre_plane(1 + 3j) == (1.0, 0.0, 3.0)


def test_two_circles_meet_in_a_triangle() -> None:
    """3, 4, 5: on either side of the way from one to the other."""
    assert meet(0j, 3, 5 + 0j, 4, left=True) == pytest.approx(1.8 + 2.4j)
    assert meet(0j, 3, 5 + 0j, 4, left=False) == pytest.approx(1.8 - 2.4j)


@pytest.mark.parametrize(("apart", "a", "b"), [(8, 3, 4), (0.5, 3, 4), (0, 3, 3)])
def test_circles_that_do_not_meet(apart: float, a: float, b: float) -> None:
    assert meet(0j, a, complex(apart), b, left=True) is None


def test_a_level_foot() -> None:
    """The ball the sole's thickness above the axle; the ankle half a foot's length (0.152 of stature)
    behind it and its height above.
    """
    foot = foot_on(170 + 0j, BODY, 30, 0)
    assert foot.ball == 170 + 30j
    assert foot.ankle == pytest.approx(170 - 0.076 * 1780 + (30 + BODY.ankle_height) * 1j)
    assert foot.toe - foot.heel == pytest.approx(0.152 * 1780)
    assert foot.heel.imag == foot.toe.imag == pytest.approx(30)


@pytest.mark.parametrize("slope", [-10, 20, 45])
def test_a_raised_heel_turns_the_foot_about_the_axle(slope: float) -> None:
    """A rotation about the pedal's axle, heel up: everything of the level foot turns by the angle."""
    axle = 3 - 170j
    level, sloped = foot_on(axle, BODY, 30, 0), foot_on(axle, BODY, 30, slope)
    turn = cmath.rect(1, -math.radians(slope))
    for part in ("ankle", "ball", "heel", "toe"):
        assert getattr(sloped, part) - axle == pytest.approx(
            (getattr(level, part) - axle) * turn
        ), part
    higher = sloped.heel.imag - sloped.ball.imag
    assert higher == pytest.approx(BODY.heel * math.sin(math.radians(slope)))


def supports(heel_up: float = 20, arm_stretch: float = 0.94) -> Supports:
    pedals = {"front": 170 + 0j, "rear": -170 + 0j}
    return Supports(450 + 710j, pedals, 30, heel_up, arm_stretch)


@given(
    stature=st.floats(1450, 2100),
    share=st.floats(0.45, 0.49),
    x=st.floats(-350, -50),
    z=st.floats(500, 900),
    heel_up=st.floats(-10, 40),
    stretch=st.floats(0.6, 0.99),
    crank=st.floats(140, 180),
)
def test_segments_keep_their_lengths(
    stature: float, share: float, x: float, z: float, heel_up: float, stretch: float, crank: float
) -> None:
    """Wherever the hip is: all joints are as far apart as the body is long, and the right way about."""
    body = lengths_of(stature, share * stature)
    pedals = {"front": complex(crank), "rear": complex(-crank)}
    hands = 450 + 710j
    joints = joints_at(body, complex(x, z), Supports(hands, pedals, 30, heel_up, stretch))
    assume(joints is not None)
    assert joints is not None
    lengths = {
        ("hip", "shoulder"): body.trunk,
        ("shoulder", "elbow"): body.upper_arm,
        ("elbow", "wrist"): body.forearm,
        ("wrist", "hands"): body.hand,
        ("shoulder", "hands"): stretch * body.arm,
        ("shoulder", "chin"): body.neck,
        ("chin", "vertex"): body.head,
    }
    for side in ("front", "rear"):
        lengths |= {
            ("hip", f"knee_{side}"): body.thigh,
            (f"knee_{side}", f"ankle_{side}"): body.shank,
            (f"heel_{side}", f"toe_{side}"): body.heel + body.toe,
            (f"heel_{side}", f"ball_{side}"): body.heel,
            (f"ankle_{side}", f"ball_{side}"): math.hypot(body.ankle, body.ankle_height),
        }
        assert abs(joints[f"ball_{side}"] - pedals[side]) == pytest.approx(30)
        leg = joints[f"ankle_{side}"] - joints["hip"]
        knee = joints[f"knee_{side}"] - joints["hip"]
        assert (leg.conjugate() * knee).imag > -1e-3  # ahead of the line from hip to ankle
    for (a, b), length in lengths.items():
        assert abs(joints[a] - joints[b]) == pytest.approx(length, abs=1e-6), (a, b)
    assert joints["hands"] == hands
    arm = hands - joints["shoulder"]
    assert (arm.conjugate() * (joints["elbow"] - joints["shoulder"])).imag < 1e-3  # below
    to_hands = hands - joints["hip"]
    assert (to_hands.conjugate() * (joints["shoulder"] - joints["hip"])).imag > -1e-3  # above


def test_the_head_is_halfway_between_trunk_and_upright() -> None:
    joints = joints_at(BODY, -180 + 790j, supports())
    assert joints is not None
    trunk = math.degrees(cmath.phase(joints["shoulder"] - joints["hip"]))
    head = math.degrees(cmath.phase(joints["vertex"] - joints["chin"]))
    assert 30 < trunk < 80
    assert head == pytest.approx((trunk + 90) / 2)


def test_out_of_reach() -> None:
    assert joints_at(BODY, -1500 + 800j, supports()) is None  # grips
    assert joints_at(BODY, -180 + 1050j, supports(arm_stretch=0.99)) is None  # pedals


def test_a_straight_body_has_its_centre_where_the_table_says() -> None:
    """By hand: everything on one line, moments of Winter's rows about the sole."""
    joints = {
        name: complex(0, height)
        for name, height in {
            "hip": 1000,
            "shoulder": 1600,
            "elbow": 1250,
            "wrist": 1000,
            "hands": 900,
            "vertex": 1900,
            "chin": 1680,
        }.items()
    }
    for side in ("front", "rear"):
        joints |= {f"knee_{side}": 550j, f"ankle_{side}": 80j, f"ball_{side}": 0j}
        joints |= {f"heel_{side}": -50 + 0j, f"toe_{side}": 150 + 0j}
    by_hand = (
        0.578 * (1000 + 0.66 * 600)
        + 0.056 * (1600 - 0.436 * 350)
        + 0.044 * (1250 - 0.682 * 250)
        + 0.2 * (1000 - 0.433 * 450)
        + 0.093 * (550 - 0.433 * 470)
        + 0.029 * 40
    )
    assert centre_of_mass(joints) == pytest.approx(by_hand * 1j)
    men = (
        0.0694 * (1900 - 0.5976 * 220)
        + 0.4346 * (1600 - 0.4310 * 600)
        + 0.0542 * (1600 - 0.5772 * 350)
        + 0.0324 * (1250 - 0.4574 * 250)
        + 0.0122 * (1000 - 0.79 * 100)
        + 0.2832 * (1000 - 0.4095 * 450)
        + 0.0866 * (550 - 0.4395 * 470)
    )
    foot = 0.0274 * (-50 + 0.4415 * 200)
    assert centre_of_mass(joints, YOUNG_MEN) == pytest.approx(foot + men * 1j)


@pytest.mark.parametrize("table", BODY_TABLES.values(), ids=BODY_TABLES.keys())
def test_all_of_the_body_is_placed(table: BodyTable) -> None:
    joints = joints_at(BODY, -180 + 790j, supports())
    assert joints is not None
    placed = placed_segments(joints, table)
    assert sum(p.mass_share for p in placed) == pytest.approx(table.total_share)
    legs = [p.segment.name for p in placed if p.side]
    assert sorted(legs) == ["foot", "foot", "shank", "shank", "thigh", "thigh"]


def test_two_tables_are_an_error_bar_apart() -> None:
    """Of a seated body: de Leva's 15 to 30 mm lower than Winter's (derived on two demo bikes: 22 to 24)."""
    joints = joints_at(BODY, -180 + 790j, supports())
    assert joints is not None
    lower = centre_of_mass(joints, TEXTBOOK) - centre_of_mass(joints, YOUNG_MEN)
    assert 15 < lower.imag < 30
    assert 2 < lower.real < 15
