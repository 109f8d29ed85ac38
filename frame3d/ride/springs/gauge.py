"""Values as the gauges and rules of a workshop show them."""

from __future__ import annotations

import math
from typing import Literal

from frame3d.parameters.units import BAR, LB_IN, PSI


def bar(pressure: float) -> float:
    """Return a pressure [N/mm²] in whole tenths of a bar."""
    return round(pressure / BAR, 1)


def psi(pressure: float) -> int:
    """Return a pressure [N/mm²] in whole pounds a square inch."""
    return round(pressure / PSI)


def newton_a_mm(rate: float) -> float:
    """Return a rate [N/mm] in whole tenths of it."""
    return round(rate, 1)


def pounds_an_inch(rate: float) -> int:
    """Return a rate [N/mm] in whole pounds an inch."""
    return round(rate / LB_IN)


def multiple(force: float, load: float) -> float:
    """Return a force as a multiple of a load, in whole tenths."""
    return round(force / load, 1)


def rule(stroke: float, end: Literal["rear", "fork"]) -> float:
    """Return a sag as a rule shows it [mm]: to half a millimetre on a shock's shaft, else whole."""
    marks = 2 if end == "rear" else 1
    return math.floor(marks * stroke + 0.5 + 1e-9) / marks
