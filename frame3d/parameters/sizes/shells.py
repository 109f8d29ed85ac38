"""Bottom bracket shells."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from frame3d.parameters.sizes.unknown import unknown


@dataclass(frozen=True, slots=True)
class ShellSize:
    """A bottom bracket shell [mm]."""

    name: str
    width: float
    od: float
    """Usual outside diameter; for threaded shells that of steel ones (common practice, no source)."""
    bore: float
    """Before tapping, where threaded; finished, where pressed."""
    thread: str
    """Empty where pressed."""
    note: str
    middle: float = 0.0
    """Distance of its middle to the left of the centre plane."""


_BSC = "1.370 in × 24 tpi, left-hand on the drive side"
_LOPSIDED: Final = 5.5
"""Middle of the 79 mm shell: its right face stands 34 mm from the centre plane, as that of a 68 mm
shell, its left face 45 mm (derived from the widths) [mm]."""
_BSC_BORE: Final = 33.65
"""1.370 in × 24 tpi: major 34.798 mm, pitch 1.05833 mm, D − 1.0825 P = 33.652 (derived)."""


def _shells() -> Iterable[ShellSize]:
    for width, note in (
        (68.0, "trade pages"),
        (73.0, "trade pages"),
        (83.0, "trade pages"),
        (100.0, "width trade pages, thread common practice, no source"),
    ):
        yield ShellSize(
            name=f"threaded-{width:g}", width=width, od=40.0, bore=_BSC_BORE, thread=_BSC, note=note
        )
    # 36 mm × 24 tpi, right-hand on both sides: from memory of the trade's tables.
    yield ShellSize(
        name="italian-70",
        width=70.0,
        od=40.0,
        bore=34.85,
        thread="36 mm × 24 tpi, right-hand",
        note="from memory, no source",
    )
    # M47 × 1: cut in what was a 46 mm bore (trade pages); widths common practice, no source.
    for width in (68.0, 73.0, 77.0, 83.0, 85.5, 86.5, 100.0):
        yield ShellSize(
            name=f"t47-{width:g}",
            width=width,
            od=50.8,
            bore=46.0,
            thread="M47 × 1",
            note="widths common practice, no source",
        )
    for width, note in (
        (86.5, "trade pages"),
        (89.5, "common practice, no source"),
        (92.0, "trade pages"),
        (107.0, "wide, for gravity; from memory, no source"),
    ):
        yield ShellSize(
            name=f"pressfit-41-{width:g}", width=width, od=47.0, bore=41.0, thread="", note=note
        )
    for width in (68.0, 73.0):
        yield ShellSize(
            name=f"pressfit-42-{width:g}",
            width=width,
            od=48.0,
            bore=41.96,
            thread="",
            note="trade pages",
        )
    for width, note in (
        (68.0, "width common practice, no source"),
        (73.0, "width common practice, no source"),
        (86.5, "trade pages"),
    ):
        yield ShellSize(
            name=f"pressfit-46-{width:g}", width=width, od=50.8, bore=46.0, thread="", note=note
        )
    for bore, od in ((41.96, 48.0), (46.0, 50.8)):
        yield ShellSize(
            name=f"pressfit-{bore:.0f}-79", width=79.0, od=od, bore=bore, thread="",
            note="68 mm and 11 mm more on the left alone; from memory, no source", middle=_LOPSIDED,
        )  # fmt: skip
    for width in (68.0, 73.0):
        yield ShellSize(
            name=f"eccentric-{width:g}", width=width, od=60.0, bore=54.0, thread="",
            note="for an insert that turns to tighten the chain, drawn with the crank's axle in the "
            "shell's middle; from memory, no source",
        )  # fmt: skip


SHELLS: Final[dict[str, ShellSize]] = {shell.name: shell for shell in _shells()}
"""Bottom bracket shells by name: kind, bore where pressed, width. An eccentric shell's bore takes the
insert."""


def shell(name: str) -> ShellSize:
    """Return the bottom bracket shell of that name, e.g. ``threaded-73``.

    Raises:
        UnknownSize: not in `SHELLS`.
    """
    if name in SHELLS:
        return SHELLS[name]
    raise unknown("bottom bracket shell", name, SHELLS, "{width: 73, od: 40, bore: 33.65}")
