"""Metric threads as the file writes them, ``M10x1`` or ``M5``, and the drill for each."""

from __future__ import annotations

import re
from typing import Final

COARSE: Final[dict[float, float]] = {
    3: 0.5, 4: 0.7, 5: 0.8, 6: 1.0, 8: 1.25, 10: 1.5, 12: 1.75, 14: 2.0, 16: 2.0,
}  # fmt: skip
"""Nominal diameter -> coarse pitch [mm]; values from memory of ISO 261."""
_METRIC = re.compile(r"M\s*(\d+(?:\.\d+)?)\s*(?:[x×*]\s*(\d+(?:\.\d+)?))?", re.IGNORECASE)


def nominal_of(thread: str) -> float | None:
    """Return the nominal diameter of a metric thread [mm]; None for any other text."""
    found = _METRIC.search(thread)
    return None if found is None else float(found[1])


def drill_of(thread: str) -> float | None:
    """Return the drill of a metric thread, nominal less pitch [mm] (common practice, no source).

    None for any other text, and for one without a pitch whose coarse pitch is not known here.
    """
    found = _METRIC.search(thread)
    if found is None:
        return None
    nominal = float(found[1])
    pitch = float(found[2]) if found[2] else COARSE.get(nominal)
    return None if pitch is None or pitch >= nominal else round(nominal - pitch, 6)
