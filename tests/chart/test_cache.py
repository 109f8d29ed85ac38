"""A memory changes how long a bike takes, and nothing else."""

from __future__ import annotations

from pathlib import Path

import pytest

from frame3d.bike.solve import solve
from frame3d.chart.cache import Cache
from frame3d.parameters.reading.reader import load

CONFIGS = Path(__file__).parents[2] / "configs"


@pytest.mark.parametrize("name", ["trail_hardtail_29", "trail_full_140"])
def test_a_bike_is_the_same_whatever_was_solved_before(name: str) -> None:
    file = CONFIGS / f"{name}.yaml"
    memory = Cache()
    for sets in ([], ["geometry.bb_drop=40"], ["geometry.bb_drop=41", "geometry.reach=450"], []):
        spec = load(file, sets)
        alone, after = solve(spec), solve(spec, memory)
        assert after.chart == alone.chart
        assert after.tubes == alone.tubes
        assert after.pivots == alone.pivots
        assert after.notes == alone.notes


def test_what_was_not_asked_for_longest_goes() -> None:
    memory = Cache(room=2)
    made: list[str] = []

    def recall(key: str) -> str:
        def make() -> str:
            made.append(key)
            return key.upper()

        return memory.get_or_compute(key, make)

    for key in "abacab":
        assert recall(key) == key.upper()
    assert made == ["a", "b", "c", "b"]
