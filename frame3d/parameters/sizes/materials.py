"""Tube materials: densities and elastic constants."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from frame3d.parameters.sizes.unknown import UnknownSize, unknown


@dataclass(frozen=True, slots=True)
class Material:
    """A tube material; its strength is not considered."""

    name: str
    density: float
    """Density [g/cm³]."""
    young_gpa: float
    """Young's modulus [GPa]; value from memory of data sheets, good to some 3 %."""
    poisson: float
    """Poisson's ratio; value from memory of data sheets."""
    note: str


MATERIALS: Final[dict[str, Material]] = {
    material.name: material
    for material in (
        Material("steel", 7.85, 205, 0.29, "density as 4130"),
        Material("4130", 7.85, 205, 0.29, "ASM data sheet, published"),
        Material("stainless", 7.9, 193, 0.29, "austenitic, 7.8 to 8.0; common practice, no source"),
        Material("titanium", 4.48, 100, 0.34, "density as Ti-3Al-2.5V"),
        Material("Ti-3Al-2.5V", 4.48, 100, 0.34, "ASM data sheet, published"),
        Material("Ti-6Al-4V", 4.43, 114, 0.34, "value from memory of the ASM data sheet"),
        Material("aluminium", 2.70, 68.9, 0.33, "density as 6061-T6"),
        Material("6061-T6", 2.70, 68.9, 0.33, "Aluminum Association typical value, published"),
        Material("7005-T6", 2.78, 72, 0.33, "value from memory of a data sheet"),
        Material("7005-T53", 2.78, 72, 0.33, "value from memory of a data sheet"),
    )
}
"""Materials by name. `steel`, `titanium` and `aluminium` leave the alloy open."""

FAMILIES: Final[dict[str, str]] = {
    "steel": "steel",
    "4130": "steel",
    "stainless": "stainless steel",
    "titanium": "titanium",
    "Ti-3Al-2.5V": "titanium",
    "Ti-6Al-4V": "titanium",
    "aluminium": "aluminium",
    "6061-T6": "aluminium",
    "7005-T6": "aluminium",
    "7005-T53": "aluminium",
}
"""Family of each of `MATERIALS`; what the file names itself has none that is known."""


def material(name: str) -> Material:
    """Return the material of that name, e.g. ``4130``.

    Raises:
        UnknownSize: not in `MATERIALS`.
    """
    if name in MATERIALS:
        return MATERIALS[name]
    error = unknown("material", name, MATERIALS, "")
    shown = error.hint.partition("; or plain")[0]
    raise UnknownSize(str(error), f"{shown}; or {{name: {name}, density_g_cm3: 7.85}}")
