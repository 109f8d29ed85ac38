"""How a bike rides, as plain data.

Each result is written field by field under its own names: lengths in mm, other units at the end of a
name (``load_n``, ``rate_n_mm``, ``lift_share``).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import fields, is_dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from frame3d.ride.units import UNITS

if TYPE_CHECKING:
    from frame3d.ride.ride import Ride
    from frame3d.ride.steering.linear import LinearBicycle
    from frame3d.ride.steering.of_bike import SteeringFigures


def ride_document(ride: Ride) -> dict[str, Any]:
    """Return how a bike rides, with the units by the ends of names."""
    out: dict[str, Any] = plain(ride)
    return out | {"units": UNITS}


def steering_document(
    figures: SteeringFigures, bicycle: LinearBicycle | None, left_out: Sequence[str]
) -> dict[str, Any]:
    """Return how a bike steers, with the linearised bicycle; its matrices are in SI units.

    An eigenvalue is a pair: real and imaginary part.

    Args:
        figures: of the shop.
        bicycle: the linearised bicycle; None where the file does not give enough.
        left_out: what it does not give for that.
    """
    return {
        "figures": plain(figures),
        "linear_bicycle": plain(bicycle),
        "left_out": list(left_out),
        "units": UNITS,
    }


def plain(value: Any) -> Any:
    """Return a result as plain data: dataclasses by their fields, arrays as lists, infinities as None.

    Fields whose names begin with an underscore are left out.
    """
    if is_dataclass(value) and not isinstance(value, type):
        return {
            field.name: plain(getattr(value, field.name))
            for field in fields(value)
            if not field.name.startswith("_")
        }
    if isinstance(value, Mapping):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, np.ndarray):
        return plain(value.tolist())
    if isinstance(value, complex):
        return [plain(value.real), plain(value.imag)]
    if isinstance(value, list | tuple):
        return [plain(item) for item in value]
    if isinstance(value, np.generic):
        return plain(value.item())
    if isinstance(value, float) and not math.isfinite(value):
        return None
    return value
