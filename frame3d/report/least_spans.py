"""The least width of each figure's axis: a change that nobody feels does not look like a landslide."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True)
class LeastSpan:
    """The narrowest that the axis of a quantity is drawn, and why."""

    span: float
    """In the unit of the quantity."""
    why: str
    """Key of the reason among the page's texts, below `span.why`."""


_ANGLE: Final = LeastSpan(5.0, "angle")
_SHARE: Final = LeastSpan(100.0, "share")

LEAST_SPANS: Final[Mapping[str, LeastSpan]] = {
    "fork_angles": _ANGLE,
    "fork_trail": LeastSpan(40.0, "trail"),
    "fork_height": LeastSpan(50.0, "height"),
    "leverage": LeastSpan(1.0, "leverage"),
    "force": LeastSpan(1000.0, "force"),
    "rate": LeastSpan(20.0, "rate"),
    "anti_squat": _SHARE,
    "anti_rise": _SHARE,
    "chain_growth": LeastSpan(20.0, "chain"),
    "kickback": LeastSpan(10.0, "crank"),
    "kickback_from_sag": LeastSpan(10.0, "crank"),
    "axle": LeastSpan(50.0, "path"),
    "geometry": _ANGLE,
    "bb": LeastSpan(50.0, "height"),
}
"""By key of the plot. The reasons are common practice, no source; `span.why` in texts/ tells each."""
