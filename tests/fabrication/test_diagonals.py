"""What a millimetre in each measure does, against the frame built again with that millimetre in it."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import fsolve

from frame3d.fabrication.diagonals import diagonals_of, parts_of, settings_of, sideways_of
from frame3d.fabrication.fixture import fixture_csv
from tests.bike.tension.bikes import OFFSET, eccentric
from tests.fabrication.bikes import demo

Array = NDArray[np.float64]
LAYOUT = demo()


def flat(name: str) -> Array:
    x, _, z = LAYOUT.nodes[name]
    return np.array([x, z])


def head_angle_on_the_ground(bottom: Array, top: Array, rear: Array) -> float:
    """Of a frame with its fork and wheels, which turn until both stand on level ground [degrees]."""
    before = flat("head_tube_top") - flat("head_tube_bottom")
    now = top - bottom
    turn = np.arctan2(now[1], now[0]) - np.arctan2(before[1], before[0])
    arm = flat("front_axle") - flat("head_tube_bottom")
    cos, sin = np.cos(turn), np.sin(turn)
    front = bottom + np.array([cos * arm[0] - sin * arm[1], sin * arm[0] + cos * arm[1]])
    r_front, r_rear = LAYOUT.chart["front_wheel_radius"], LAYOUT.chart["rear_wheel_radius"]
    assert r_front is not None
    assert r_rear is not None

    def uneven(pitch: float) -> float:
        d = front - rear
        height = np.sin(pitch) * d[0] + np.cos(pitch) * d[1]
        return float(height - (r_front - r_rear))

    (pitch,) = fsolve(lambda p: [uneven(p[0])], [0.0], xtol=1e-10)
    return float(180 - np.degrees(np.arctan2(now[1], now[0]) + pitch))


def rebuilt(number: int, extra: float) -> tuple[float, float]:
    """Head angle and reach of the frame whose diagonal of that number is `extra` too long."""
    wanted = {d.number: d for d in diagonals_of(LAYOUT)}
    held = (1, 2, number if number in (4, 5, 6) else 3)
    length = float(np.linalg.norm(flat("head_tube_top") - flat("head_tube_bottom")))

    def off(p: Array) -> list[float]:
        ends = {
            "head_tube_bottom": p[:2],
            "head_tube_top": p[:2] + length * np.array([np.cos(p[2]), np.sin(p[2])]),
        }
        return [
            float(
                np.linalg.norm(ends[wanted[k].end] - flat(wanted[k].start))
                - wanted[k].length
                - (extra if k == number else 0.0)
            )
            for k in held
        ]

    axis = flat("head_tube_top") - flat("head_tube_bottom")
    p = fsolve(off, [*flat("head_tube_bottom"), np.arctan2(axis[1], axis[0])], xtol=1e-10)
    top = p[:2] + length * np.array([np.cos(p[2]), np.sin(p[2])])
    return head_angle_on_the_ground(p[:2], top, flat("rear_axle")), float(top[0])


@pytest.mark.parametrize("number", range(1, 7))
def test_a_millimetre_at_the_head_tube(number: int) -> None:
    found = next(d for d in diagonals_of(LAYOUT) if d.number == number)
    (low, x_low), (high, x_high) = rebuilt(number, -0.05), rebuilt(number, 0.05)
    assert found.head_angle == pytest.approx((high - low) / 0.1, abs=2e-5)
    assert found.reach == pytest.approx((x_high - x_low) / 0.1, abs=2e-4)


@pytest.mark.parametrize("number", [7, 8])
def test_a_millimetre_at_the_rear_axle(number: int) -> None:
    found = {d.number: d for d in diagonals_of(LAYOUT)}

    def angle(extra: float) -> float:
        def off(p: Array) -> list[float]:
            return [
                float(np.linalg.norm(p - flat(found[k].start)) - found[k].length)
                - (extra if k == number else 0.0)
                for k in (7, 8)
            ]

        rear = fsolve(off, flat("rear_axle"), xtol=1e-10)
        return head_angle_on_the_ground(flat("head_tube_bottom"), flat("head_tube_top"), rear)

    assert found[number].head_angle == pytest.approx((angle(0.05) - angle(-0.05)) / 0.1, abs=2e-5)
    assert found[number].reach == 0.0


def test_a_millimetre_in_a_setting() -> None:
    found = {s.what: s.head_angle for s in settings_of(LAYOUT)}
    at = {name: flat(name) for name in ("head_tube_bottom", "head_tube_top", "rear_axle")}
    for what, name, way in (
        ("head tube bottom forward, other end held", "head_tube_bottom", (1, 0)),
        ("head tube bottom up, other end held", "head_tube_bottom", (0, 1)),
        ("head tube top forward, other end held", "head_tube_top", (1, 0)),
        ("head tube top up, other end held", "head_tube_top", (0, 1)),
        ("rear axle up (drop)", "rear_axle", (0, 1)),
    ):
        angles = []
        for step in (-0.05, 0.05):
            moved = {**at, name: at[name] + step * np.array(way)}
            angles.append(
                head_angle_on_the_ground(
                    moved["head_tube_bottom"], moved["head_tube_top"], moved["rear_axle"]
                )
            )
        assert found[what] == pytest.approx((angles[1] - angles[0]) / 0.1, abs=2e-5), what


def test_parts_are_the_charts_own_sensitivities() -> None:
    found = {s.what: s for s in parts_of(LAYOUT)}
    assert set(found) == {"fork length", "fork offset", "lower headset stack", "front wheel radius",
                          "rear wheel radius"}  # fmt: skip
    # A longer fork lifts the front: about 57.3 sin(65.5°) / 1193 degrees slacker a millimetre.
    assert found["fork length"].head_angle == pytest.approx(-0.0437, abs=0.002)


def test_lengths_are_those_between_the_nodes() -> None:
    a = diagonals_of(LAYOUT)[0]
    assert (a.start, a.end) == ("bottom_bracket", "head_tube_bottom")
    assert a.length == pytest.approx(np.hypot(*flat("head_tube_bottom")))


def test_they_are_numbered_on_the_sheet_and_in_the_list() -> None:
    assert [d.number for d in diagonals_of(LAYOUT)] == list(range(1, 9))
    listed = [row for row in fixture_csv(LAYOUT).decode().splitlines() if row.startswith("measure")]
    assert [row.split(",")[1][:2] for row in listed] == [f"{i}:" for i in range(1, 9)]


def test_an_axle_that_stands_aside_measures_longer_on_one_side() -> None:
    found = {d.number: d for d in diagonals_of(LAYOUT)}
    assert all(found[k].aside is None for k in (1, 2, 3, 4))
    for k in (5, 6, 7, 8):
        d = found[k]
        assert d.aside is not None
        # The rear axle moved aside by that much: Pythagoras to either end of a 148 mm hub.
        left, right = (np.hypot(d.length, 74.0 + side * d.aside) for side in (1, -1))
        assert left - right == pytest.approx(1.0, abs=1e-4)


def test_sideways_errors_by_similar_triangles() -> None:
    found = {(s.what, s.where): s.effect for s in sideways_of(LAYOUT)}
    # The shell is 73 wide, the head tube's top 783 mm from its axis: 1 mm over 73 leans by 10.7.
    top = float(np.hypot(*flat("head_tube_top")))
    assert found["shell face over its width", "head tube top"] == pytest.approx(top / 73)
    # 1 mm over a head tube of 115 mm: 0.498 degrees.
    assert found["head tube top, bottom held", "steering axis"] == pytest.approx(0.49822, abs=1e-4)
    # A rear wheel of 372 mm radius between dropouts 148 apart, one of them 1 mm out.
    assert found["one dropout higher", "top of the rear tyre, sideways"] == pytest.approx(372 / 148)


def test_an_effect_is_told_with_its_unit() -> None:
    said = {s.where: s.value(2) for s in sideways_of(LAYOUT)}
    assert said["steering axis"] == "0.50°"
    assert said["top of the rear tyre, sideways"] == "2.51 mm"


def test_with_an_eccentric_insert_they_go_from_the_shells_own_middle() -> None:
    """Pythagoras from there; the insert goes in last."""
    bike = eccentric()
    found = {(d.start, d.end): d.length for d in diagonals_of(bike)}
    for node in ("head_tube_bottom", "head_tube_top", "rear_axle"):
        x, _, z = bike.nodes[node]
        assert found["bottom_bracket", node] == pytest.approx(np.hypot(x, z - OFFSET))
    text = fixture_csv(bike).decode()
    assert "7: shell's middle to rear axle" in text
    assert '"bottom bracket shell, its own axis",x 0.00  z 6.00 mm' in text
    assert "bottom bracket to rear axle" in fixture_csv(LAYOUT).decode()
