"""A band of a figure as text."""

from __future__ import annotations

from frame3d.report.texts import Texts
from frame3d.ride.slopes.bands import Band


def band_text(band: Band, unit: str, decimals: int, texts: Texts) -> str:
    """Return a band with its unit: "28 to 33 %"; one figure where both ends are shown the same."""
    low, high = texts.number(band.low, decimals), texts.quantity(band.high, unit, decimals)
    if low == texts.number(band.high, decimals):
        return high
    return texts("curve.band", low=low, high=high)
