"""Rear shock sizes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, Literal

from frame3d.parameters.sizes.unknown import unknown


@dataclass(frozen=True, slots=True)
class Shock:
    """A rear shock: bolt centre to bolt centre at full extension, and stroke [mm]."""

    name: str
    length: float
    stroke: float
    mount: Literal["eyelet", "trunnion"]
    note: str


_TRUNNION: Final = 25.0
"""Distance by which a trunnion mount is nearer than an eyelet [mm]: common practice, no source."""
_METRIC: Final[dict[float, tuple[float, ...]]] = {
    170: (30, 35),
    190: (40, 42.5, 45),
    210: (50, 52.5, 55),
    230: (57.5, 60, 62.5, 65),
    250: (67.5, 70, 72.5, 75),
}
"""Strokes by eye-to-eye length [mm]: common practice, no source."""
_INCH: Final = (
    ("6.5x1.5", 6.5, 1.5), ("7.25x1.75", 7.25, 1.75), ("7.5x2.0", 7.5, 2.0), ("7.875x2.0", 7.875, 2.0),
    ("7.875x2.25", 7.875, 2.25), ("8.5x2.5", 8.5, 2.5), ("8.75x2.75", 8.75, 2.75),
    ("9.5x3.0", 9.5, 3.0), ("10.5x3.5", 10.5, 3.5),
)  # fmt: skip
"""Inch sizes: 9.5x3.0 trade pages, others common practice; millimetres derived (25.4 an inch)."""


def _shocks() -> Iterable[Shock]:
    for length, strokes in _METRIC.items():
        for s in strokes:
            note = "metric; common practice, no source"
            yield Shock(f"{length:g}x{s:g}", length, s, "eyelet", note)
            if length > 170:  # nobody makes a trunnion of 145 mm (common practice, no source)
                near = length - _TRUNNION
                yield Shock(f"{near:g}x{s:g}", near, s, "trunnion", note)
    # 7.25 x 1.75 in, rounded as it is sold in millimetres: common practice, no source.
    yield Shock("184x44.5", 184.0, 44.5, "eyelet", "7.25 x 1.75 in, rounded as sold")
    for name, length, s in _INCH:
        yield Shock(name, length * 25.4, s * 25.4, "eyelet", "inch; millimetres derived")


SHOCKS: Final[dict[str, Shock]] = {shock.name: shock for shock in _shocks()}
"""Rear shocks by name, eye-to-eye x stroke."""


def shock(name: str) -> Shock:
    """Return the shock of that name: mm ``210x55``, trunnion ``185x55``, inch ``7.875x2.25``.

    Raises:
        UnknownSize: not in `SHOCKS`.
    """
    if name in SHOCKS:
        return SHOCKS[name]
    raise unknown("shock size", name, SHOCKS, "eye-to-eye and stroke")
