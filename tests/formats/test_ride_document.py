"""How a bike rides, as plain data."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from frame3d.formats.ride_document import plain, ride_document
from frame3d.ride.ride import Ride


@dataclass(frozen=True)
class _Inner:
    sag_share: float
    _kept: float = 3.0


@dataclass(frozen=True)
class _Outer:
    inner: _Inner
    curve: object


def test_dataclasses_arrays_and_infinities() -> None:
    made = plain(_Outer(_Inner(0.25), {1: np.array([[1.0, np.inf]]), "z": (2 + 3j, np.int64(4))}))
    assert made == {
        "inner": {"sag_share": 0.25},
        "curve": {"1": [[1.0, None]], "z": [[2.0, 3.0], 4]},
    }


def test_units_stand_with_the_ride() -> None:
    made = ride_document(Ride(fit=None, slopes=None, springs=None, damping=None, steering=None))
    assert made["fit"] is None
    assert made["units"]["_n_mm"] == "N/mm"
