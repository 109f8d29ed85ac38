"""Inertia of pieces and of several together, against textbooks, integration and a cloud of points."""

import math

import numpy as np
import pytest
from scipy.integrate import dblquad

from frame3d.ride.steering.mass_properties import (
    RigidPiece,
    combined,
    disc,
    hoop,
    limb,
    point_mass,
    rod,
)


def of_points(masses: np.ndarray, points: np.ndarray) -> RigidPiece:
    """The sums themselves."""
    total = masses.sum()
    centre = masses @ points / total
    d = (points - centre) / 1000
    inertia = sum(m * (p @ p * np.eye(3) - np.outer(p, p)) for m, p in zip(masses, d, strict=True))
    return RigidPiece(total, tuple(float(x) for x in centre), inertia)


def test_rod() -> None:
    """m·L²/12: 3 kg of 2 m weigh 1 kg m² about their middle."""
    upright = rod(3.0, (0.0, 0.0, 0.0), (0.0, 0.0, 2000.0))
    assert upright.at == (0.0, 0.0, 1000.0)
    assert np.diag(upright.inertia) == pytest.approx([1.0, 1.0, 0.0])
    across = rod(3.0, (0.0, -1000.0, 0.0), (0.0, 1000.0, 0.0))
    assert np.diag(across.inertia) == pytest.approx([1.0, 0.0, 1.0])


def test_slanted_rod_against_points() -> None:
    start, end = np.array([100.0, 50.0, 20.0]), np.array([-300.0, 250.0, 900.0])
    share = (np.arange(4000) + 0.5) / 4000
    cloud = of_points(np.full(4000, 5.0 / 4000), start + share[:, None] * (end - start))
    found = rod(5.0, tuple(start), tuple(end))
    assert found.at == pytest.approx(cloud.at)
    assert found.inertia == pytest.approx(cloud.inertia, abs=1e-6)


def test_limb_turns_with_its_direction() -> None:
    """Leaning by 90° forward, its own axis points forward; the sideways radius stays sideways."""
    upright = limb(10.0, (0, 0, 0), (0, 0, 500.0), 0.4, (0.38, 0.36, 0.2))
    level = limb(10.0, (0, 0, 0), (500.0, 0, 0), 0.4, (0.38, 0.36, 0.2))
    square = 10.0 * 0.25 * np.array([0.38, 0.36, 0.2]) ** 2
    assert np.diag(upright.inertia) == pytest.approx(square)
    assert np.diag(level.inertia) == pytest.approx(square[[2, 1, 0]])
    assert upright.at == (0.0, 0.0, 200.0)
    assert limb(10.0, (1, 2, 3), (1, 2, 3), 0.4, (1, 1, 1)).inertia == pytest.approx(
        np.zeros((3, 3))
    )


@pytest.mark.parametrize(("R", "r"), [(340.0, 30.0), (310.0, 0.0)])
def test_hoop_against_integration(R: float, r: float) -> None:
    """The surface of a torus, over both of its angles."""

    def mean(of: object) -> float:
        def weighed(v: float, u: float) -> float:
            out = R + r * math.cos(v)
            return out * of(out * math.cos(u), r * math.sin(v), out * math.sin(u))  # type: ignore[operator]

        whole, _ = dblquad(weighed, 0, 2 * math.pi, 0, 2 * math.pi)
        area, _ = dblquad(lambda v, u: R + r * math.cos(v), 0, 2 * math.pi, 0, 2 * math.pi)
        return whole / area / 1e6

    found = np.diag(hoop(2.0, (0.0, 0.0, 0.0), R, r).inertia) / 2.0
    assert found == pytest.approx(
        [mean(lambda x, y, z: y**2 + z**2), mean(lambda x, y, z: x**2 + z**2), found[0]], rel=1e-9
    )


def test_disc() -> None:
    """m·R²/2 about its axle, half of that about a diameter."""
    assert np.diag(disc(2.0, (0, 0, 0), 1000.0).inertia) == pytest.approx([0.5, 1.0, 0.5])


def test_together_against_points() -> None:
    rng = np.random.default_rng(5)
    masses, points = rng.uniform(0.1, 3.0, 30), rng.uniform(-700, 700, (30, 3))
    halves = (of_points(masses[:11], points[:11]), of_points(masses[11:], points[11:]))
    whole, found = of_points(masses, points), combined(halves)
    assert found.mass_kg == pytest.approx(whole.mass_kg)
    assert found.at == pytest.approx(whole.at)
    assert found.inertia == pytest.approx(whole.inertia)


def test_mirrored_pair_is_symmetric() -> None:
    arm = limb(2.0, (100.0, 180.0, 1300.0), (500.0, 330.0, 1000.0), 0.43, (0.3, 0.3, 0.1))
    pair = combined((arm, arm.mirrored))
    assert pair.at[1] == 0.0
    assert pair.inertia[[0, 1], [1, 2]] == pytest.approx([0.0, 0.0], abs=1e-15)


def test_dumbbell() -> None:
    """Two kilograms at 1 m from each other's middle: 2 kg m² about it."""
    pair = combined((point_mass(1.0, (-1000.0, 0, 0)), point_mass(1.0, (1000.0, 0, 0))))
    assert np.diag(pair.inertia) == pytest.approx([0.0, 2.0, 2.0])


def test_nothing_has_no_centre() -> None:
    with pytest.raises(ValueError, match="without mass"):
        combined(())
