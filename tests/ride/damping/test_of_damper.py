"""Dampers of the file: laws each way, and filmed returns on coil and air."""

from __future__ import annotations

import pytest

from frame3d.errors import FrameError
from frame3d.linkage.curves.springs import Air, Chamber, Coil
from frame3d.parameters.models.damper import DamperSpec, FilmedReturnSpec
from frame3d.ride.damping.damper import DampingLaw
from frame3d.ride.damping.free_return import return_time
from frame3d.ride.damping.of_damper import given_damper
from tests.ride.damping.bikes import SHOCK, bike

COIL = Coil(80.0, 2.0)
AIR = Air((Chamber(1385.0, 130e3, 1.1, 1.3, -1), Chamber(1385.0, 20e3, 1.1, 1.3, 1))).resting_at(15)
FILM = FilmedReturnSpec(start=45, end=12, seconds=0.08)


def test_plain() -> None:
    spec = DamperSpec(rebound_n_s_m=5000, compression_n_s_m=1500)
    found = given_damper(bike().spec, SHOCK, spec, COIL)
    assert (found.rebound, found.compression) == (DampingLaw(5000), DampingLaw(1500))
    assert not found.filmed


def test_fast_one_way_only() -> None:
    """The speed of the knee belongs to the slope that has a fast one."""
    spec = DamperSpec(
        rebound_n_s_m=5000, compression_n_s_m=1500, compression_fast_n_s_m=600, fast_from=0.2
    )
    found = given_damper(bike().spec, SHOCK, spec, COIL)
    assert found.rebound == DampingLaw(5000)
    assert found.compression == DampingLaw(1500, 600, 0.2)


def test_one_way_only() -> None:
    found = given_damper(bike().spec, SHOCK, DamperSpec(compression_n_s_m=1500), COIL)
    assert found.rebound is None


@pytest.mark.parametrize("fast", [None, 2000.0])
def test_filmed_air(fast: float | None) -> None:
    """Held at 45 mm until cool, the air then expands quickly: polytropic about 45 mm, not about its sag."""
    spec = DamperSpec(
        filmed_return=FILM, rebound_fast_n_s_m=fast, fast_from=None if fast is None else 0.3
    )
    found = given_damper(bike().spec, SHOCK, spec, AIR)
    assert found.filmed
    assert found.rebound is not None
    held = AIR.resting_at(45.0)
    assert return_time(held.force, found.rebound, 45.0, 12.0) == pytest.approx(0.08, rel=1e-9)
    about_sag = return_time(AIR.force, found.rebound, 45.0, 12.0)
    assert about_sag < 0.97 * 0.08


def test_filmed_too_quickly() -> None:
    spec = DamperSpec(filmed_return=FILM, rebound_fast_n_s_m=80000, fast_from=0.01)
    with pytest.raises(FrameError, match="in less than the fast slope"):
        given_damper(bike().spec, SHOCK, spec, AIR)
