"""Sizes of a flat rear dropout, and where its axle can stand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.plates.test_dropouts import SLIDING, bike


def test_an_arm_is_a_share_of_its_stay_or_as_wide_as_given() -> None:
    made = bike({"kind": "hooded"})
    stay = next(tube for tube in made.tubes if tube.name == "chainstay_left")
    dropout = made.dropouts[0]
    assert dropout.tip_at(stay, "end") == pytest.approx(0.8 * stay.section.height[-1])
    assert dropout.tip_at(stay, "start") == pytest.approx(0.8 * stay.section.height[0])
    assert replace(dropout, tip=11.0).tip_at(stay, "end") == 11.0


def test_the_axle_stands_in_one_place_or_between_two() -> None:
    hooded = bike({"kind": "hooded"}).dropouts[0]
    assert hooded.places == (hooded.axle,)
    sliding = bike(SLIDING).dropouts[0]
    (front, _, _), (back, _, _) = sliding.places
    assert front - back == pytest.approx(16)
