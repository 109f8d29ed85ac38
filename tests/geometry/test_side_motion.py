"""A rigid motion of the side view, against complex numbers."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.geometry.side_motion import SideMotion

MOTION = SideMotion(7.0, 12.0, -3.0)


def test_it_turns_nose_up_and_then_shifts() -> None:
    at = complex(40.0, 25.0) * np.exp(1j * np.radians(7.0)) + complex(12.0, -3.0)
    assert MOTION.side((40.0, 25.0)) == pytest.approx((at.real, at.imag), abs=1e-12)
    assert MOTION.point((40.0, -8.0, 25.0)) == pytest.approx((at.real, -8.0, at.imag), abs=1e-12)


def test_pitched_is_one_after_the_other() -> None:
    both = MOTION.pitched(-2.5).side((40.0, 25.0))
    assert both == pytest.approx(SideMotion(-2.5).side(MOTION.side((40.0, 25.0))), abs=1e-12)


def test_none_leaves_every_point_to_the_bit() -> None:
    assert SideMotion().point((0.1, 0.2, 0.3)) == (0.1, 0.2, 0.3)
