"""The table of cockpits on the page."""

from __future__ import annotations

from dataclasses import replace

import pytest

from frame3d.bike.steerer import Steerer
from frame3d.report.ride_sections.cockpit import FEW, cockpit, set_of, steerer
from frame3d.report.texts import texts
from frame3d.ride.fit.cockpit import Cockpit, Front
from frame3d.ride.fit.offers import KEEPS, Offers, Sizes, offers
from tests.report.samples import rows, words

SAY = texts()
FRONT = Front(top=(480.0, 630.0), angle=65.0, upper_stack=8.0, clamp_height=40.0)
HERE = Cockpit(stem=45.0, spacers=15.0, rise=25.0, forward=-30.0)
SIZES = Sizes((40.0, 45.0, 50.0), (0.0,), (0.0, 20.0, 25.0, 50.0), (-50.0, -30.0), 2.5, 20.0)


def made(which: Offers) -> dict[str, list[str]]:
    return {row[0]: row[1:] for row in rows(cockpit(which, SAY, "rider"))}


def test_a_row_a_bar_with_what_is_sold_and_what_it_misses() -> None:
    found = offers(FRONT, HERE, SIZES)
    told = made(found)
    assert told["25 mm"] == ["45.0 | 15.0", "45 | 15.0", "0.0", "0.0", SAY("fit.cockpit.keeps")]
    for answer in found.bars:
        cells = told[f"{answer.exact.rise:.0f} mm"]
        keeps = answer.sold.miss <= KEEPS
        assert (cells[-1] == SAY("fit.cockpit.keeps")) == keeps
        assert float(cells[2].replace("−", "-")) == pytest.approx(answer.sold.reach_miss, abs=0.051)


def test_what_stands_against_a_bar_is_told() -> None:
    told = made(offers(FRONT, HERE, SIZES))
    # 37.7 mm of spacers where 20 have room; 7.7 mm too high by the other bar
    assert told["0 mm"][-1] == SAY("fit.cockpit.too_low")
    assert told["50 mm"][-1] == SAY("fit.cockpit.too_high", by="8 mm")
    few = offers(FRONT, HERE, replace(SIZES, stems=(45.0, 90.0), rises=(0.0,), most_spacers=None))
    assert made(few)["0 mm"][-1] == SAY("fit.cockpit.not_sold")


def test_backsweeps_and_the_nearest_are_the_builders() -> None:
    found = offers(FRONT, HERE, replace(SIZES, forwards=(-50.0, -45.0, -40.0, -35.0, -30.0)))
    built = words(cockpit(found, SAY, "builder"))
    assert SAY("fit.cockpit.sweeps.title") in built
    assert sum(set_of(one.cockpit, SAY) in built for one in found.nearest) == FEW
    assert SAY("fit.cockpit.sweeps.title") not in words(cockpit(found, SAY, "rider"))
    alone = offers(FRONT, HERE, Sizes((45.0,), (0.0,), (25.0,), (-30.0,), 2.5, None))
    plain = words(cockpit(alone, SAY, "builder"))
    assert SAY("fit.cockpit.sweeps.title") not in plain
    assert SAY("fit.cockpit.nearest") not in plain


def test_sets_in_words() -> None:
    assert set_of(HERE, SAY) == "stem 45, spacers 15, rise 25, grips 30 mm behind the clamp"
    turned = Cockpit(80.0, 2.5, 0.0, 75.0, -6.0)
    assert set_of(turned, SAY).startswith("stem 80 (-6°), spacers 2.5, rise 0, grips 75 mm ahead")
    found = offers(FRONT, replace(HERE, stem_angle=6.0), replace(SIZES, stem_angles=(6.0, -6.0)))
    assert "20 mm, stem turned over" in made(found)


def test_the_steerer_in_one_sentence() -> None:
    asked = Steerer(127.0, 182.0, None, 179.0, None, None)
    assert "at least 179 mm" in words(steerer(asked, SAY))
    short = replace(asked, length=170.0, over_the_stem=-9.0, most_spacers=6.0)
    assert "9 mm too short" in words(steerer(short, SAY))
    long = replace(asked, length=190.0, over_the_stem=11.0, most_spacers=26.0)
    assert "11 mm are left for spacers over the stem" in words(steerer(long, SAY))
    assert "26 mm of spacers in all" in words(steerer(long, SAY))
    none = Steerer(127.0, None, 190.0, None, None, None)
    assert "127 mm above the crown race" in words(steerer(none, SAY))
