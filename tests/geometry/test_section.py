"""Sections: areas against handbook rows."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.geometry.section import Section


@pytest.mark.parametrize(
    ("od", "area"),
    [(28.575, 77.3236), (31.75, 86.1909), (34.925, 95.0583), (38.1, 103.9257)],
)
def test_area_of_plain_tubes(od: float, area: float) -> None:
    """4130 tubes with a wall of 0.889 mm; derived in the project's list of check values."""
    section = Section.round(100.0, od, 0.889)
    assert section.area_at(30.0) == pytest.approx(area, abs=1e-4)
    assert section.is_round
    assert not section.is_solid


def test_area_of_an_oval_bar_is_that_of_its_ellipse() -> None:
    bar = Section((0.0, 10.0), (30.0, 30.0), (17.0, 17.0), (0.0, 0.0))
    assert bar.area_at(5.0) == pytest.approx(np.pi * 15.0 * 8.5)
    assert bar.is_solid
    assert bar.radii_at(5.0, 0.5) == (pytest.approx(7.5), pytest.approx(4.25))
