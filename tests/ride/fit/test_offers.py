"""Which sold sizes keep the grips, against the same sums for every size."""

from __future__ import annotations

import math
from itertools import product

import pytest

from frame3d.ride.fit.cockpit import Cockpit, Front, grips
from frame3d.ride.fit.offers import Sizes, nearest, offers, reach_range, why_not

FRONT = Front(top=(480.0, 630.0), angle=65.0, upper_stack=8.0, clamp_height=40.0)
HERE = Cockpit(stem=45.0, spacers=15.0, rise=25.0, forward=-30.0)
SIZES = Sizes(
    stems=(35.0, 40.0, 45.0, 50.0, 60.0),
    stem_angles=(0.0,),
    rises=(0.0, 20.0, 25.0, 35.0, 50.0),
    forwards=(-50.0, -30.0, -20.0),
    spacer_step=2.5,
    most_spacers=30.0,
)


def test_a_row_for_each_rise() -> None:
    """By plane trigonometry: each mm of rise takes sin 65° of spacers and cos 65° of stem."""
    c, s = math.cos(math.radians(65)), math.sin(math.radians(65))
    found = offers(FRONT, HERE, SIZES)
    assert [one.exact.rise for one in found.bars] == list(SIZES.rises)
    for one in found.bars:
        more = one.exact.rise - 25
        assert one.exact.stem == pytest.approx(45 - more * c)
        assert one.exact.spacers == pytest.approx(15 - more * s)
        assert one.sold.cockpit.stem in SIZES.stems
        assert one.sold.cockpit.spacers % 2.5 == 0
        assert 0 <= one.sold.cockpit.spacers <= 30
    assert found.bars[2].sold.miss == pytest.approx(0, abs=1e-9)


def test_why_a_set_cannot_be_made() -> None:
    bars = {one.exact.rise: one.cannot for one in offers(FRONT, HERE, SIZES).bars}
    assert bars[20.0] is bars[25.0] is bars[35.0] is None
    # 37.66 mm of spacers, by the sum above
    assert bars[0.0] == "7.7 mm more spacers than there is room for"
    assert bars[50.0] == "the stem would sit 7.7 mm inside the headset"
    assert why_not(Cockpit(70.0, 5.0, 25.0, -30.0), SIZES) == "stems are to be had from 35 to 60 mm"
    free = Sizes((45.0,), (0.0,), (25.0,), (-30.0,), 2.5, None)
    assert why_not(Cockpit(45.0, 500.0, 25.0, -30.0), free) is None


def test_backsweeps_lie_within_those_of_bars_and_keep_the_grips() -> None:
    at = grips(FRONT, HERE)
    found = offers(FRONT, HERE, SIZES).sweeps
    assert found
    for one in found:
        assert -50 <= one.exact.forward <= -20
        assert 0 <= one.exact.spacers <= 30
        assert grips(FRONT, one.exact) == pytest.approx(at, abs=1e-9)
        # spacers are the only thing that is rounded, so half a step is missed at most
        assert one.sold.miss <= 1.25 + 1e-9
    there = {(one.exact.rise, one.exact.stem) for one in found}
    assert (25.0, 45.0) in there


def test_a_bar_without_a_choice_of_backsweep_has_no_table_of_it() -> None:
    drop = Sizes(SIZES.stems, (0.0,), (0.0,), (75.0,), 2.5, None)
    assert offers(FRONT, Cockpit(80.0, 10.0, 0.0, 75.0), drop).sweeps == ()


def test_a_stem_turned_over_is_asked_too() -> None:
    """An upright steerer, by hand: turned over, 80 mm at 6° come 2 x 80 sin 6° lower."""
    front = Front((400.0, 600.0), 90.0, 8.0, 40.0)
    sizes = Sizes((80.0,), (6.0, -6.0), (0.0,), (75.0,), 2.5, None)
    found = offers(front, Cockpit(80.0, 10.0, 0.0, 75.0, 6.0), sizes)
    assert [one.exact.stem_angle for one in found.bars] == [6, -6]
    turned = found.bars[1].exact
    assert turned.stem == pytest.approx(80)
    assert turned.spacers == pytest.approx(10 + 160 * math.sin(math.radians(6)))
    assert [one.cockpit.stem_angle for one in found.nearest] == [-6]


def test_the_nearest_come_first_and_the_present_set_is_not_among_them() -> None:
    at = grips(FRONT, HERE)
    found = offers(FRONT, HERE, SIZES).nearest
    assert [one.miss for one in found] == sorted(one.miss for one in found)
    assert HERE not in [one.cockpit for one in found]
    assert nearest(FRONT, at, SIZES)[0].cockpit == HERE
    assert len(nearest(FRONT, at, SIZES, 3)) == 3
    for one in found:
        x, z = grips(FRONT, one.cockpit)
        assert one.miss == pytest.approx(math.hypot(x - at[0], z - at[1]))


def test_reach_at_a_height_against_a_fine_grid() -> None:
    height = grips(FRONT, HERE)[1]
    found = reach_range(FRONT, height, HERE, SIZES)
    assert found is not None
    grid = []
    for stem, rise, n in product(SIZES.stems, SIZES.rises, range(3001)):
        x, z = grips(FRONT, Cockpit(stem, n / 100, rise, -30.0))
        if abs(z - height) < 0.01:
            grid.append(x)
    assert found.least == pytest.approx(min(grid), abs=0.02)
    assert found.most == pytest.approx(max(grid), abs=0.02)
    assert reach_range(FRONT, height + 300, HERE, SIZES) is None
