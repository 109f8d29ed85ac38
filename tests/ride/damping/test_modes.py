"""Natural modes against worked examples of textbooks, and against scipy."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.linalg import eigh

from frame3d.ride.damping.modes import natural_modes, quarter_car, quarter_car_modes


def test_quarter_car() -> None:
    """Barton and Fieldhouse, Automotive Chassis Engineering, 3.13, p. 209, read: printed 7.87 rad/s
    (1.25 Hz), 68.73 rad/s (10.9 Hz), mode 1 wheel/body 0.104; its coefficients are rounded to 3 digits,
    the exact figures are 7.878634 and 68.708623 rad/s, 0.104176 (derived).
    """
    modes = quarter_car_modes(317.5, 45.4, 22.0, 192.0)
    assert modes.rad_s == pytest.approx([7.87, 68.73], rel=1.2e-3)
    assert modes.rad_s == pytest.approx([7.878634, 68.708623], abs=5e-7)
    body, wheel = modes.shapes[:, 0]
    assert wheel / body == pytest.approx(0.104176, abs=5e-7)
    hz = quarter_car(317.5, 45.4, 22.0, 192.0)
    assert (hz.body_hz, hz.wheel_hop_hz) == pytest.approx((1.253924, 10.935317), abs=5e-7)


@pytest.mark.parametrize(
    ("mass", "stiffness", "printed", "exact", "ratios"),
    [
        (  # Thomson, Theory of Vibration, 5.3, p. 142: frequencies read; lengths and rates from memory
            (100.0, 1600.0),
            [[5000.0, 3500.0], [3500.0, 127250.0]],
            (6.90, 9.06),
            (6.899428, 9.051472),
            (-14.5962, 1.0962),
        ),
        (  # Rao, Mechanical Vibrations: values from memory (1000 kg, r 0.9 m, 18 and 22 kN/m)
            (1000.0, 810.0),
            [[40000.0, 15000.0], [15000.0, 67500.0]],
            (5.8593, 9.4341),
            (5.859292, 9.434089),
            (-2.646110, 0.306110),
        ),
        (  # Edwards and Penney, 7.4-24, read in a course's note (Utah)
            (100.0, 1000.0),
            [[4000.0, -4000.0], [-4000.0, 104000.0]],
            (6.13, 10.31),
            (6.131125, 10.315488),
            None,
        ),
    ],
    ids=["thomson", "rao", "edwards-penney"],
)
def test_bounce_and_pitch(
    mass: tuple[float, float],
    stiffness: list[list[float]],
    printed: tuple[float, float],
    exact: tuple[float, float],
    ratios: tuple[float, float] | None,
) -> None:
    modes = natural_modes(np.diag(mass), np.array(stiffness))
    assert modes.rad_s == pytest.approx(printed, abs=0.0095)
    assert modes.rad_s == pytest.approx(exact, abs=2e-6)
    if ratios is not None:
        assert modes.shapes[0] / modes.shapes[1] == pytest.approx(ratios, abs=2e-4)


def test_against_scipy() -> None:
    """Its generalised symmetric eigenvalues, on coupled masses."""
    mass = np.array([[3.0, 0.4, 0.0], [0.4, 2.0, 0.1], [0.0, 0.1, 1.5]])
    stiffness = np.array([[90.0, -30.0, 0.0], [-30.0, 70.0, -20.0], [0.0, -20.0, 60.0]])
    modes = natural_modes(mass, stiffness)
    assert modes.rad_s**2 == pytest.approx(eigh(stiffness, mass, eigvals_only=True))
    residual = stiffness @ modes.shapes - mass @ modes.shapes * modes.rad_s**2
    assert np.abs(residual).max() < 1e-10


def test_body_on_spring_and_tyre_in_series() -> None:
    """Derived: with a light wheel the body's mode tends to both springs in series."""
    series = 12.0 * 107.0 / 119.0
    found = quarter_car(48.0, 1e-6, 12.0, 107.0).body_hz
    assert found == pytest.approx(np.sqrt(1000 * series / 48.0) / (2 * np.pi), rel=1e-6)
