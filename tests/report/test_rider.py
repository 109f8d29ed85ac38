"""The rider's section: shares by moments, a figure in every posture."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from frame3d.bike.mass_model import mass_model
from frame3d.bike.weight import front_share
from frame3d.report.drawing.silhouette import corners
from frame3d.report.page import stylesheet
from frame3d.report.sections.rider import rider
from frame3d.report.texts import texts
from tests.report.samples import bare, four_link_layout, minimal_bike, rows, words


def test_shares_and_heights_are_those_of_the_posture() -> None:
    """Weight on the front wheel as `weight` has it, heights over the ground, in the middle of bands.

    Their width by hand: 30 mm along move the front's share by the rider's share of the mass over the
    wheelbase; other tables have the body lower by more than the band of 50 mm would alone.
    """
    bike = four_link_layout()
    static, sagged, spec = bike.rider, bike.sagged, bike.spec.build.rider
    assert static is not None
    assert sagged is not None
    assert sagged.rider is not None
    assert spec is not None
    found = {row[0].replace(" ,", ","): row[1:] for row in rows(rider(bare(bike), texts()))}
    titles = {
        "seated": "Seated",
        "forward": "On the saddle's nose",
        "standing": "Standing",
        "descending": "Low and behind",
        "lowest_saddle": "Seated, saddle lowest",
    }
    assert len(found) == len(static.postures)
    rigid = replace(bike, sagged=None)
    unsprung = {row[0].replace(" ,", ","): row[1:] for row in rows(rider(bare(rigid), texts()))}
    for name in static.postures:
        for when, who, chart, told in (
            ("static", static, bike.chart, unsprung),
            ("at sag", sagged.rider, sagged.chart, found),
        ):
            posture = who.postures[name]
            share, height = told[f"{titles[name]}, {when}"]
            moment = 100 * front_share(bike, posture, sagged=when == "at sag")
            low, high = map(float, re.findall(r"[\d.]+", share))
            by_hand = 100 * 30 / (chart["wheelbase"] or 0)
            by_hand *= spec.mass_kg / (spec.mass_kg + mass_model(bike).total_kg)
            assert high == pytest.approx(moment + by_hand, abs=0.8)
            assert moment - by_hand - 1.5 < low < moment - by_hand + 0.5
            above = posture.centre_of_mass[2] + (chart["bb_height"] or 0)
            low, high = map(float, re.findall(r"[\d.]+", height))
            assert high == pytest.approx(above + 50, abs=5)
            assert above - 75 < low < above - 46
            assert low % 10 == high % 10 == 0


def test_every_posture_is_drawn_once_and_one_is_chosen() -> None:
    """Without a script: radio buttons, whose checked one the style shows."""
    bike = four_link_layout()
    data = bare(bike)
    assert data.figure is not None
    made = rider(data, texts())
    assert made is not None
    names = [pose.name for pose in data.figure.poses]
    assert re.findall(r'<input type="radio" name="posture" id="posture-(\w+)"', made) == names
    assert re.findall(r'id="posture-(\w+)" checked', made) == names[:1] == ["seated"]
    for name in names:
        assert f"#posture-{name}:checked) .posture.{name}" in stylesheet()
        assert made.count(f'class="posture {name}"') == 1
        assert made.count(f'class="centre {name}"') == 1
        assert f'href="#rider-{name}-arm"' in made


def test_the_picture_holds_the_whole_rider() -> None:
    data = bare(four_link_layout())
    assert data.figure is not None
    made = rider(data, texts())
    assert made is not None
    x, y, width, height = map(float, re.findall(r'viewBox="([^"]*)"', made)[0].split())
    for pose in data.figure.poses:
        (x0, z0), (x1, z1) = corners(data.figure, pose)
        assert x < x0 < x1 < x + width
        assert y < -z1 < -z0 < y + height


def test_without_a_posture_there_is_no_section() -> None:
    assert rider(bare(minimal_bike()), texts()) is None
    bike = four_link_layout()
    assert bike.rider is not None
    known = ("seated", "forward", "standing", "descending", "lowest_saddle")
    nothing = {name: None for name in known if hasattr(bike.rider, name)}
    none = replace(bike, rider=replace(bike.rider, **nothing))
    assert rider(bare(none), texts()) is None


def test_what_was_assumed_is_said() -> None:
    bike = four_link_layout()
    assert bike.rider is not None
    assert "; ".join(bike.rider.assumptions) in words(rider(bare(bike), texts()))
