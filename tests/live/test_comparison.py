"""The table of two bikes: results first, then what their files say; what falls short is said."""

from __future__ import annotations

import re

import pytest

from frame3d.live.comparing.comparison import Gap, Measured, comparison
from frame3d.live.comparing.sides import Side
from frame3d.live.solved_text import SolvedText, difference, exchanged, good
from frame3d.report.texts import texts
from tests.live.serving import SMALL

TEXT = SMALL.read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def old() -> SolvedText:
    return good(TEXT, "old.yaml")


def table(
    a: SolvedText, b: SolvedText, measured: tuple[Measured | None, Measured | None] = (None, None)
) -> str:
    known = dict(zip((id(a), id(b)), measured, strict=True))
    sides = Side("A & B", a), Side("other", b)
    return str(comparison(sides, difference(a, b), lambda solved: known[id(solved)], texts()))


def heads(markup: str) -> list[str]:
    return re.findall(r'<tr><th scope="col">([^<]*)</th>', markup)


def test_results_come_first_and_the_file_s_values_last(old: SolvedText) -> None:
    new = good(TEXT.replace("bb_drop: 62", "bb_drop: 60"), "new.yaml")
    gaps = (
        Measured({"rear_tyre_to_frame": Gap("", 9.0, 6.0, "mm")}, 1500.0),
        Measured({"rear_tyre_to_frame": Gap("", 5.25, 6.0, "mm")}, 1512.3),
    )
    shown = table(old, new, gaps)
    assert heads(shown) == ["Figure", "Figure at sag", "Smallest gap", "Mass", "In the file"]
    assert "A &amp; B" in shown
    assert "<td>9.00 mm</td><td>5.25 mm <span" in shown
    assert "less than 6.00 mm" in shown
    assert "<td>1500 g</td><td>1512 g</td>" in shown
    assert "geometry.bb_drop" in shown
    # At sag it is not the same change: the fork's sag tips the bike.
    rows = re.findall(r"Bottom bracket (?:drop|height).*?</tr>", shown)
    assert len(rows) == 4


def test_contact_points_are_told_where_they_move(old: SolvedText) -> None:
    """A stem 10 mm longer on the same bike: the grips alone move."""
    short, long = (
        good(TEXT.replace("build:\n", f"build:\n  stem: {{length: {length}}}\n"), "new.yaml")
        for length in (45, 55)
    )
    shown = table(short, long)
    assert heads(shown) == ["Contact points", "In the file"]
    assert "Bottom bracket to grips, level" in shown
    assert "Saddle behind" not in shown


def test_gaps_wait_until_both_bikes_are_measured(old: SolvedText) -> None:
    new = good(TEXT.replace("bb_drop: 62", "bb_drop: 60"), "new.yaml")
    assert heads(table(old, new, (Measured({}, None), None))) == [
        "Figure",
        "Figure at sag",
        "In the file",
    ]


def test_a_check_that_one_of_them_has_is_shown_and_equal_gaps_are_not(old: SolvedText) -> None:
    a = Measured({"x": Gap("Mine", 1.0, 0.0, "mm"), "same": Gap("Same", 1.0, 0.0, "mm")}, 1500.0)
    b = Measured({"same": Gap("Same", 1.004, 0.0, "mm")}, 1500.4)
    shown = table(old, good(TEXT, "new.yaml"), (a, b))
    assert heads(shown) == ["Smallest gap"]
    assert "Mine</th><td>1.00 mm</td><td>–</td>" in shown
    assert "Same" not in shown


def test_an_exchange_is_a_change_of_the_file_s_value(old: SolvedText) -> None:
    new = exchanged(old, ("build.fork.axle_to_crown=551",), "old.yaml")
    shown = table(old, new)
    assert '<th scope="row">build.fork.axle_to_crown</th><td>535</td><td>551</td>' in shown
    assert heads(shown)[-1] == "In the file"


def test_equal_bikes_and_missing_ones(old: SolvedText) -> None:
    assert "No difference from: A &amp; B" in table(old, old)
    none = str(comparison((None, Side("x", old)), None, lambda _: None, texts()))
    assert "There is no other version yet" in none
