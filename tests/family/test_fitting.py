"""Sizes under a rider, against plane trigonometry and the commands that say the same one size at a time."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from frame3d.bike.choice import Choice, solve_choice
from frame3d.bike.seatpost import seatpost_of
from frame3d.errors import SpecError
from frame3d.family.cockpit_ranges import WishedGrips
from frame3d.family.fitting import CHECKS, FIGURES, Body, Fitting, body_of, fitting, seated
from frame3d.family.wanted import Source
from frame3d.parameters.models.rider import RiderSpec
from tests.hardening.running import run

FILE = Path(__file__).parents[2] / "configs" / "families" / "trail_hardtail.yaml"
TEXT = FILE.read_text("utf-8")
RIDER = Body(1800.0, 850.0, 745.0, 82.0, ())


@cache
def found() -> Fitting:
    return fitting(Source("hardtail.yaml", TEXT), RIDER)


def test_every_size_has_every_figure() -> None:
    assert [size.size for size in found().sizes] == ["S", "M", "L", "XL"]
    for size in found().sizes:
        assert tuple(size.figures) == tuple(FIGURES)
        assert {r.name for r in size.report.results} <= CHECKS
        assert None not in size.figures.values()


def test_contact_points_by_plane_trigonometry() -> None:
    """Saddle on the seatpost axis at its height; grips over headset, spacers, stem and bar."""
    for size in found().sizes:
        chart, build = size.bike.chart, size.bike.spec.build
        assert build.stem is not None
        assert build.handlebar is not None
        assert build.headset is not None
        steering = math.radians(chart["head_tube_angle"] or 0)
        seat = math.radians(chart["actual_seat_tube_angle"] or 0)
        above = build.headset.upper_stack + build.stem.spacers + build.stem.clamp_height / 2
        stem = steering - math.radians(90 + build.stem.angle)
        x = (
            (chart["reach"] or 0)
            - above * math.cos(steering)
            - build.stem.length * math.sin(-steering)
        )
        z = (chart["stack"] or 0) + above * math.sin(steering)
        if build.stem.angle == 0:
            z += build.stem.length * math.cos(steering)
        assert stem < 0
        x, z = x + build.handlebar.forward, z + build.handlebar.rise
        saddle = (-745 * math.cos(seat), 745 * math.sin(seat))  # the axis passes the bottom bracket
        assert size.figures["saddle_to_grips"] == pytest.approx(x - saddle[0], abs=1e-6)
        assert size.figures["grips_above_saddle"] == pytest.approx(z - saddle[1], abs=1e-6)


def test_the_post_keeps_its_length() -> None:
    drawn = solve_choice(TEXT, "f", Choice("L")).bike
    set_up = seated(drawn, RIDER)
    before, after = seatpost_of(drawn), seatpost_of(set_up)
    assert before is not None
    assert after is not None
    length = [p.insertion + p.exposure for p in (before, after)]  # type: ignore[operator]
    assert length[1] == pytest.approx(length[0], abs=1e-9)
    assert before.exposure - after.exposure == pytest.approx(760 - 745, abs=1e-9)  # type: ignore[operator]
    assert set_up.frame.pitch == pytest.approx(0, abs=1e-9)


def test_the_frame_is_that_of_the_size() -> None:
    """No figure of the frame moves, whoever sits on it."""
    for size in found().sizes:
        drawn = solve_choice(TEXT, "f", Choice(size.size)).bike
        for figure in ("reach", "stack", "standover", "actual_seat_tube_angle", "wheelbase"):
            assert size.bike.chart[figure] == pytest.approx(drawn.chart[figure], abs=1e-9)


def test_checks_are_those_of_the_command(tmp_path: Path) -> None:
    """One size, set by hand to what the rider needs, and checked whole."""
    size = found().sizes[0]
    insertion = size.figures["post_insertion"]
    swaps = [
        f"build.seatpost.insertion={insertion!r}",
        "build.seatpost.saddle_height=745",
        "build.rider={mass_kg: 82, height: 1800, inseam: 850, shoe_length: 265}",
    ]
    options = [word for swap in swaps for word in ("--swap", swap)]
    ended = run("check", FILE, "--size", "S", "--json", *options)
    whole = {r["name"]: r["least"] for r in json.loads(ended.out)["checks"] if r["name"] in CHECKS}
    assert {r.name: r.least for r in size.report.results} == pytest.approx(whole, abs=2e-3)


def test_the_nearest_is_by_the_height_that_a_size_is_drawn_for() -> None:
    best = found().nearest
    assert best is not None
    assert (best.size, best.drawn_for) == ("M", 1765)
    tall = fitting(Source("f", TEXT), Body(1920.0, 900.0, 795.0, None, ()))
    assert tall.nearest is not None
    assert tall.nearest.size == "XL"


def test_nothing_is_recommended_without_a_figure() -> None:
    text = (
        TEXT.replace("height: 1660, ", "")
        .replace("height: 1850, ", "")
        .replace("height: 1930, ", "")
    )
    alike = fitting(Source("f", text.replace("height: 1765, ", "")), RIDER)
    assert alike.holding
    assert alike.nearest is None


def test_a_size_that_fails_is_told_and_the_others_come() -> None:
    broken = fitting(Source("f", TEXT, ("sizes.S.geometry.reach=1",)), RIDER)
    assert [one.label for one in broken.missing] == ["S"]
    assert all(fault.message.startswith("in size S: ") for fault in broken.missing[0].faults)
    assert [size.size for size in broken.sizes] == ["M", "L", "XL"]
    with pytest.raises(SpecError):
        fitting(Source("f", TEXT, ("build.crank.length=1",)), RIDER)


@pytest.mark.parametrize(
    ("given", "height", "inseam", "saddle", "assumed"),
    [
        ({"height": 1800.0, "inseam": 850.0}, 1800, 850, 750.55, 1),
        ({"height": 1800.0}, 1800, 846, 747.018, 2),
        ({"inseam": 846.0}, 1800, 846, 747.018, 2),
        ({"inseam": 846.0, "saddle_height": 740.0}, 1800, 846, 740, 1),
        ({}, 1700, 800, 706.4, 1),
    ],
)
def test_measures(
    given: dict[str, float], height: float, inseam: float, saddle: float, assumed: int
) -> None:
    """0.883 x inseam and 0.47 x height: as `frame3d.rider.posture` has them, and by hand."""
    own = RiderSpec(mass_kg=70, height=1700, inseam=800)
    body = body_of(own, **given)
    assert (body.height, body.inseam, body.saddle_height) == pytest.approx((height, inseam, saddle))
    assert (len(body.assumed), body.mass_kg) == (assumed, 70)


@pytest.mark.parametrize("given", [{}, {"height": 1500.0, "inseam": 1600.0}])
def test_measures_that_do_not_do(given: dict[str, float]) -> None:
    with pytest.raises(SpecError):
        body_of(None, **given)


def test_a_measured_knee_is_that_of_its_rider() -> None:
    """On a rider of other measures the angle that the file gives means nothing."""
    measured = TEXT.replace("inseam: 840,", "inseam: 840, knee_angle: 33, at_saddle_height: 720,")
    assert measured != TEXT
    drawn = solve_choice(measured, "f", Choice("M")).bike
    same = seated(drawn, Body(1765.0, 840.0, 735.0, None, ())).spec.build.rider
    other = seated(drawn, RIDER).spec.build.rider
    assert same is not None
    assert (same.knee_angle, same.at_saddle_height) == (33, 720)
    assert other is not None
    assert (other.knee_angle, other.at_saddle_height) == (None, None)


def test_a_size_whose_lowest_pedal_is_out_of_reach_does_not_hold() -> None:
    """An inseam of 850 mm wants the saddle at about 0.883 of it, 750 mm: at 800 no foot reaches."""
    size = fitting(Source("f", TEXT), replace(RIDER, saddle_height=800.0)).sizes[1]
    assert size.bike.rider is not None
    assert size.bike.rider.seated is not None
    assert size.bike.rider.legs_reach is False
    assert not size.holds
    assert all(one.bike.rider.legs_reach for one in found().sizes if one.bike.rider is not None)


def test_hands_go_where_the_size_has_them_that_is_drawn_for_the_rider() -> None:
    """1800 mm: nearest is M, drawn for 1765 mm, which has its own grips exactly."""
    wish = found().grips
    assert wish is not None
    assert wish.source == "M"
    ranges = {size.size: size.cockpit for size in found().sizes}
    assert ranges["M"] is not None
    assert ranges["M"].nearest.miss == pytest.approx(0, abs=1e-9)
    assert ranges["XL"] is not None
    assert not ranges["XL"].reached


def test_given_hands_and_the_default_size() -> None:
    given = fitting(Source("f", TEXT), RIDER, grips=WishedGrips(460.0, 730.0, ""))
    assert given.grips == WishedGrips(460.0, 730.0, "")
    text = TEXT
    for height in (1660, 1765, 1850, 1930):
        text = text.replace(f"height: {height}, ", "")
    alike = fitting(Source("f", text), RIDER)
    assert alike.grips is not None
    assert alike.grips.source == "M"


def test_without_a_stem_no_hands() -> None:
    none = fitting(Source("f", TEXT, ("build.stem=null",)), RIDER)
    assert none.grips is None
    assert all(size.cockpit is None for size in none.sizes)
