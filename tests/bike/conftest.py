"""A solved bike that several tests look at."""

from __future__ import annotations

import pytest

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.parameters.reading.reader import loads
from tests.bike.single import MINIMAL, SINGLE


@pytest.fixture(scope="session")
def bike() -> Bike:
    """The single pivot that drives its shock itself."""
    return solve(loads(MINIMAL + SINGLE))
