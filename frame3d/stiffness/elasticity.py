"""Elastic constants of a tube's material."""

from __future__ import annotations

from dataclasses import dataclass

from frame3d.errors import TubeError
from frame3d.parameters.models.frame import FrameSpec, MaterialSpec
from frame3d.parameters.sizes.materials import MATERIALS
from frame3d.tubes.tube import Tube


@dataclass(frozen=True, slots=True)
class Elastic:
    """An isotropic material's constants."""

    young: float
    """Young's modulus E [N/mm²]."""
    poisson: float
    """Poisson's ratio."""

    @property
    def shear(self) -> float:
        """Shear modulus E / (2 (1 + ν)) [N/mm²]."""
        return self.young / (2 * (1 + self.poisson))


def elastic_of(spec: FrameSpec, tube: Tube | None) -> Elastic:
    """Return the constants of a tube's material, or of the frame's own (None).

    Raises:
        TubeError: the file's own material has no Young's modulus.
    """
    own = spec.material
    name = tube.material if tube is not None else own.name if isinstance(own, MaterialSpec) else own
    if name in MATERIALS:
        known = MATERIALS[name]
        return Elastic(known.young_gpa * 1000, known.poisson)
    assert isinstance(own, MaterialSpec)
    if own.young_gpa is None:
        raise TubeError(
            (
                spec.fault(
                    "missing-key",
                    "material.young_gpa",
                    f"{own.name} has no Young's modulus, which stiffness needs",
                    "add young_gpa, from the maker's data sheet, e.g. young_gpa: 70",
                ),
            )
        )
    return Elastic(own.young_gpa * 1000, own.poisson)
