"""The steerer in the head tube, against lengths added up by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from frame3d import exchange, load, solve
from frame3d.bike.bike import Bike
from frame3d.bike.steerer import RECESS, Steerer, steerer_of
from frame3d.errors import GeometryError

FILE = Path(__file__).parents[2] / "configs" / "trail_hardtail_29.yaml"
HEADSET_TOP = 4 + 115 + 8
"""Lower stack, head tube and upper stack of the demo."""
LEAST = HEADSET_TOP + 15 + 40 - RECESS
"""Spacers and stem's clamp on that, less what the steerer ends below."""


def bike(*sets: str) -> Bike:
    return solve(load(FILE, sets=sets))


def steerer(of: Bike) -> Steerer:
    return steerer_of(of.spec, of.nodes, of.chart)


def warnings(of: Bike) -> list[str]:
    return [n.message for n in of.notes if n.path == "build.fork.steerer_length"]


def test_lengths_by_hand() -> None:
    drawn = bike()
    found = steerer(drawn)
    assert found.headset_top == pytest.approx(HEADSET_TOP)
    assert found.stem_top == pytest.approx(HEADSET_TOP + 55)
    assert found.least == pytest.approx(LEAST)
    assert (found.length, found.over_the_stem, found.most_spacers) == (None, None, None)
    assert warnings(drawn) == []


def test_a_longer_steerer_takes_spacers_over_the_stem() -> None:
    drawn = bike(f"build.fork.steerer_length={LEAST + 12}")
    found = steerer(drawn)
    assert found.over_the_stem == pytest.approx(12)
    assert found.most_spacers == pytest.approx(15 + 12)
    assert warnings(drawn) == []
    assert warnings(bike(f"build.fork.steerer_length={LEAST}")) == []


def test_a_short_steerer_is_warned_of() -> None:
    short = bike("build.fork.steerer_length=170")
    assert steerer(short).over_the_stem == pytest.approx(170 - LEAST)
    (said,) = warnings(short)
    assert f"{LEAST - 170:.1f} mm too short" in said
    mended = exchange(short, {"build.stem.spacers": 5})
    assert warnings(mended) == []


def test_without_a_stem_only_the_headset_is_known() -> None:
    found = steerer(bike("build.stem=null", "build.fork.steerer_length=180"))
    assert (found.headset_top, found.length) == (pytest.approx(HEADSET_TOP), 180)
    assert (found.stem_top, found.least, found.over_the_stem) == (None, None, None)


@pytest.mark.parametrize("stem", ["build.stem.length=45", "build.stem=null"])
def test_a_steerer_that_stays_in_the_head_tube_is_refused(stem: str) -> None:
    with pytest.raises(GeometryError) as refused:
        bike("build.fork.steerer_length=120", stem)
    (fault,) = refused.value.faults
    assert fault.path == "build.fork.steerer_length"
    assert fault.place is not None
    assert f"{HEADSET_TOP:.1f} mm" in fault.message


def test_cups_that_turn_the_steering_axis_hardly_lengthen_it() -> None:
    """By the cosine of 1° over the upper half: 57.5 (1 - cos 1°) = 0.009 mm."""
    turned = steerer(bike("build.headset.angle=-1"))
    assert turned.headset_top == pytest.approx(HEADSET_TOP, abs=0.02)
