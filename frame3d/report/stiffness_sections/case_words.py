"""A load case in words: its stiffness, how it is held and loaded, and which tubes do the work."""

from __future__ import annotations

from typing import Final

from frame3d.report.texts import Texts
from frame3d.stiffness.of_bike import CaseResult

NAMED: Final = 3
"""Tubes named in each case."""


def headline(one: CaseResult, texts: Texts) -> str:
    """Return the case's title and stiffness."""
    return f"{one.case.title}: {texts.quantity(one.stiffness, one.case.unit, 1)}"


def how(one: CaseResult, texts: Texts) -> str:
    """Return how the frame is held and loaded, and what is read."""
    case = one.case
    said = texts("stiffness.held", held=case.held, loaded=case.loaded, read=case.read)
    return said[:1].upper() + said[1:]


def share(key: str, value: float, texts: Texts) -> str:
    """Return a tube's name with its share of the strain energy."""
    return f"{texts.part(key)} {texts.quantity(100 * value, '%', 0)}"


def largest(one: CaseResult) -> list[tuple[str, float]]:
    """Return the largest shares of the strain energy, by key under ``tubes`` or ``dropouts``."""
    return sorted(one.energy.items(), key=lambda item: -item[1])[:NAMED]


def work(one: CaseResult, times: float, texts: Texts) -> str:
    """Return the tubes that do most of the work, and how many times as large the shape is drawn."""
    named = (share(key, value, texts) for key, value in largest(one))
    shares = ", ".join(f"{said[:1].lower()}{said[1:]}" for said in named)
    return texts(
        "stiffness.shares",
        shares=shares,
        times=texts.number(times, 0 if times >= 10 else 1),
    )
