"""The sheet: numbers that do not cover each other. What is on it is in test_write.py."""

from __future__ import annotations

from itertools import combinations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.mockup.howto import DISC, spread

PLACES = st.lists(st.tuples(st.floats(0, 60), st.floats(0, 60)).map(np.array), max_size=14)


@settings(max_examples=60, deadline=None)
@given(PLACES)
def test_discs_stand_apart_and_near_what_they_number(places: list[np.ndarray]) -> None:
    found = spread(places)
    assert len(found) == len(places)
    for a, b in combinations(found, 2):
        assert np.linalg.norm(a - b) > 2 * DISC
    for spot, place in zip(found, places, strict=True):
        assert np.linalg.norm(spot - place) < 20 * DISC
    if all(np.linalg.norm(a - b) > 2 * DISC for a, b in combinations(places, 2)):
        assert all((spot == place).all() for spot, place in zip(found, places, strict=True))


def test_numbers_of_one_place_stand_around_it() -> None:
    found = spread([np.array([5.0, 5.0])] * 9)
    assert (found[0] == (5.0, 5.0)).all()
    assert len({tuple(spot) for spot in found}) == 9
