"""A comparison on the terminal: tables that fit its width, sentences for two, what falls short where."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

from frame3d.cli.screen_compare import compared, sized
from frame3d.family.measured import measure
from frame3d.family.members import Family, solve_family
from frame3d.family.size_table import size_table
from frame3d.family.wanted import wanted_of
from frame3d.report.texts import texts
from tests.family.files import PLAIN, family_file, written
from tests.hardening.running import ROOT
from tests.report.comparing.samples import sizes
from tests.stiffness.test_of_bike import result

SAY = texts()


def two(tmp_path: Path, *sets: str) -> Family:
    plain = written(tmp_path, "plain.yaml", PLAIN)
    return solve_family(wanted_of([plain], sets=sets))


def test_two_bikes_with_sentences_and_what_falls_short(tmp_path: Path) -> None:
    family = two(tmp_path, "geometry.chainstay_length=400", "build.rider.inseam=600")
    text = compared(family, measure(family), SAY, 100)
    assert text.startswith(
        "drawn: Small bike\n2 changes: Small bike, geometry.chainstay_length=400"
    )
    assert "Differences from drawn" in text
    assert "- Chainstay length −32.0 mm: it lifts the front wheel more easily" in text
    assert "common practice, no source" in text
    stiffness = text.partition("Stiffness over drawn")[2]
    assert "Head tube, sideways" in stiffness
    assert "Rear end, sideways" not in stiffness  # it has no stays
    short = text[text.index("Falls short:") :]
    assert "standover_room" in short.splitlines()[2]


def test_the_same_bike_twice(tmp_path: Path) -> None:
    plain = written(tmp_path, "plain.yaml", PLAIN)
    family = solve_family(wanted_of([plain, plain]))
    text = compared(family, None, SAY, 100)
    assert "No difference from plain." in text
    assert "What that does" not in text
    assert "Falls short" not in text


def test_more_than_two_are_told_in_tables_alone(tmp_path: Path) -> None:
    file = family_file(tmp_path)
    family = solve_family(wanted_of([f"{file}:S", f"{file}:M", f"{file}:S+same"]))
    text = compared(family, None, SAY, 76)
    assert "What that does" not in text
    assert max(len(line) for line in text.splitlines()[3:-1]) <= 76
    reach = next(
        line for line in text[text.index("Differences from") :].splitlines() if "Reach" in line
    )
    assert reach.split()[-2:] == ["+15.00", "0"]


def test_the_size_table_alone(tmp_path: Path) -> None:
    family = solve_family(wanted_of([family_file(tmp_path)], size="all"))
    lines = sized(size_table(family), 200).splitlines()
    assert lines[0].split() == ["As", "drawn", "S", "M", "L", "XL", "XXL"]
    assert any(line.startswith("At sag") for line in lines)


def test_where_nothing_can_be_checked(tmp_path: Path) -> None:
    minimal = str(ROOT / "configs" / "minimal.yaml")
    family = solve_family(wanted_of([minimal], sets=["geometry.reach=470"]))
    text = compared(family, measure(family), SAY, 100)
    assert "drawn: no check made" in text
    assert "Tubes, shell and housings" not in text


def test_ratios_of_stiffness_with_their_words() -> None:
    made = sizes()
    frames = (result("hardtail"), None, result("adventure"))
    measured = [
        replace(one, stiffness=frame) for one, frame in zip(made.measured, frames, strict=True)
    ]
    text = compared(made.family, measured, SAY, 100)
    table = text[text.index("Stiffness over S drawn") : text.index("Falls short:")]
    assert re.search(r"\nHead tube, sideways +– +0\.9\d not told apart\n", table)
    assert re.search(r"\nRear end, sideways +– +0\.6\d less stiff\n", table)
    assert "Stiffer is not stronger" in table
