"""The table of checks: states, remedies, what was not checked, where requirements come from."""

from __future__ import annotations

import re
from typing import Any

import pytest

from frame3d.clearance.result import Report, Result, Unchecked
from frame3d.parameters.models.steering import Steering
from frame3d.report.sections.clearances import FIRST, clearances, state_of
from frame3d.report.texts import texts
from tests.report.samples import bare, minimal_bike, rows, words


def result(gap: float, required: float = 6.0, **more: Any) -> Result:
    data: dict[str, Any] = {
        "name": "rear_tyre_to_frame",
        "title": "Rear tyre",
        "between": ("rear_tyre", "chainstay_left"),
        "gap": gap,
        "error": 0.0,
        "required": required,
        "unit": "mm",
        "source": "a standard",
    }
    return Result(**(data | more))


def table(*results: Result, **more: Any) -> Any:
    return clearances(
        bare(minimal_bike(), report=Report(results, **({"unchecked": ()} | more))), texts()
    )


@pytest.mark.parametrize(
    ("gap", "error", "state"),
    [
        (5.999, 0.0, "short"),
        (6.0, 0.0, "close"),
        (6.0005, 0.001, "short"),  # its certificate reaches below
        (6.999, 0.0, "close"),
        (7.0, 0.0, "holds"),
        (-3.0, 0.0, "short"),
    ],
)
def test_a_state_is_by_what_is_certain(gap: float, error: float, state: str) -> None:
    assert state_of(result(gap, error=error)) == state


def test_a_row_says_gap_requirement_margin_and_place() -> None:
    made = table(result(8.25, at={"fork": 130.0, "steer": -25.0}, points=((0, 0, 0), (1, 1, 1))))
    (row,) = rows(made)
    assert row[1] == f"{texts()('check.rear_tyre_to_frame')} Rear tyre – Chainstay left"
    assert row[2:] == ["8.2 mm", "6.0 mm", "+2.2", "fork 130 mm, steering −25°"]
    assert 'data-check="check-0"' in made
    assert "data-check" not in table(result(8.25))
    assert rows(table(result(8.25)))[0][5] == "any position"


def test_a_gap_is_shown_with_as_many_decimals_as_its_state_needs() -> None:
    """5.9996 is not 6.0: what falls short never looks as if it held."""
    row, _ = rows(table(result(5.9996)))
    assert float(row[2].removesuffix(" mm")) < 6.0
    assert float(row[4].replace("−", "-")) < 0


def test_what_falls_short_says_what_would_mend_it() -> None:
    ways = ("build.rear_wheel.tyre 57-622 (to 6.8)", "<b>another</b>")
    _, mend = rows(table(result(4.0, mend=ways)))
    assert mend[-1] == f"What would mend it {' '.join(ways)}"
    _, none = rows(table(result(-4.0, saturated=True)))
    assert "no single small change" in none[-1]
    assert "only a bound" in none[-1]


def test_a_bar_is_as_long_as_its_gap_with_the_requirement_at_one_length_for_all() -> None:
    def bar(gap: float, required: float) -> tuple[float, float]:
        made = table(result(gap, required))
        has = re.search(r'width="([\d.]+)" height="4" rx="2" class="has"', made)
        needs = re.search(r'd="M([\d.]+) 0V8" class="needs"', made)
        assert has is not None
        assert needs is not None
        return float(has[1]), float(needs[1])

    for gap, required in ((3.0, 6.0), (9.0, 6.0), (20.0, 10.0)):
        has, needs = bar(gap, required)
        assert has / needs == pytest.approx(gap / required, rel=0.01)
    assert bar(9.0, 6.0)[1] == bar(20.0, 10.0)[1]
    assert bar(-3.0, 6.0)[0] == 0.0
    assert bar(600.0, 6.0)[0] == 96.0
    assert 'class="bar"' not in table(result(1.0, 0.0))


def test_more_rows_than_fit_are_asked_for_and_told_of() -> None:
    made = table(*(result(7.5 + i) for i in range(FIRST + 4)))
    assert made.count(' later"') == 4
    assert f"Show all {FIRST + 4}" in words(made)
    least = 7.5 + FIRST - 6.0
    assert f"4 more checks hold with more than {least:.1f} to spare" in words(made)
    assert "later" not in table(*(result(7.5 + i) for i in range(FIRST)))


def test_what_falls_short_is_always_among_the_first() -> None:
    made = table(*(result(i / 10) for i in range(FIRST)), *(result(9.0) for _ in range(9)))
    later = re.findall(r'<tr class="([^"]*)" id', made)
    assert later[:FIRST] == ["short"] * FIRST
    assert "holds later" in later


@pytest.mark.parametrize(
    ("steering", "said"),
    [
        (Steering(180, 180, "nothing"), "nothing stops the bar; checked all the way round."),
        (Steering(70, 70, "headset"), "holds the bar at 70° to each side; checked up to there."),
        (
            Steering(60, 75, "bumper", "down_tube"),
            "the bumper on the down tube stops the fork at 75° to each side; the file asks for 60°",
        ),
    ],
)
def test_how_far_the_bar_turns_and_was_checked(steering: Steering, said: str) -> None:
    assert said in words(table(result(9.0), steering=steering))


def test_what_was_not_checked_is_told_with_its_reason_and_nothing_is_told_as_nothing() -> None:
    made = words(table(unchecked=(Unchecked("heel_to_frame", "Heel", "no shoe in the file"),)))
    assert "Not checked" in made
    assert "no shoe in the file" in made
    assert words(table()) == "Nothing was checked"


def test_a_source_is_told_once_for_each_requirement() -> None:
    made = table(result(9.0), result(9.5), result(9.0, 7.0))
    sources = words(made).partition("where they come from")[2]
    assert sources.count("a standard") == 2
    assert ", 6.0 mm" in sources
    assert ", 7.0 mm" in sources
