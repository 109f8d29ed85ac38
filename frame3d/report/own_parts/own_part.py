"""One explained part: its sentences, and what its picture shows of it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from frame3d.report.drawing.sheet import XZ
from frame3d.report.outline import Loops
from frame3d.report.texts import Texts


@dataclass(frozen=True)
class Lit:
    """What a picture shows in colour, in the side view [mm]."""

    areas: tuple[tuple[Loops, ...], ...] = ()
    """Silhouettes, each the union of solids; the second and later ones are drawn lighter."""
    lines: tuple[Sequence[XZ], ...] = ()
    """For parts of which the file says no more than their ends."""
    dots: tuple[XZ, ...] = ()
    """Places of parts without a size."""


@dataclass(frozen=True)
class OwnPart:
    """A part of this bike, explained."""

    key: str
    """``front_triangle``, ``rear_triangle``, ``headset``, ``fork``, ``shock``."""
    sentences: tuple[str, ...]
    lit: Lit
    lighter: str | None = None
    """What the lighter silhouettes are; None where there are none."""
    inside: tuple[tuple[str, str], ...] = ()
    """(name, sentences) of spring and damper within it."""


def told(said: Iterable[str | None]) -> tuple[str, ...]:
    """Return what is said, without what cannot be."""
    return tuple(sentence for sentence in said if sentence)


def listed(names: Sequence[str], texts: Texts) -> str:
    """Return names in one phrase: a, b and c."""
    if len(names) < 2:
        return "".join(names)
    return texts("own_parts.list", first=", ".join(names[:-1]), last=names[-1])


def in_one(phrases: Sequence[str], texts: Texts) -> str | None:
    """Return phrases as one sentence, divided by semicolons; None where there are none."""
    if not phrases:
        return None
    said = "; ".join(phrases)
    return texts("own_parts.sentence", said=said[:1].upper() + said[1:])


def plain(value: float, unit: str, texts: Texts, decimals: int = 1) -> str:
    """Return a quantity with no more decimals than it needs, `decimals` at most."""
    short = abs(value - round(value)) < 0.5 * 10.0**-decimals
    return texts.quantity(value, unit, 0 if short else decimals)
