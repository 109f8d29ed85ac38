"""Values as the gauges and rules of a workshop show them."""

from __future__ import annotations

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
