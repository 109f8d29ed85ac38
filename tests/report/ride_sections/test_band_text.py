"""Bands as text."""

from __future__ import annotations

from frame3d.report.ride_sections.band_text import band_text
from frame3d.report.texts import texts
from frame3d.ride.slopes.bands import Band

SAY = texts()


def test_bands_are_told_as_ranges_with_one_unit() -> None:
    assert band_text(Band(27.6, 30.0, 33.2), "%", 0, SAY) == "28 to 33 %"
    assert band_text(Band(0.0, 0.1, 0.3), "%", 0, SAY) == "0 %"
    assert band_text(Band(0.561, 0.6, 0.634), "gravity", 2, SAY) == "0.56 to 0.63 g"
