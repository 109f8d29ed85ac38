"""Limits of holes by ISO 286-1: standard tolerances and fundamental deviations up to 180 mm.

Reliability: all values from memory of ISO 286-1 (tables 1 to 3), not read again. K, M, N and P follow
from the shafts k, m, n and p by the standard's rule for holes: ES = -ei + Δ, with Δ the difference
between the tolerance of the hole's grade and that of the next finer one (K, M, N up to grade 8, P up to
grade 7; above 3 mm); the tests hold the usual rows of the table against it.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from typing import Final

SIZES: Final = (3.0, 6.0, 10.0, 18.0, 30.0, 50.0, 80.0, 120.0, 180.0)
"""Upper ends of the ranges of size; a size belongs to the first that is not below it [mm]."""
GRADES: Final = {
    4: (3, 4, 4, 5, 6, 7, 8, 10, 12),
    5: (4, 5, 6, 8, 9, 11, 13, 15, 18),
    6: (6, 8, 9, 11, 13, 16, 19, 22, 25),
    7: (10, 12, 15, 18, 21, 25, 30, 35, 40),
    8: (14, 18, 22, 27, 33, 39, 46, 54, 63),
    9: (25, 30, 36, 43, 52, 62, 74, 87, 100),
    10: (40, 48, 58, 70, 84, 100, 120, 140, 160),
    11: (60, 75, 90, 110, 130, 160, 190, 220, 250),
}
"""Standard tolerances IT by grade, over the ranges [µm]."""
CLEARANCE: Final = {
    "F": (6, 10, 13, 16, 20, 25, 30, 36, 43),
    "G": (2, 4, 5, 6, 7, 9, 10, 12, 14),
    "H": (0,) * 9,
}
"""Lower deviations EI [µm]."""
SHAFTS: Final = {
    "K": (0, 1, 1, 1, 2, 2, 2, 3, 3),
    "M": (2, 4, 6, 7, 8, 9, 11, 13, 15),
    "N": (4, 8, 10, 12, 15, 17, 20, 23, 27),
    "P": (6, 12, 15, 18, 22, 26, 32, 37, 43),
}
"""Lower deviations ei of the shafts of the same letter [µm]."""
FINEST_RULE: Final = {"K": 8, "M": 8, "N": 8, "P": 7}
"""Coarsest grade for which Δ is added."""
STANDING: Final = "limits from memory of ISO 286-1"


def limits(diameter: float, code: str) -> tuple[float, float] | None:
    """Return the lower and upper deviation of a hole [mm]; None where the tables here do not hold it.

    Args:
        diameter: nominal [mm].
        code: e.g. ``H7``, ``N7``, ``JS6``.
    """
    found = re.fullmatch(r"(F|G|H|JS|K|M|N|P)(\d{1,2})", code)
    if found is None or not 0 < diameter <= SIZES[-1]:
        return None
    letter, grade = found[1], int(found[2])
    if grade not in GRADES or grade == 4:
        return None
    row = bisect_left(SIZES, diameter)
    wide = GRADES[grade][row]
    if letter == "JS":
        return -wide / 2000, wide / 2000
    if letter in CLEARANCE:
        low = CLEARANCE[letter][row]
        return low / 1000, (low + wide) / 1000
    if letter != "P" and grade > FINEST_RULE[letter]:
        return None  # the standard has rows of its own there
    rule = row > 0 and grade <= FINEST_RULE[letter]
    high = -SHAFTS[letter][row] + (wide - GRADES[grade - 1][row] if rule else 0)
    return (high - wide) / 1000, high / 1000


def limits_text(diameter: float, code: str) -> str:
    """Return a hole's limits as text, ``+0.000 / +0.021``; empty where they are not known."""
    found = limits(diameter, code)
    return "" if found is None else f"{found[0]:+.3f} / {found[1]:+.3f}"
