"""Units of the results of the ride, by the ends of their names."""

from __future__ import annotations

from typing import Final

UNITS: Final = {
    "": "mm",
    "_degrees": "degrees",
    "_angle": "degrees",
    "_share": "1",
    "_multiple": "1",
    "_factor": "1",
    "_count": "1",
    "_percent": "%",
    "_kg": "kg",
    "_n": "N",
    "_nm": "N·m",
    "_n_mm": "N/mm",
    "_lb_in": "lb/in",
    "_n_s_m": "N·s/m",
    "_m_s": "m/s",
    "_s": "s",
    "_hz": "Hz",
    "_j": "J",
    "_g": "standard gravity",
    "_bar": "bar above the air outside",
    "_psi": "psi above the air outside",
    "_m": "m",
    "_kg_m2": "kg·m²",
    "_nm_per_degree": "N·m/degree",
    "_per_s": "1/s",
    "_m_s2": "m/s²",
}
"""End of a field's name -> its unit."""


def unit_of(path: str) -> str:
    """Return the unit of a result by its dotted name: by the longest end of the last part that has one.

    ``rear.sag.stroke_share`` is a plain number; ``angles.knee_angle.low`` is in degrees.
    """
    for name in reversed(path.split(".")):
        ends = [end for end in UNITS if end and (name.endswith(end) or name == end[1:])]
        if ends:
            return UNITS[max(ends, key=len)]
    return UNITS[""]
