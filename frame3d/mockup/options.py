"""Options of a scale model, and reading them from text."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Final

from frame3d.errors import Fault, MockupError, SourceLocation

Bed = tuple[float, float, float]

KITS: Final = ("wheels", "fork", "cranks", "cockpit", "saddle")
"""Kits that go with the frame, in the order of building."""
DEFAULT_SCALE: Final = "1:6"
EDGE: Final = 3.0
"""Free margin along each edge of the bed [mm]: usable volumes are 5 to 10 mm smaller (trade pages)."""

WALL: Final = 1.2
"""Thinnest wall [mm]: one shop's minimum, and the recommended one with a 0.4 nozzle (trade pages)."""
ROD: Final = 2.0
"""Thinnest rod or spoke [mm]; common practice, no source (trade pages: fins of 1.0, pegs of 3)."""
PEG: Final = 3.0
"""Thinnest peg [mm] (trade pages)."""
THIN_WALL: Final = 0.8
"""Thinnest wall where a thicker one would meet another part: two strokes of a nozzle [mm]; common
practice, no source."""
THIN_ROD: Final = 1.0
"""Thinnest rod where a thicker one would meet another part: as fins (trade pages) [mm]."""
FIT: Final = 0.2
"""Clearance of pegs in holes, per side [mm]: sliding fits 0.2 to 0.3 (trade pages, which disagree on
per side or on diameter)."""
TURN: Final = 0.3
"""Clearance of rotating parts, per side [mm]: loose fits 0.3 to 0.5 (trade pages)."""
NOZZLE: Final = 0.4
"""The usual nozzle [mm] (trade pages)."""
STROKE: Final = 0.8
"""Width of engraved strokes [mm]; trade pages ask for 0.6 at least."""

DENSITIES: Final = {
    "PLA": 1.24,
    "PETG": 1.27,
    "ABS": 1.04,
    "ASA": 1.07,
    "PA12": 1.01,
    "resin": 1.15,
}
"""Densities of print materials [g/cm³]; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Options:
    """Options of a scale model. Lengths are those of the print [mm]; clearances are per side."""

    scale: float
    kits: tuple[str, ...]
    bed: Bed = (220.0, 220.0, 250.0)
    """A home printer's usual volume (trade pages)."""
    wall: float = WALL
    rod: float = ROD
    fit: float = FIT
    turn: float = TURN
    material: str = "PLA"
    name: str | None = None
    """Text of the name plate; the bike's name if None."""
    stand: bool = True
    mixed: bool = False
    """Whether parts of several colours may share a plate."""
    notes: tuple[str, ...] = ()
    """Notes about what is left out, and why."""

    @property
    def ratio(self) -> str:
        """The scale as text: ``1:6``, ``1:6.46``."""
        return f"1:{1 / self.scale:.4g}"


def scale_of(text: str) -> float:
    """Read a scale from ``1:6``, ``1/6`` or ``0.1667``.

    Raises:
        MockupError: the text is not a scale, or not between 1:100 and 1:1.
    """
    match = re.fullmatch(r"\s*([\d.]+)\s*[:/]\s*([\d.]+)\s*", text)
    try:
        value = float(match[1]) / float(match[2]) if match else float(text)
    except (ValueError, ZeroDivisionError):
        raise MockupError(
            _fault("--scale", text, "is no scale", "write 1:6, or 0.1667", "not-allowed")
        ) from None
    if not math.isfinite(value) or not 0.01 <= value <= 1:
        hint = f"did you mean 1:{text.strip()}?" if 1 < value <= 100 else "from 1:100 to 1:1"
        raise MockupError(_fault("--scale", text, "is out of range for a model", hint))
    return value


def bed_of(text: str) -> Bed:
    """Read a bed from ``220x220x250``: width, depth, height [mm].

    Raises:
        MockupError: the text is not a bed.
    """
    match = re.fullmatch(r"\s*([\d.]+)\s*[x×]\s*([\d.]+)\s*[x×]\s*([\d.]+)\s*", text)
    try:
        sizes = tuple(float(size) for size in match.groups()) if match else ()
    except ValueError:
        sizes = ()
    if len(sizes) != 3:
        raise MockupError(
            _fault("--bed", text, "is no bed", "write width x depth x height, e.g. 220x220x250",
                   "not-allowed")
        )  # fmt: skip
    if not all(20 <= size <= 2000 for size in sizes):
        raise MockupError(_fault("--bed", text, "is out of range", "from 20 to 2000 mm each way"))
    return (sizes[0], sizes[1], sizes[2])


def kits_of(text: str | None) -> tuple[str, ...] | None:
    """Read kits from ``wheels,fork``; ``frame`` is the frame alone; None for None.

    Raises:
        MockupError: naming all unknown kits.
    """
    if text is None:
        return None
    asked = [name.strip() for name in text.split(",") if name.strip()]
    faults = []
    if not asked:
        faults.append(
            _fault("--with", text, "names no part", f"parts: {', '.join(KITS)}; frame for the frame "
                   "alone", "not-allowed")
        )  # fmt: skip
    for name in asked:
        if name not in (*KITS, "frame"):
            near = get_close_matches(name, (*KITS, "frame"), n=1)
            hint = f"did you mean {near[0]}? " if near else ""
            faults.append(
                _fault("--with", name, "is no part of the model",
                       f"{hint}parts: {', '.join(KITS)}; frame for the frame alone",
                       "not-allowed")
            )  # fmt: skip
    for name, needs, why in (
        ("wheels", "fork", "the front wheel turns in the fork"),
        ("cockpit", "fork", "the stem sits on the fork's steerer"),
    ):
        if name in asked and needs not in asked and not faults:
            whole = ",".join(kit for kit in KITS if kit in (*asked, needs))
            faults.append(
                _fault("--with", text, f"has {name} without {needs}: {why}", f"write {whole}",
                       "inconsistent")
            )  # fmt: skip
    if faults:
        raise MockupError(faults)
    return tuple(kit for kit in KITS if kit in asked)


def _fault(option: str, text: str, message: str, hint: str, code: str = "out-of-range") -> Fault:
    return Fault(code, "", f"{text.strip()!r} {message}", hint, SourceLocation(f"{option} {text}"))
