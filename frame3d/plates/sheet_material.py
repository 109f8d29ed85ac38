"""What a flat part is cut from: the material that the file names for it, or the frame's."""

from __future__ import annotations

from frame3d.parameters.models.frame import FrameSpec, MaterialSpec
from frame3d.parameters.sizes import standards


def sheet_material(spec: FrameSpec, own: str | MaterialSpec | None = None) -> tuple[str, float]:
    """Return the name and the density [g/cm³] of a flat part's material.

    Args:
        spec: the bike's file.
        own: what the file names for the part; None for the frame's.
    """
    given = spec.material if own is None else own
    if isinstance(given, MaterialSpec):
        return given.name, given.density_g_cm3
    return given, standards.material(given).density
