"""What the commands show: the chart, checks by margin, what fits, slopes."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from frame3d.bike.exchange import as_built, exchange_values
from frame3d.caution import CAUTION
from frame3d.chart.sensitivity import Sensitivity
from frame3d.clearance.advice.fits import Fit
from frame3d.clearance.result import Report, Result, Unchecked
from frame3d.cli import screen
from frame3d.errors import Note
from frame3d.parameters.models.figures import FIGURES
from frame3d.parameters.models.steering import Steering
from frame3d.tubes.mass import masses_of
from tests.bike.tension.bikes import eccentric
from tests.report.samples import four_link_layout, hardtail_bike, minimal_bike


def result(gap: float, **more: Any) -> Result:
    data: dict[str, Any] = {
        "name": "rear_tyre_to_frame", "title": "Rear tyre", "between": ("rear_tyre", "seat_tube"),
        "gap": gap, "error": 0.0, "required": 6.0, "unit": "mm", "source": "a standard",
    }  # fmt: skip
    return Result(**(data | more))


def told(*results: Result, **more: Any) -> str:
    return screen.checked(minimal_bike(), Report(results, **({"unchecked": ()} | more)))


@pytest.mark.parametrize(
    ("report", "said"),
    [
        (Report((), ()), "no check made: nothing is known of any clearance"),
        (Report((result(9),), ()), "1 check made, it holds"),
        (Report((result(9), result(8)), ()), "2 checks made, all hold"),
        (Report((result(9), result(5)), ()), "2 checks made, 1 falls short"),
        (Report((result(4), result(5)), ()), "2 checks made, 2 fall short"),
        (Report((result(4),), (Unchecked("a", "A", "b"),) * 2), "1 check made, 1 falls short; 2 not made"),
    ],
)  # fmt: skip
def test_a_tally(report: Report, said: str) -> None:
    assert screen.tally(report) == said


def test_checks_are_listed_with_gap_requirement_margin_and_place() -> None:
    text = told(result(8.25, at={"fork": 130.0, "steer": -25.0}), result(5.0))
    (good,) = [line for line in text.split("\n") if line.startswith("ok ")]
    assert "rear_tyre_to_frame: rear_tyre – seat_tube" in good
    for cell in ("8.25 mm", "6.00 mm", "+2.25", "fork 130.0 mm, steer -25.0°"):
        assert cell in good
    (short,) = [line for line in text.split("\n") if line.startswith("SHORT ")]
    assert "5.00 mm" in short
    assert text.endswith(CAUTION)
    assert "- rear_tyre_to_frame 6: a standard" in text


def test_what_falls_short_says_what_would_mend_it() -> None:
    text = told(result(4.0, mend=("smaller tyre", "longer stay")), result(-2.0, saturated=True))
    assert "short by 2.00 mm\n  mend: smaller tyre; or longer stay" in text
    assert "short by 8.00 mm (depth of overlap, a bound)\n  mend: no single small change" in text


def test_what_just_falls_short_never_looks_as_if_it_held() -> None:
    line = next(line for line in told(result(5.9999)).split("\n") if line.startswith("SHORT"))
    assert "5.9999 mm" in line
    assert "-0.0001" in line


def test_certificates_and_steering_are_told_where_there_are_any() -> None:
    assert screen.CERTAIN not in told(result(9))
    assert screen.CERTAIN in told(result(9, error=0.001))
    steering = Steering(180, 180, "nothing")
    assert f"Steering: {steering.says}" in told(result(9), steering=steering)
    text = told(unchecked=(Unchecked("heel_to_frame", "Heel", "no shoe"),))
    assert "Not checked:\n- heel_to_frame: no shoe" in text


def test_a_solved_bike_shows_every_figure_in_every_stance() -> None:
    bike = hardtail_bike()
    assert bike.sagged is not None
    text = screen.solved(bike, masses_of(bike.frame))
    lines = text.split("\n")
    for figure in FIGURES:
        (line,) = [line for line in lines if line.startswith(screen.named(figure) + " ")]
        static, sagged = line.removeprefix(screen.named(figure)).split()
        for shown, chart in ((static, bike.chart), (sagged, bike.sagged.chart)):
            value = chart[figure]
            assert (shown == "–") if value is None else abs(float(shown) - value) < 0.0051
    masses = masses_of(bike.frame)
    assert any(line.split() == ["together", f"{masses.total:.0f}"] for line in lines)
    assert "Without dropouts, which `build` weighs too." in text
    assert text.endswith(CAUTION)


def test_pivots_that_are_not_weighed_are_told() -> None:
    bike = four_link_layout()
    text = screen.solved(bike, masses_of(bike.frame))
    assert "hardware of the pivots" in text
    assert "Seatpost" in text
    assert "weight on the front wheel" in text


def test_notes_are_listed_and_nothing_else_is_said_of_a_bare_chart() -> None:
    bike = replace(minimal_bike(), notes=(Note("assumed", "so"),))
    text = screen.solved(bike, None)
    assert "Notes:\n- so" in text
    assert "mass [g]" not in text
    assert "at sag" not in text


def test_an_exchange_shows_before_after_and_change() -> None:
    bike = hardtail_bike()
    built = as_built(bike, exchange_values(bike, {"build.fork.axle_to_crown": 551.0}))
    text = screen.exchanged(built)
    assert f"pitches by {built.after.pitch:+.2f}°" in text
    (line,) = [line for line in text.split("\n") if line.startswith(screen.named("trail"))]
    before, after, change = map(float, line.removeprefix(screen.named("trail")).split())
    assert after - before == pytest.approx(change, abs=0.011)


def test_what_is_near_and_what_fits() -> None:
    text = screen.close((result(3.0), result(12.34)), 20.0)
    assert text.startswith("Closer than 20 mm:")
    assert [line.split()[-1] for line in text.split("\n")[4:]] == ["3.00", "12.34"]
    fit = screen.fits((Fit("rear tyre", "p", "61-622", None, "rear_tyre_to_frame"),))
    assert fit.split("\n")[-1].split() == ["rear", "tyre", "61-622", "none", "rear_tyre_to_frame"]


def test_slopes_are_signed_and_nothing_is_nothing() -> None:
    found = Sensitivity(
        inputs=("geometry.reach", "build.fork.offset"),
        units=("mm", "mm"),
        results=("trail", "wheelbase"),
        change=((-0.25, 1.0), (0.00001, 0.5)),
    )
    text = screen.sensitivities({"design": found}, 100)
    (trail,) = [line for line in text.split("\n") if line.startswith(screen.named("trail"))]
    assert trail.removeprefix(screen.named("trail")).split() == ["-0.2500", "0"]
    assert "fork.offset" in text
    assert "geometry." not in text


def test_an_eccentric_insert_shows_its_range_and_the_chains_that_fit() -> None:
    text = screen.solved(eccentric(), None)
    assert "longest chainstay" in text
    assert "1.88 half links" in text
    assert "97 at 435.85 mm; 98 at 442.23 mm" in text
    moved = result(4.0, insert=-90.0)
    assert "insert at -90°" in screen.checked(minimal_bike(), Report((moved,), ()))
