"""The section on dampers: words, figures, the moving picture in a browser."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from frame3d.report.audience import Audience
from frame3d.report.data import ReportData
from frame3d.report.page import report_page
from frame3d.report.ride_sections.damping import coarse, section
from frame3d.report.ride_sections.moving_bike import moving_parts, returns_document
from frame3d.report.texts import texts
from frame3d.ride.damping.of_bike import damping_of
from frame3d.ride.ride import Ride
from tests.report.browser import PHONE, quiet_page
from tests.report.samples import bare, rows, words
from tests.ride.damping.bikes import DAMPED, bike

SAY = texts("en")


@cache
def data(*sets: str, name: str = "trail_full_140") -> ReportData:
    """A demo's data, of whose ride nothing but the damping is worked out."""
    made = bare(bike(*sets, name=name))
    vars(made)["ride"] = Ride(None, None, None, damping_of(bike(*sets, name=name)), None)
    return made


def said(*sets: str, name: str = "trail_full_140", audience: Audience = "builder") -> str:
    return words(section(data(*sets, name=name), SAY, audience))


def test_dampers_given() -> None:
    shown = said(*DAMPED)
    assert (
        "This bike's own As the file gives it: rear 0.40 of the critical damping, front 0." in shown
    )
    assert "Rear, on the damper as given: the bike rises 13 mm over its rest" in shown
    assert "A shop can measure" not in shown
    assert "no clicks are given" in shown
    assert "no height of a drop" in shown


def test_no_damper_tells_how_to_measure_one() -> None:
    shown = said(name="trail_hardtail_29")
    assert "let the fork alone" in shown
    assert "Back soonest 0.69 of the critical damping" in shown
    assert "stands still" not in shown
    assert "Rear" not in shown


def test_one_end_has_a_damper() -> None:
    """The other end comes back soonest beside it; the shop is told how to measure that one alone."""
    shown = said("suspension.shock.damper.rebound_n_s_m=6000")
    assert "front as back soonest, 0.69" in shown
    assert "let the fork alone" in shown
    assert "let the shock alone" not in shown


def test_sentences_of_extreme_dampers() -> None:
    shown = said(
        "suspension.shock.damper.rebound_n_s_m=90000", "build.fork.damper.rebound_n_s_m=1400"
    )
    assert "Rear, on the damper as given: the bike is not back within 2 s of the hit" in shown
    assert "Front, on the damper as given: the bike does not rise over its rest" in shown
    assert "over 2 s" in shown


def test_rider_sees_no_coefficients_and_no_keys() -> None:
    shown = said(*DAMPED, audience="rider")
    assert "N·s/m" not in shown
    assert "(suspension." not in shown
    assert "Natural frequency at sag" in shown


def test_figures_in_two_digits() -> None:
    assert coarse(12557.6) == 13000
    made = section(data(*DAMPED), SAY, "builder")
    (row,) = [row for row in rows(made) if row[0].startswith("Critical damping")]
    assert re.fullmatch(r"1\d000 N·s/m", row[1])
    assert re.fullmatch(r"1\d00 N·s/m|9\d0 N·s/m", row[2])


def test_nothing_sprung() -> None:
    assert section(data(name="adventure_rigid"), SAY, "builder") is None


def test_no_returns_no_picture() -> None:
    sets = ("suspension.sag=75%", "suspension.sag_of=travel", "build.fork.sag=75%")
    made = section(data(*sets), SAY, "builder")
    assert made is not None
    assert 'id="hit"' not in made
    assert "three are chosen" not in words(made)


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("page") / "report.html"
    file.write_bytes(report_page(data(*DAMPED)))
    return file


OVER_GROUND = """([part, at, radius]) => [...document.querySelectorAll('svg.hit-bike')].map((svg) => {
  const moved = svg.querySelectorAll('.moves > use')[part].getScreenCTM();
  const axle = new DOMPoint(at[0], at[1]).matrixTransform(svg.getScreenCTM().inverse().multiply(moved));
  return -Number(svg.querySelector('.ground').getAttribute('d').match(/ (-?[\\d.]+)/)[1]) + axle.y + radius;
})"""
TOPS = """() => [...document.querySelectorAll('svg.hit-bike .moves')]
  .map((group) => group.getBoundingClientRect().top)"""
SLIDE = """(value) => {
  const slider = document.querySelector('#hit-time');
  slider.value = value;
  slider.dispatchEvent(new Event('input'));
}"""


def test_moves_in_the_browser(browser: object, page: Path) -> None:
    """All bikes start as deep, then the damped ones lag behind.

    Wheels stand on the ground, but for an end thrown past its full extension.
    """
    with quiet_page(browser, PHONE) as shown:
        shown.goto(page.as_uri())
        shown.wait_for_selector("#hit-time")
        first = shown.evaluate(TOPS)
        shown.evaluate(SLIDE, 0.2)
        later = shown.evaluate(TOPS)
        risen = [a - b for a, b in zip(first, later, strict=True)]
        assert risen[0] > risen[1] > risen[2] > 1
        own = data(*DAMPED)
        told = returns_document(own.side, own.ride.damping, {})
        names = [None if p.mount is None else p.mount.name for p in moving_parts(own.side)]
        at = told["time"].index(0.2)
        for end, motion, mount in (
            ("rear", "rear", own.bike.linkage.axle_link),
            ("front", "fork", "fork"),
        ):
            wheel = [names.index(mount), told["axles"][end]["at"], told["radii"][end]]
            steep = 1.0 if end == "rear" else -told["axles"]["front"]["up"][1]
            flight = [steep * min(run[motion][at], 0.0) for run in told["runs"]]
            assert shown.evaluate(OVER_GROUND, wheel) == pytest.approx(flight, abs=0.3)
        assert "0.20" in shown.text_content(".hit-controls output")
        reading = shown.text_content("#figure-return_rear .reading")
        assert "0.2" in reading
        crosshair = shown.locator("#figure-return_rear svg")
        crosshair.focus()
        shown.keyboard.press("End")
        assert shown.input_value("#hit-time") == "2"
        wide = shown.evaluate("document.documentElement.scrollWidth")
        assert wide <= PHONE[0]


def test_plays_and_stops(browser: object, page: Path) -> None:
    with quiet_page(browser) as shown:
        shown.goto(page.as_uri())
        play = shown.locator(".hit-controls button")
        play.wait_for()
        play.click()
        assert play.text_content() == "Pause"
        for _ in range(50):
            if float(shown.input_value("#hit-time")) > 0.02:
                break
            shown.wait_for_timeout(50)
        play.click()
        stopped = shown.input_value("#hit-time")
        assert float(stopped) > 0.02
        shown.wait_for_timeout(150)
        assert shown.input_value("#hit-time") == stopped
        assert play.text_content() == "Play"


def test_asked_for_no_moves(browser: object, page: Path) -> None:
    """The button is not there, the slider is."""
    with quiet_page(browser, reduced_motion="reduce") as shown:
        shown.goto(page.as_uri())
        shown.wait_for_selector("#hit-time")
        assert not shown.locator(".hit-controls button").is_visible()


def test_without_scripts_the_curves_are_there(browser: object, page: Path) -> None:
    with quiet_page(browser, java_script_enabled=False) as shown:
        shown.goto(page.as_uri())
        assert not shown.locator("#hit").is_visible()
        assert shown.locator("#figure-return_rear svg .curve").count() == 3
