"""No more digits than a gauge shows."""

from __future__ import annotations

import pytest

from frame3d.ride.springs import gauge


def test_what_a_gauge_shows() -> None:
    """1 psi = 6894.757293168 Pa, 1 lb/in = 4.4482216152605/25.4 N/mm, by definition."""
    assert gauge.bar(1.3249) == 13.2
    assert gauge.psi(1.3249) == round(1.3249e6 / 6894.757293168)
    assert gauge.newton_a_mm(78.807) == 78.8
    assert gauge.pounds_an_inch(78.8071) == 450
    assert gauge.multiple(1000.0, 300.0) == pytest.approx(3.3)
    assert [gauge.rule(x, "rear") for x in (15.74, 15.75, 19.5)] == [15.5, 16.0, 19.5]
    assert [gauge.rule(x, "fork") for x in (32.4, 32.5)] == [32.0, 33.0]
