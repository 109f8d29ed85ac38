"""Tubes that several tests look at."""

from __future__ import annotations

import pytest

from frame3d.bike.place_tubes import PlacedTubes
from tests.bikes import hardtail_data
from tests.tubes.placing import from_data


@pytest.fixture(scope="session")
def hardtail() -> PlacedTubes:
    """The trail hardtail's."""
    return from_data(hardtail_data())
