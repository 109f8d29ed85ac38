"""What features weigh, and what they take out of their tubes."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.tubes.features.forms import forms
from frame3d.tubes.features.metal import taken, weighed
from tests.featured import featured, of


def test_metal_is_weighed_as_cylinders() -> None:
    """A boss π/4 (D² − d²) L; an eye that only just touches its tube, likewise, less what sinks in."""
    bike = featured()
    tube = bike.tube("down_tube")
    ((_, volume, moment), _) = weighed(of(bike, "cage"), tube)
    assert volume == pytest.approx(np.pi / 4 * (81 - 25) * 13.5)
    (one, _) = forms(of(bike, "cage"), tube)
    assert moment / volume == pytest.approx((one.start + one.end) / 2)
    assert [hole.diameter for hole in taken(of(bike, "cage"), tube)] == [9.0, 9.0]
    stay = bike.tube("seatstay_left")
    ((name, volume, _),) = weighed(of(bike, "rack", "left"), stay)
    assert name == "seatstay-rack_left"
    assert 0.9 < volume / (np.pi / 4 * (121 - 25) * 6) < 1.0


def test_bosses_of_a_bottle_are_no_metal() -> None:
    bike = featured({}, bottles=[{"on": "down_tube", "from_start": 250}])
    assert forms(of(bike, "bottle_1"), bike.tube("down_tube")) == ()
    assert taken(of(bike, "bottle_1"), bike.tube("down_tube")) == ()
