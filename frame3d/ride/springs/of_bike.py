"""Springs of fork and shock: sag, set-up for riders of other mass."""

from __future__ import annotations

from dataclasses import dataclass

from frame3d.bike.bike import Bike


@dataclass(frozen=True, slots=True)
class Springs:
    """Springs of fork and shock: sag, set-up for riders of other mass."""

    assumptions: tuple[str, ...]
    left_out: tuple[str, ...]
    """What the file does not give, and the key that would give it."""


def springs_of(bike: Bike) -> Springs | None:
    """Return the topic's figures; None where the file gives nothing for them."""
    return None
