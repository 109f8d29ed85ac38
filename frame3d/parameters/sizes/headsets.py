"""Headset bores by SHIS code (Standardized Headset Identification System)."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final, Literal

from frame3d.parameters.sizes.unknown import UnknownSize


@dataclass(frozen=True, slots=True)
class Cup:
    """One end of a headset by its SHIS code."""

    code: str
    kind: Literal["EC", "ZS", "IS"]
    """External cup, zero stack, integrated."""
    bore: float
    """Bore of the head tube: the middle of the range to which builders ream it [mm]."""
    finished: tuple[float, float]
    """Range of the finished bore [mm]."""
    depth: float
    """Depth of the bore in the head tube [mm]: the usual insertion and some room."""
    fits: float | None
    """Steerer (upper) or crown seat (lower), the code's second number [mm]; None where left out."""
    contact: tuple[float, float] | None
    """Integrated bearings: angle of the seat in the head tube and of the bearing's inner face, which
    the crown race or the top ring meets, both against the axis [degrees]; None for pressed cups."""


PRESSED_BORES: Final[dict[str, tuple[float, float]]] = {
    "30": (29.95, 30.05),  # 1 in: 30.0, trade pages; ± 0.05 common practice, no source
    "34": (33.90, 33.95),  # common practice; from memory of the SHIS tables
    "37": (36.90, 36.95),  # 1 1/4 in: from memory of the SHIS tables; range by analogy with 34
    "41": (41.35, 41.40),  # semi-integrated, 1 1/8 in: from memory of the SHIS tables
    "44": (43.95, 44.00),  # common practice; from memory of the SHIS tables
    "49": (49.57, 49.61),  # common practice; from memory of the SHIS tables
    "55": (54.90, 54.95),  # semi-integrated, 1.5 in: from memory of the SHIS tables
    "56": (55.95, 56.00),  # common practice; from memory of the SHIS tables
    "62": (61.95, 62.00),  # size trade pages; range by analogy, common practice, no source
}
"""Finished bores for pressed cups (EC and ZS) by the code's first number [mm]."""
_ONLY: Final[dict[str, str]] = {"37": "EC", "41": "ZS", "55": "ZS"}
"""Pressed bores that only one kind of cup uses; from memory of the SHIS tables."""
INTEGRATED_BORES: Final[dict[str, tuple[float, float]]] = {
    "38": (38.15, 38.20),  # 1 in: from memory of the SHIS tables
    "41": (41.10, 41.15),  # common practice; from memory of the SHIS tables
    "42": (41.90, 42.00),  # about 41.95, common practice
    "47": (47.05, 47.10),  # 1 1/4 in: from memory of the SHIS tables; range by analogy with 52
    "49": (49.10, 49.15),  # 1 1/4 in: from memory of the SHIS tables; range by analogy with 41
    "52": (52.05, 52.10),  # common practice; from memory of the SHIS tables
}
"""Finished bores for integrated bearings (IS) by the code's first number [mm]."""
CONTACTS: Final[dict[str, tuple[float, float]]] = {
    "38": (45.0, 36.0),  # from memory of bearing lists
    "41": (45.0, 36.0),  # trade pages
    "42": (45.0, 45.0),  # trade pages
    "47": (45.0, 45.0),  # from memory of bearing lists
    "49": (45.0, 45.0),  # from memory of bearing lists
    "52": (45.0, 45.0),  # from memory of bearing lists; some are 45 × 36
}
"""Integrated bearings by the code's first number: the seat's angle in the head tube, and the angle of
the bearing's inner face [degrees]. The bearing in hand decides."""
STEERERS: Final = (25.4, 28.6, 31.8, 38.1)
"""Steerer diameters of upper codes [mm]: 28.6 and 38.1 trade pages, others from memory."""
CROWN_SEATS: Final[dict[float, float]] = {
    26.0: 26.4, 26.4: 26.4, 27.0: 27.0, 30.0: 30.0, 33.0: 33.0, 40.0: 39.8,
}  # fmt: skip
"""Crown seats: number in a lower code -> diameter of the seat itself [mm]. The numbers 30 and 40 are
published (SHIS), 26, 27 and 33 from memory of SHIS; 30.0 trade pages, 39.8 common practice without a
source, 26.4 (1 in, ISO), 27.0 (1 in, JIS) and 33.0 from memory of the trade's tables."""
_DEPTHS: Final[dict[str, float]] = {"EC": 15.0, "ZS": 20.0, "IS": 12.0}
"""Bore depth [mm]. Insertion of an external cup 10.00 mm in the SHIS guide's example drawing of
2010 (published); the room beyond, ZS and IS: common practice, no source."""


def cup(code: str) -> Cup:
    """Return one end of a headset by its SHIS code: kind, bore, and steerer or crown seat.

    ``ZS44/28.6``, ``EC34/30``, ``IS41/28.6``; the part after the slash may be left out. SHIS: the
    Standardized Headset Identification System, an open code (published).

    Raises:
        UnknownSize: not a code, or a bore or fit that the tables do not hold.
    """
    plain = "or plain millimetres: {bore: 44, depth: 20}"
    match = re.fullmatch(r"(EC|ZS|IS)(\d{2})(?:/(\d{2}(?:\.\d)?))?", code)
    if match is None:
        raise UnknownSize(
            f"{code!r} is no SHIS headset code",
            f"EC, ZS or IS, the bore, a slash, the steerer or crown seat, e.g. ZS44/28.6; {plain}",
        )
    kind, number, fit = match[1], match[2], match[3]
    bores = INTEGRATED_BORES if kind == "IS" else PRESSED_BORES
    if number not in bores or (kind != "IS" and _ONLY.get(number, kind) != kind):
        known = ", ".join(f"{kind}{n}" for n in bores if kind == "IS" or _ONLY.get(n, kind) == kind)
        raise UnknownSize(f"{code!r}: no known bore {kind}{number}", f"known: {known}; {plain}")
    fits = None if fit is None else float(fit)
    if fits is not None and fits not in STEERERS and fits not in CROWN_SEATS:
        raise UnknownSize(
            f"{code!r}: no known steerer or crown seat {fit}",
            f"steerers (upper): {', '.join(f'{s:g}' for s in STEERERS)}; "
            f"crown seats (lower): {', '.join(f'{s:g}' for s in CROWN_SEATS)}",
        )
    low, high = bores[number]
    which: Literal["EC", "ZS", "IS"] = "EC" if kind == "EC" else "ZS" if kind == "ZS" else "IS"
    contact = CONTACTS[number] if kind == "IS" else None
    return Cup(
        code=code,
        kind=which,
        bore=round((low + high) / 2, 4),
        finished=(low, high),
        depth=_DEPTHS[kind],
        fits=fits,
        contact=contact,
    )
