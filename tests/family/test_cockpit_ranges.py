"""Cockpits of sizes, against the commands that say the same one size at a time."""

from __future__ import annotations

import pytest

from frame3d import exchange
from frame3d.bike.bike import Bike
from frame3d.family.cockpit_ranges import (
    MOST_SPACERS,
    CockpitRange,
    WishedGrips,
    cockpit_range,
    grips_of,
)
from frame3d.ride.fit.offers import KEEPS
from tests.ride.fit.samples import FAMILY, HARDTAIL, bike


def range_of(of: Bike, wish: WishedGrips) -> CockpitRange:
    found = cockpit_range(of, wish)
    assert found is not None
    return found


def wish_of(size: str) -> WishedGrips:
    found = grips_of(bike(FAMILY, size=size), size)
    assert found is not None
    return found


def test_a_size_keeps_its_own_grips_as_drawn() -> None:
    own = range_of(bike(FAMILY, size="M"), wish_of("M"))
    assert own.nearest.miss == pytest.approx(0, abs=1e-9)
    assert own.reached
    assert own.least_reach is not None
    assert own.most_reach is not None
    assert own.least_reach < wish_of("M").reach < own.most_reach


@pytest.mark.parametrize("size", ["S", "L", "XL"])
def test_the_nearest_set_exchanged_on_the_size_misses_by_what_is_said(size: str) -> None:
    wish = wish_of("M")
    found = range_of(bike(FAMILY, size=size), wish)
    cockpit = found.nearest.cockpit
    changed = exchange(
        bike(FAMILY, size=size),
        {
            "build.stem.length": cockpit.stem,
            "build.stem.spacers": cockpit.spacers,
            "build.handlebar.rise": cockpit.rise,
        },
    )
    assert changed.rider is not None
    x, _, z = changed.rider.contacts["hands"]
    assert x - wish.reach == pytest.approx(found.nearest.reach_miss, abs=1e-9)
    assert z - wish.stack == pytest.approx(found.nearest.stack_miss, abs=1e-9)
    assert found.reached == (found.nearest.miss <= KEEPS)


def test_a_bike_that_is_too_long_is_told_so() -> None:
    """50 mm of reach more: the shortest stem is 15 mm shorter than the drawn one."""
    found = range_of(bike(FAMILY, size="XL"), wish_of("M"))
    assert not found.reached
    assert found.nearest.reach_miss > 25
    assert found.least_reach is not None
    assert found.least_reach > wish_of("M").reach


def test_a_height_that_no_size_reaches_has_no_range() -> None:
    low = range_of(bike(FAMILY, size="M"), WishedGrips(450.0, 400.0, ""))
    assert low.least_reach is low.most_reach is None
    assert not low.reached


def test_spacers_are_limited_by_the_file_or_by_a_usual_height_that_is_told() -> None:
    wish = WishedGrips(450.0, 900.0, "")
    usual = range_of(bike(HARDTAIL), wish)
    assert usual.assumed is not None
    assert f"{MOST_SPACERS:g} mm" in usual.assumed
    assert usual.nearest.cockpit.spacers == MOST_SPACERS
    own = range_of(bike(HARDTAIL, "build.stem.most_spacers=20"), wish)
    assert own.assumed is None
    assert own.nearest.cockpit.spacers == 20
    high = range_of(bike(HARDTAIL, "build.stem.spacers=45"), wish)
    assert high.nearest.cockpit.spacers == 45


def test_without_a_stem_nothing_is_said() -> None:
    none = bike(HARDTAIL, "build.stem=null")
    assert grips_of(none, "M") is None
    assert cockpit_range(none, WishedGrips(450.0, 700.0, "")) is None
