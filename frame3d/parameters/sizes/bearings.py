"""Boundary dimensions of radial ball bearings by ISO 15: bore × outside × width.

Reliability: values from memory of ISO 15 (dimension series 18, 19, 10, 02; series 18 and 19 in the
widths that are usual for deep groove ball bearings), not read again.
"""

from __future__ import annotations

from typing import Final

Size = tuple[float, float, float]
"""Bore d, outside diameter D, width B [mm]."""
SERIES: Final[dict[str, tuple[Size, ...]]] = {
    "18": (
        (5, 11, 3), (6, 13, 3.5), (7, 14, 3.5), (8, 16, 4), (9, 17, 4), (10, 19, 5), (12, 21, 5),
        (15, 24, 5), (17, 26, 5), (20, 32, 7), (25, 37, 7), (30, 42, 7), (35, 47, 7), (40, 52, 7),
    ),
    "19": (
        (5, 13, 4), (6, 15, 5), (7, 17, 5), (8, 19, 6), (9, 20, 6), (10, 22, 6), (12, 24, 6),
        (15, 28, 7), (17, 30, 7), (20, 37, 9), (25, 42, 9), (30, 47, 9), (35, 55, 10), (40, 62, 12),
    ),
    "10": (
        (5, 14, 5), (6, 17, 6), (7, 19, 6), (8, 22, 7), (9, 24, 7), (10, 26, 8), (12, 28, 8),
        (15, 32, 9), (17, 35, 10), (20, 42, 12), (25, 47, 12), (30, 55, 13), (35, 62, 14),
        (40, 68, 15),
    ),
    "02": (
        (5, 16, 5), (6, 19, 6), (7, 22, 7), (8, 24, 8), (9, 26, 8), (10, 30, 9), (12, 32, 10),
        (15, 35, 11), (17, 40, 12), (20, 47, 14), (25, 52, 15), (30, 62, 16), (35, 72, 17),
        (40, 80, 18),
    ),
}  # fmt: skip
"""By dimension series."""
STANDING: Final = "sizes from memory of ISO 15"


def series_of(bore: float, outside: float, width: float) -> str | None:
    """Return the dimension series that has a size; None where none here does."""
    return next((name for name, rows in SERIES.items() if (bore, outside, width) in rows), None)


def bore_of(outside: float, width: float) -> float | None:
    """Return the bore that goes with an outside diameter and width; None for none or several."""
    found = {d for rows in SERIES.values() for d, D, B in rows if (outside, width) == (D, B)}
    return found.pop() if len(found) == 1 else None
