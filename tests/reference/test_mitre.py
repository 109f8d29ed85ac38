"""The mitre curve against its table, its closed forms, and published volumes of crossing cylinders.

The table and the curve were derived and recomputed point by point from the cylinder's equation (the
project's list of check values); volumes: equal cylinders published (Archimedes, 16 r³ / 3 at right
angles), unequal and oblique ones Hubbell 1965, confirmed there by numerical integration.
"""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.tubes.cuts.mitre import mitre_curve

PHI = np.arange(0.0, 360.0, 45.0)
TABLE = {
    # (r, R, angle, offset): z at 0, 45, ... 315 degrees; depth, longest minus shortest
    (15.875, 18.2, 75.0, 0.0): (
        [23.09572, 17.83911, 9.21479, 11.82348, 14.58833, 11.82348, 9.21479, 17.83911],
        14.19491,
    ),
    (15.875, 15.875, 60.0, 0.0): (
        [27.49631, 19.44282, 0.00000, 6.48094, 9.16544, 6.48094, 0.00000, 19.44282],
        27.49631,
    ),
    (15.875, 22.0, 90.0, 0.0): (
        [22.00000, 18.92068, 15.23103, 18.92068, 22.00000, 18.92068, 15.23103, 18.92068],
        6.76897,
    ),
    (11.1125, 19.05, 70.0, 5.0): (
        [23.60647, 22.90316, 19.20066, 17.18321, 15.51723, 12.09849, 10.81541, 17.81845],
        13.68380,
    ),
}
CASES = pytest.mark.parametrize("case", TABLE, ids=str)


@CASES
def test_points_of_the_table(case: tuple[float, float, float, float]) -> None:
    z, _ = TABLE[case]
    assert mitre_curve(*case, PHI) == pytest.approx(z, abs=6e-6)


@CASES
def test_depth_of_the_table(case: tuple[float, float, float, float]) -> None:
    z = mitre_curve(*case, np.linspace(0.0, 360.0, 36001))
    assert z.max() - z.min() == pytest.approx(TABLE[case][1], abs=6e-6)


@CASES
def test_every_point_lies_on_the_main_tube(case: tuple[float, float, float, float]) -> None:
    r, R, angle, offset = case
    phi = np.linspace(0.0, 360.0, 721)
    turn, theta = np.radians(phi), np.radians(angle)
    points = np.stack((r * np.cos(turn), r * np.sin(turn), mitre_curve(*case, phi)), axis=1)
    along = np.array([np.sin(theta), 0.0, np.cos(theta)])
    distance = np.linalg.norm(np.cross(points - [0.0, offset, 0.0], along), axis=1)
    assert distance == pytest.approx(np.full(721, R), abs=1e-9)


def test_where_the_extremes_lie() -> None:
    """Minimum at 98.6 degrees in the first column; 16.3 and 257.1 in the last."""
    phi = np.arange(0.0, 360.0, 0.05)
    first = mitre_curve(15.875, 18.2, 75.0, 0.0, phi)
    last = mitre_curve(11.1125, 19.05, 70.0, 5.0, phi)
    shortest = phi[np.argmin(first)]
    assert min(shortest, 360 - shortest) == pytest.approx(98.6, abs=0.06)
    assert phi[np.argmax(last)] == pytest.approx(16.3, abs=0.06)
    assert phi[np.argmin(last)] == pytest.approx(257.1, abs=0.06)


@pytest.mark.parametrize("angle", [20.0, 60.0, 90.0, 135.0])
def test_equal_tubes_meet_in_two_plane_ellipses(angle: float) -> None:
    """That is, z = r (cos φ cos θ + |cos φ|) / sin θ; ends r cot(θ/2) and r tan(θ/2)."""
    r, phi = 19.05, np.linspace(0.0, 360.0, 73)
    theta, cos = np.radians(angle), np.cos(np.radians(phi))
    z = mitre_curve(r, r, angle, 0.0, phi)
    assert z == pytest.approx(r * (cos * np.cos(theta) + np.abs(cos)) / np.sin(theta), abs=1e-6)
    assert z[0] == pytest.approx(r / np.tan(theta / 2), abs=1e-9)
    assert z[36] == pytest.approx(r * np.tan(theta / 2), abs=1e-9)
    points = np.stack((r * cos, r * np.sin(np.radians(phi)), z), axis=1)
    near = points[cos > 1e-9]
    assert np.linalg.svd(near - near.mean(axis=0))[1][2] == pytest.approx(0.0, abs=1e-6)


def test_depth_at_right_angles() -> None:
    """R − √(R² − r²); r where the tubes are equal."""
    phi = np.linspace(0.0, 360.0, 361)
    for r, R in ((15.875, 22.0), (15.875, 15.875), (6.0, 20.0)):
        z = mitre_curve(r, R, 90.0, 0.0, phi)
        assert z.max() - z.min() == pytest.approx(R - np.sqrt(R * R - r * r), abs=1e-9)


def test_branch_that_passes_by_has_no_edge_there() -> None:
    """Real for all φ if and only if r + |e| ≤ R."""
    phi = np.arange(0.0, 360.0, 1.0)
    assert not np.isnan(mitre_curve(10.0, 15.0, 70.0, 5.0, phi)).any()
    past = np.isnan(mitre_curve(10.0, 15.0, 70.0, 6.0, phi))
    assert past[270]
    assert not past[90]


@pytest.mark.parametrize(
    ("R", "r", "angle", "volume"),
    [
        (1.0, 1.0, 90.0, 16 / 3),
        (1.0, 0.5, 90.0, 1.520039988),
        (18.2, 15.875, 90.0, 25719.1211),
        (18.2, 15.875, 75.0, 26626.3934),
        (22.0, 15.875, 90.0, 32389.5189),
        (15.875, 15.875, 90.0, 21337.3229),
        (15.875, 15.875, 60.0, 24638.2183),
    ],
)
def test_volume_common_to_two_cylinders(R: float, r: float, angle: float, volume: float) -> None:
    """Twice the mitre's mean depth over the branch's section is the common volume."""
    x, weights = np.polynomial.legendre.leggauss(200)
    rho = r * np.sin(np.pi / 4 * (x + 1))  # clusters where equal cylinders have a root
    jacobian = r * np.cos(np.pi / 4 * (x + 1)) * np.pi / 4
    phi = np.arange(0.0, 360.0, 0.25)
    means = np.array([np.mean(mitre_curve(float(q), R, angle, 0.0, phi)) for q in rho])
    total = 2 * np.sum(weights * jacobian * rho * means) * 2 * np.pi
    assert total == pytest.approx(volume, rel=2e-6)
