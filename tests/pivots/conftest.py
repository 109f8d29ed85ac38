"""Bikes that several tests look at."""

from __future__ import annotations

import pytest

from frame3d.bike.bike import Bike
from tests.linked import CHAINSTAY, ROCKER, ROCKER_TUBES, SEATSTAY, SINGLE, layout


@pytest.fixture(scope="session")
def rocker() -> Bike:
    """A swingarm that drives a rocker through a strut; rocker and strut are plates."""
    return layout(ROCKER_TUBES, ROCKER)


@pytest.fixture(scope="session")
def single() -> Bike:
    """A swingarm that drives the shock itself."""
    return layout(CHAINSTAY + SEATSTAY, SINGLE)
