"""Bottom bracket shells."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from frame3d.spec.sizes.unknown import unknown


@dataclass(frozen=True, slots=True)
class ShellSize:
    """A bottom bracket shell [mm]."""

    name: str
    width: float
    od: float
    """Usual outside diameter: of steel shells where threaded (common practice, no source)."""
    bore: float
    """Before tapping, where threaded; finished, where pressed."""
    thread: str
    """Empty where pressed."""
    note: str


_BSC = "1.370 in × 24 tpi, left-hand on the drive side"
_BSC_BORE: Final = 33.65
"""1.370 in × 24 tpi: major 34.798 mm, pitch 1.05833 mm, D − 1.0825 P = 33.652 (derived)."""


def _shells() -> Iterable[ShellSize]:
    for width, note in (
        (68.0, "trade pages"),
        (73.0, "trade pages"),
        (83.0, "trade pages"),
        (100.0, "width trade pages, thread common practice, no source"),
    ):
        yield ShellSize(f"threaded-{width:g}", width, 40.0, _BSC_BORE, _BSC, note)
    # 36 mm × 24 tpi, right-hand on both sides: from memory of the trade's tables.
    yield ShellSize(
        "italian-70", 70.0, 40.0, 34.85, "36 mm × 24 tpi, right-hand", "from memory, no source"
    )
    # M47 × 1: cut in what was a 46 mm bore (trade pages); widths common practice, no source.
    for width in (68.0, 73.0, 77.0, 83.0, 85.5, 86.5, 100.0):
        yield ShellSize(
            f"t47-{width:g}", width, 50.8, 46.0, "M47 × 1", "widths common practice, no source"
        )
    for width, note in (
        (86.5, "trade pages"),
        (89.5, "common practice, no source"),
        (92.0, "trade pages"),
    ):
        yield ShellSize(f"pressfit-41-{width:g}", width, 47.0, 41.0, "", note)
    for width in (68.0, 73.0):
        yield ShellSize(f"pressfit-42-{width:g}", width, 48.0, 41.96, "", "trade pages")
    for width, note in (
        (68.0, "width common practice, no source"),
        (73.0, "width common practice, no source"),
        (86.5, "trade pages"),
    ):
        yield ShellSize(f"pressfit-46-{width:g}", width, 50.8, 46.0, "", note)


SHELLS: Final[dict[str, ShellSize]] = {shell.name: shell for shell in _shells()}
"""Bottom bracket shells by name: kind, bore where pressed, width."""


def shell(name: str) -> ShellSize:
    """The bottom bracket shell of that name, e.g. ``threaded-73``.

    Raises:
        UnknownSize: not in `SHELLS`.
    """
    if name in SHELLS:
        return SHELLS[name]
    raise unknown("bottom bracket shell", name, SHELLS, "{width: 73, od: 40, bore: 33.65}")
