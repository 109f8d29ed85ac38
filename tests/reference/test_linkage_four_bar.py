"""Four-bars against worked examples and exact properties.

Links of the example: Norton, Design of Machinery, example 4-1 (from memory); its numbers here are
derived from Freudenstein's equation (general form; the paper of 1955 was not read).
"""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.linkage.curves.instant_centre import instant_centre
from tests.linkage.bikes import followed, four_bar, mechanism

A, B, C, D = 40.0, 120.0, 80.0, 100.0


def joint(theta2: float, branch: int) -> tuple[complex, complex]:
    """A and B by the intersection of two circles, for a crank angle in degrees."""
    a = A * np.exp(1j * np.radians(theta2))
    away = D - a
    along = (B**2 - C**2 + abs(away) ** 2) / (2 * abs(away))
    square = np.sqrt(B**2 - along**2)
    return a, a + (along + branch * 1j * square) * away / abs(away)


@pytest.mark.parametrize(
    ("branch", "theta3", "theta4", "w3", "w4", "centre"),
    [
        (1, 20.297883, 57.324880, -0.1648366, 0.2799194, (216.53364, 181.69330)),
        (-1, -60.977967, -98.004964, -0.3703509, -0.8151069, (113.37893, 95.13622)),
    ],
    ids=["open", "crossed"],
)
def test_the_worked_example(
    branch: int, theta3: float, theta4: float, w3: float, w4: float, centre: tuple[float, float]
) -> None:
    """Driven from a crank angle of 55° to 40° by a shock: angles, speed ratios, instant centre."""
    a, b = joint(55, branch)
    fix = 40 - 60j if branch == 1 else 90 - 20j
    made = four_bar(a, b, D + 0j, (a + b) / 2, fix)
    end = A * np.exp(1j * np.radians(40))
    motion = followed(made, made.length - abs(end - fix), 61)
    at = {p: motion.body_point(body, made.drawn[p]).at[-1] for p, body in
          (("a", "crank"), ("b", "rocker"))}  # fmt: skip
    assert at["a"] == pytest.approx(end, abs=1e-10)
    assert np.degrees(np.angle(at["b"] - at["a"])) == pytest.approx(theta3, abs=1e-6)
    assert np.degrees(np.angle(at["b"] - D)) == pytest.approx(theta4, abs=1e-6)
    speed = {body: motion.turn_rate(body)[-1] for body in ("crank", "coupler", "rocker")}
    assert speed["coupler"] / speed["crank"] == pytest.approx(w3, abs=1e-7)
    assert speed["rocker"] / speed["crank"] == pytest.approx(w4, abs=1e-7)
    assert instant_centre(motion, "coupler")[-1] == pytest.approx(centre, abs=1e-5)
    if branch == 1:
        assert (at["b"].real, at["b"].imag) == pytest.approx((143.18999, 67.33962), abs=1e-5)


def test_freudenstein_holds_all_the_way() -> None:
    """K1 cos θ4 - K2 cos θ2 + K3 = cos(θ2 - θ4), at every stroke."""
    k1, k2, k3 = D / A, D / C, (A**2 - B**2 + C**2 + D**2) / (2 * A * C)
    assert (k1, k2, k3) == (2.5, 1.25, 0.5625)
    a, b = joint(100, 1)
    made = four_bar(a, b, D + 0j, b, 80 - 30j)
    motion = followed(made, 60, 201)
    two = np.angle(motion.body_point("crank", a).at)
    four = np.angle(motion.body_point("rocker", b).at - D)
    assert np.ptp(two) > 0.9
    assert np.abs(
        k1 * np.cos(four) - k2 * np.cos(two) + k3 - np.cos(two - four)
    ).max() < 1e-12  # fmt: skip


def test_parallelogram() -> None:
    """Equal opposite links: the coupler only shifts, θ4 = θ2, the instant centre is at infinity."""
    made = four_bar(60j, 100 + 60j, 100 + 0j, -300 + 80j, 100 + 40j)
    motion = followed(made, 30)
    assert np.abs(motion.turn("coupler")).max() < 1e-12
    assert motion.turn("rocker") == pytest.approx(motion.turn("crank"), abs=1e-12)
    assert abs(motion.turn("crank")[-1]) > 15
    moved = motion.wheel.at - (-300 + 80j)
    a = motion.body_point("crank", 60j).at
    assert moved == pytest.approx(a - 60j, abs=1e-11)
    centre = instant_centre(motion, "coupler")
    assert not np.isfinite(centre).any()


def test_a_third_parallel_link_is_more_than_counting_allows() -> None:
    """Grübler counts 0 freedoms, the rank of the Jacobian finds 1, and it moves."""
    points = {"o2": 0j, "a": 60j, "b": 100 + 60j, "o4": 100 + 0j, "m": 50 + 60j, "o6": 50 + 0j,
              "rear_axle": -300 + 80j, "fix": 100 + 40j}  # fmt: skip
    bodies = {"frame": ["o2", "o4", "o6", "fix"], "crank": ["o2", "a"], "coupler": ["a", "m", "b"],
              "rocker": ["o4", "b"], "third": ["o6", "m"]}  # fmt: skip
    made = mechanism(points, bodies, "coupler", ("fix", "a"))
    assert made.structure.count == 0
    motion = followed(made, 30)
    turned = np.exp(1j * motion.track.turn)
    assert made.misfit(turned, made.length - motion.stroke).max() < 1e-10
    assert motion.turn("third") == pytest.approx(motion.turn("crank"), abs=1e-10)


def test_hoeken_line() -> None:
    """Crank 1, ground 2, coupler and rocker 2.5, point at 5: on y = 4 at crank angles 180° and 90°
    (kinematics texts, from memory; coordinates derived).
    """

    def pose(theta: float) -> tuple[complex, complex, complex]:
        a = np.exp(1j * np.radians(theta))
        away = 2 - a
        half = abs(away) / 2
        b = a + (half + 1j * np.sqrt(2.5**2 - half**2)) * away / abs(away)
        return a, b, a + 2 * (b - a)

    a, b, p = pose(185)
    made = four_bar(a, b, 2 + 0j, p, 1.5 + 1.8j)
    ends = {180: (2.0, 4.0), 150: (2.69887, 4.00593), 120: (3.38873, 4.00892), 90: (4.0, 4.0)}
    lengths = [made.length - abs(np.exp(1j * np.radians(t)) - (1.5 + 1.8j)) for t in ends]
    assert sorted(lengths) == lengths
    from frame3d.linkage.motion import LinkageMotion
    from frame3d.linkage.trace import trace

    motion = LinkageMotion(made, trace(made, np.array([0.0, *lengths])))
    for found, wanted in zip(motion.axle[1:], ends.values(), strict=True):
        assert found == pytest.approx(wanted, abs=5e-6)
