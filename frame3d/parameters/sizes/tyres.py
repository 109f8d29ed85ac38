"""Tyres and bead seats by ETRTO designation (ISO 5775)."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from frame3d.parameters.sizes.unknown import UnknownSize


@dataclass(frozen=True, slots=True)
class Tyre:
    """A tyre by its ETRTO designation, nominal sizes [mm]."""

    designation: str
    width: float
    bead_seat: float
    diameter: float
    """Outside, inflated, by the rule of `tyre`; real ones lie within about 1 % and knobs add 2 to
    10 mm (common practice, no source)."""

    @property
    def radius(self) -> float:
        """Half of the diameter, unloaded [mm]."""
        return self.diameter / 2


BEAD_SEATS: Final[dict[int, str]] = {
    203: "12½ in; from memory of ISO 5775",
    305: "16 in, decimal; from memory of ISO 5775",
    349: "16 in, fractional; from memory of ISO 5775",
    355: "18 in, decimal; from memory of ISO 5775",
    369: "17 in; from memory of ISO 5775",
    406: "20 in, decimal widths; trade pages",
    451: "20 in, fractional; from memory of ISO 5775",
    457: "22 in, decimal; from memory of ISO 5775",
    507: "24 in, decimal widths; trade pages",
    520: "24 in, narrow; from memory of ISO 5775",
    540: "24 in, wheelchair; from memory of ISO 5775",
    547: "24 in, fractional; from memory of ISO 5775",
    559: "26 in mountain; trade pages",
    571: "650C; trade pages",
    584: "27.5 in, 650B; trade pages",
    590: "650A, 26 x 1 3/8; trade pages",
    597: "26 x 1 1/4; designation 32-597 published as an example of ISO 5775",
    622: "29 in, 700C; trade pages",
    630: "27 in; from memory of ISO 5775",
    635: "28 x 1 1/2; from memory of ISO 5775",
    686: "32 in; common practice, no source",
    787: "36 in; common practice, no source",
}
"""Bead seat diameters [mm] with their everyday names."""

_INCH_BEADS: Final[dict[str, int]] = {
    "36": 787, "32": 686, "29": 622, "28": 622, "27.5": 584, "26": 559, "24": 507, "20": 406, "700": 622,
    "700c": 622, "650b": 584, "650": 584, "650c": 571,
}  # fmt: skip
_NARROW: Final = 28.0


def tyre(designation: str) -> Tyre:
    """Return the tyre of an ETRTO designation ``width-bead seat``, e.g. ``61-622``.

    Outside diameter = bead seat + 2 × section height; the height equals the width, and for tyres
    narrower than 28 mm the width plus 2.5 mm (ISO 5775-1 as summarised in published secondary
    sources). The rule jumps at 28 mm: 27-622 comes out larger than 28-622.

    Raises:
        UnknownSize: not a designation, an unknown bead seat, or a width no tyre has.
    """
    match = re.fullmatch(r"(\d{2,3})-(\d{3})", designation)
    if match is None:
        raise UnknownSize(
            f"{designation!r} is no ETRTO tyre designation",
            _everyday(designation)
            or "written width-bead seat in mm, e.g. 61-622; or plain millimetres: "
            "{width: 61, diameter: 744}",
        )
    width, bead = int(match[1]), int(match[2])
    if bead not in BEAD_SEATS:
        near = sorted(sorted(BEAD_SEATS, key=lambda b: abs(b - bead))[:3])
        raise UnknownSize(
            f"{designation!r}: no tyre has a bead seat of {bead} mm",
            f"nearest: {', '.join(f'{width}-{b}' for b in near)}; or plain millimetres: "
            "{width: 61, diameter: 744}",
        )
    if not 18 <= width <= 130:
        raise UnknownSize(
            f"{designation!r}: no tyre is {width} mm wide", "widths run from 18 to 130 mm"
        )
    height = width + (2.5 if width < _NARROW else 0.0)
    return Tyre(designation, float(width), float(bead), bead + 2 * height)


def _everyday(text: str) -> str:
    """Return a hint with the designation that an everyday size (``29x2.4``, ``700x40c``) stands for."""
    match = re.fullmatch(r"\s*(\d+(?:\.\d)?[bc]?)\s*[x×]\s*(\d+(?:\.\d+)?)\s*c?\s*", text.lower())
    if match is None or match[1] not in _INCH_BEADS:
        return ""
    size = float(match[2])
    width = round(size * 25.4) if size < 6 else round(size)
    return f"{text.strip()} is commonly {width}-{_INCH_BEADS[match[1]]}; read it from the sidewall"
