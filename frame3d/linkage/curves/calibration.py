"""A measured pressure and sag correct the model of an air spring by one factor.

What a file says of an air spring is never quite right: piston and chambers are known to a few
percent, and so are the load on the wheel and the ratio between wheel and shock. Where both chambers
are filled to one pressure and have one area, the force at rest and at one sag is area × (p + p0) ×
a number that the volumes give, p + p0 being the absolute pressure. Each of these errors multiplies
this force or the load, so at that sag one factor

    factor = load of the measured rider / force of the model at the measured pressure and sag

holds for every rider. It is taken as the factor of the spring's force, so that loads, and with them
masses and frequencies, stay as they are. Derived; chambers of two areas or two pressures, and
another sag than the measured one, leave a part of the error.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from frame3d.linkage.curves.springs import Air, air_of
from frame3d.parameters.models.springs import AirSpec

USUAL = (0.75, 1.33)
"""Factors outside are warned of: more likely a wrong figure than a model that is so far off."""


@dataclass(frozen=True, slots=True)
class Calibration:
    """An air spring's model against one measured pair of pressure and sag."""

    factor: float
    """Force of the spring over that of the model."""
    measured_bar: float
    """Pressure as measured [bar]."""
    modelled_bar: float | None
    """Pressure that the model alone asks for the same rider and sag [bar]; None where none does."""
    rider_kg: float
    """The measured rider [kg]."""
    stroke: float
    """The measured sag along the spring [mm]."""

    @property
    def is_usual(self) -> bool:
        """Whether the model is as near as chambers and loads are usually known."""
        return USUAL[0] <= self.factor <= USUAL[1]


def calibration_of(spec: AirSpec, force: float, stroke: float) -> Calibration | None:
    """Return the factor that makes the spring carry a load at the measured pressure and sag.

    Args:
        spec: the air spring with its measured pair; None is returned where it has none.
        force: load along the spring under the measured rider at the measured sag [N].
        stroke: the measured sag [mm].

    Raises:
        ValueError: the load is not positive, or the model gives no force there.
    """
    measured = spec.measured
    if measured is None:
        return None
    if force <= 0:
        raise ValueError("the measured rider does not load the spring")
    still = air_of(_open(spec, measured.pressure_bar)).at_rest()
    modelled = float(still.force(np.array([stroke]))[0])
    if modelled <= 0:
        raise ValueError(
            f"at {measured.pressure_bar:g} bar and {stroke:.1f} mm the chambers as given have no force"
        )
    try:
        alone: Air | None = air_of(_open(spec, None), force, stroke)
    except ValueError:
        alone = None
    return Calibration(
        factor=force / modelled,
        measured_bar=measured.pressure_bar,
        modelled_bar=None if alone is None else alone.pressure_bar,
        rider_kg=measured.rider_mass_kg,
        stroke=stroke,
    )


def _open(spec: AirSpec, pressure_bar: float | None) -> AirSpec:
    """Return the air spring with another pressure, or none."""
    return spec.model_copy(update={"pressure_bar": pressure_bar, "pressure_psi": None})
