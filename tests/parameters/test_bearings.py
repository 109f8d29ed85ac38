"""Bearing sizes against designations of the trade, and rules that dimension series keep."""

from __future__ import annotations

import pytest

from frame3d.parameters.sizes.bearings import SERIES, bore_of, series_of

# Deep groove ball bearings by the usual basic designation: dimension series of ISO 15, and size; values
# from memory of ISO 15 and of the trade's tables.
KNOWN = {
    "6000": ("10", (10, 26, 8)), "6001": ("10", (12, 28, 8)), "6003": ("10", (17, 35, 10)),
    "6200": ("02", (10, 30, 9)), "6202": ("02", (15, 35, 11)), "6203": ("02", (17, 40, 12)),
    "6802": ("18", (15, 24, 5)), "6803": ("18", (17, 26, 5)), "6800": ("18", (10, 19, 5)),
    "6900": ("19", (10, 22, 6)), "6902": ("19", (15, 28, 7)), "688": ("18", (8, 16, 4)),
}  # fmt: skip


@pytest.mark.parametrize("name", KNOWN)
def test_known_bearings(name: str) -> None:
    series, size = KNOWN[name]
    assert series_of(*size) == series


def test_series_grow() -> None:
    """In a series outside diameters grow with the bore; of one bore, from each series to the next."""
    for rows in SERIES.values():
        assert [r[0] for r in rows] == sorted({r[0] for r in rows})
        assert [r[1] for r in rows] == sorted({r[1] for r in rows})
        assert all(d < outside for d, outside, _ in rows)
    outside = {name: {d: o for d, o, _ in rows} for name, rows in SERIES.items()}
    for d in outside["18"]:
        assert outside["18"][d] < outside["19"][d] < outside["10"][d] < outside["02"][d]


def test_other_sizes() -> None:
    assert series_of(11, 26, 8) is None
    assert bore_of(24, 5) == 15
    assert bore_of(26, 8) is None  # a bore of 10 in series 10, of 9 in series 02
    assert bore_of(26, 99) is None
