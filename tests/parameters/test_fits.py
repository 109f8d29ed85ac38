"""Limits of holes against rows of ISO 286-2's tables."""

from __future__ import annotations

import pytest

from frame3d.parameters.sizes.fits import limits, limits_text

# Lower and upper deviations [µm] by size [mm]; values from memory of ISO 286-2.
ROWS: dict[str, dict[float, tuple[float, float]]] = {
    "H7": {3: (0, 10), 6: (0, 12), 10: (0, 15), 18: (0, 18), 30: (0, 21), 50: (0, 25), 80: (0, 30)},
    "H8": {10: (0, 22), 18: (0, 27), 30: (0, 33)},
    "G7": {10: (5, 20), 18: (6, 24), 30: (7, 28)},
    "F8": {10: (13, 35), 18: (16, 43), 30: (20, 53)},
    "JS7": {18: (-9, 9), 30: (-10.5, 10.5)},
    "K7": {3: (-10, 0), 6: (-9, 3), 10: (-10, 5), 18: (-12, 6), 30: (-15, 6), 50: (-18, 7)},
    "M7": {3: (-12, -2), 6: (-12, 0), 10: (-15, 0), 18: (-18, 0), 30: (-21, 0), 120: (-35, 0)},
    "N7": {3: (-14, -4), 6: (-16, -4), 10: (-19, -4), 18: (-23, -5), 30: (-28, -7), 50: (-33, -8)},
    "P7": {
        3: (-16, -6),
        6: (-20, -8),
        10: (-24, -9),
        18: (-29, -11),
        30: (-35, -14),
        50: (-42, -17),
    },
}


@pytest.mark.parametrize("code", ROWS)
def test_rows_of_the_table(code: str) -> None:
    for size, row in ROWS[code].items():
        found = limits(size, code)
        assert found is not None
        assert [1000 * v for v in found] == pytest.approx(row)


def test_a_size_on_the_end_of_a_range_belongs_to_it() -> None:
    """Over 18 up to and with 30 mm: 18 has the finer row."""
    assert limits(18, "H7") == pytest.approx((0, 0.018))
    assert limits(18.001, "H7") == pytest.approx((0, 0.021))


@pytest.mark.parametrize(
    ("size", "code"), [(20, ""), (20, "h7"), (20, "H77"), (20, "X7"), (500, "H7"), (20, "N9")]
)
def test_what_the_tables_do_not_hold(size: float, code: str) -> None:
    assert limits(size, code) is None
    assert limits_text(size, code) == ""


def test_text() -> None:
    assert limits_text(26, "N7") == "-0.028 / -0.007"
    assert limits_text(12, "H7") == "+0.000 / +0.018"
