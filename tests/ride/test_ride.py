"""All topics of the ride together, and whoever asks for them."""

from __future__ import annotations

from typing import Any

import pytest

from frame3d.bike.bike import Bike
from frame3d.bike.choice import Choice, solve_choice
from frame3d.bike.exchange import exchange_values
from frame3d.bike.solve import solve
from frame3d.formats.ride_document import plain
from frame3d.parameters import load
from frame3d.ride.ride import Ride, ride_of
from tests.linkage.demos import CONFIGS

FULL, HARDTAIL = CONFIGS / "trail_full_140.yaml", CONFIGS / "trail_hardtail_29.yaml"


def numbers(value: Any, path: str = "") -> dict[str, float]:
    """Every number of plain data, by its path."""
    if isinstance(value, bool) or value is None or isinstance(value, str):
        return {}
    if isinstance(value, int | float):
        return {path: float(value)}
    items = value.items() if isinstance(value, dict) else enumerate(value)
    return {k: v for key, item in items for k, v in numbers(item, f"{path}.{key}").items()}


def ridden(bike: Bike) -> dict[str, float]:
    return numbers(plain(ride_of(bike)))


def test_a_bike_that_gives_nothing_has_no_topic_that_fails() -> None:
    ride = ride_of(solve(load(CONFIGS / "minimal.yaml")))
    assert isinstance(ride, Ride)
    assert len(set(ride.left_out)) == len(ride.left_out)
    assert len(set(ride.assumptions)) == len(ride.assumptions)


def test_a_demo_has_every_topic() -> None:
    ride = ride_of(solve(load(FULL)))
    for topic in ("fit", "slopes", "springs", "damping", "steering"):
        assert getattr(ride, topic) is not None, topic


@pytest.mark.parametrize("demo", [FULL, HARDTAIL], ids=lambda f: f.stem)
def test_parts_exchanged_and_parts_of_the_file_are_one_bike(demo: Any) -> None:
    """Stem, bar, tyre's pressure and rider leave the frame alone: a file that says so is that bike."""
    values = {
        "build.stem.length": 60,
        "build.handlebar.rise": 35,
        "build.rider.mass_kg": 95,
        "build.front_wheel.pressure_bar": 1.5,
    }
    drawn = load(demo, sets=[f"{key}={value}" for key, value in values.items()])
    by_file = ridden(solve(drawn))
    by_exchange = ridden(exchange_values(solve(load(demo)), values))
    assert set(by_file) == set(by_exchange)
    for path, value in by_file.items():
        assert by_exchange[path] == pytest.approx(value, rel=1e-6, abs=1e-6), path


def test_a_size_and_its_setting_ride_as_themselves() -> None:
    """Another fork pitches the frame, as the setting does: the same bike by --swap."""
    family = CONFIGS / "families" / "trail_hardtail.yaml"
    text = family.read_text()
    plain_one = solve_choice(text, str(family), Choice(size="L")).bike
    setting = next(iter(plain_one.spec.variants.settings))
    chosen = solve_choice(text, str(family), Choice(size="L", settings=(setting,))).bike
    changed = dict.fromkeys(chosen.exchanged, chosen.spec)
    assert changed
    assert ridden(chosen) != ridden(plain_one)
    swaps = [f"{path}={_value(chosen.spec, path)}" for path in chosen.exchanged if "." in path]
    by_swap = solve_choice(text, str(family), Choice(size="L", swaps=swaps)).bike
    one, other = ridden(chosen), ridden(by_swap)
    assert set(one) == set(other)
    for path, value in one.items():
        assert other[path] == pytest.approx(value, rel=1e-9, abs=1e-9), path


def _value(spec: Any, path: str) -> Any:
    for key in path.split("."):
        spec = spec[key] if isinstance(spec, dict) else getattr(spec, key)
    return spec
