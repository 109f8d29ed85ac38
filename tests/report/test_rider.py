"""The rider's section: shares by moments, a figure whose limbs keep their lengths."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import pytest

from frame3d.bike.weight import front_share
from frame3d.report.markup import Markup
from frame3d.report.sections.rider import rider
from frame3d.report.texts import texts
from tests.report.drawn import lines
from tests.report.samples import bare, four_link_layout, minimal_bike, rows, words


def test_shares_and_heights_are_those_of_the_posture() -> None:
    """Weight on the front wheel as `weight` has it, heights over the ground."""
    bike = four_link_layout()
    static, sagged = bike.rider, bike.sagged
    assert static is not None
    assert sagged is not None
    found = {row[0].replace(" ,", ","): row[1:] for row in rows(rider(bare(bike), texts()))}
    for name in ("seated", "standing"):
        for when, who, chart in (
            ("static", static, bike.chart),
            ("at sag", sagged.rider, sagged.chart),
        ):
            posture = getattr(who, name)
            share, height = found[f"{name.capitalize()}, {when}"]
            moment = front_share(bike, posture, sagged=when == "at sag")
            assert float(share.removesuffix(" %")) == pytest.approx(100 * moment, abs=0.6)
            above = posture.centre_of_mass[2] + (chart["bb_height"] or 0)
            assert float(height.removesuffix(" mm")) == pytest.approx(above, abs=0.6)


def test_limbs_are_drawn_as_long_as_they_are() -> None:
    bike = four_link_layout()
    assert bike.rider is not None
    made = rider(bare(bike), texts())
    assert made is not None
    paths = [Markup(m) for m in re.findall(r'<path d="[^"]*" class="limb seated"></path>', made)]
    data = re.findall(r'd="([^"]*)"', paths[0])[0]
    assert data.count("M") == 3  # trunk and arm, and two legs
    (corners,) = lines(paths, "limb seated")
    joints = bike.rider.seated.joints if bike.rider.seated is not None else {}
    for joint in ("hip", "shoulder", "knee_front"):
        x, _, z = joints[joint]
        assert min(math.dist((x, z), (u, -v)) for u, v in corners) < 0.1
    assert made.count('class="centre') == 2


def test_without_a_posture_there_is_no_section() -> None:
    assert rider(bare(minimal_bike()), texts()) is None
    bike = four_link_layout()
    assert bike.rider is not None
    none = replace(bike, rider=replace(bike.rider, seated=None, standing=None))
    assert rider(bare(none), texts()) is None


def test_what_was_assumed_is_said() -> None:
    bike = four_link_layout()
    assert bike.rider is not None
    assert "; ".join(bike.rider.assumptions) in words(rider(bare(bike), texts()))
