"""Chainring circles against the published table and the formulas of ISO 606 and ASME B29.1."""

from __future__ import annotations

import pytest

from frame3d.bodies.parts.drivetrain import ROLLER, tip_radius
from frame3d.parameters.sizes.chains import PITCH, pitch_radius

PITCH_DIAMETERS = {
    10: 82.20, 12: 98.14, 16: 130.20, 20: 162.37, 24: 194.60, 28: 226.86, 30: 243.00, 32: 259.14,
    34: 275.28, 36: 291.43, 38: 307.58, 50: 404.52, 52: 420.68,
}  # fmt: skip
"""Pitch diameters of sprockets of 1 inch pitch, a published table citing ASME B29.1-2011 [mm]."""
TIP_DIAMETERS = {
    10: 49.22, 12: 57.19, 16: 73.22, 20: 89.31, 24: 105.42, 28: 121.55, 30: 129.62, 32: 137.69,
    34: 145.77, 36: 153.84, 38: 161.92, 50: 210.39, 52: 218.47,
}  # fmt: skip
"""Largest tip diameters at 1/2 inch, d + 1.25 p - d1 with d1 = 7.75 (value from memory of ISO 606),
worked out by hand [mm]."""


@pytest.mark.parametrize("teeth", PITCH_DIAMETERS)
def test_pitch_circle_is_half_of_the_one_inch_table(teeth: int) -> None:
    # The table is rounded to 0.01 mm and its rows of 24, 36 and 38 teeth run 0.003 mm low.
    assert 4 * pitch_radius(teeth) == pytest.approx(PITCH_DIAMETERS[teeth], abs=0.013)


@pytest.mark.parametrize("teeth", TIP_DIAMETERS)
def test_largest_tip_circle(teeth: int) -> None:
    assert 2 * tip_radius(teeth) == pytest.approx(
        TIP_DIAMETERS[teeth], abs=5.5e-3
    )  # rounded to 0.01


@pytest.mark.parametrize("teeth", [9, 10, 32, 60])
def test_the_chain_wraps_as_a_polygon(teeth: int) -> None:
    """A ring of N teeth carries N links: N sides of one pitch each."""
    from math import pi, sin

    assert teeth * 2 * pitch_radius(teeth) * sin(pi / teeth) == pytest.approx(teeth * PITCH)
    assert ROLLER == 7.75
