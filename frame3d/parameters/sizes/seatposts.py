"""Seatpost diameters."""

from __future__ import annotations

from typing import Final

SEATPOSTS: Final[dict[float, str]] = {
    25.4: "1 in; derived",
    26.8: "steps of 0.2 mm exist; trade pages",
    27.0: "steps of 0.2 mm exist; trade pages",
    27.2: "in a 28.6 mm tube; trade pages",
    28.6: "in a 31.8 mm tube; common practice, no source",
    30.9: "in a 34.9 mm tube; trade pages",
    31.6: "in a 34.9 mm tube; trade pages",
    34.9: "common practice, no source",
}
"""Usual seatpost diameters [mm]; any other is accepted too."""
