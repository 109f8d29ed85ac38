"""What a file may hold: as the README says; one more is refused at its line, before anything is solved."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from frame3d.parameters.reading.reader import MAX_BYTES
from frame3d.parameters.reading.tree import MAX_DEPTH, MAX_VALUES
from tests.hardening.running import ROOT, SMALL, is_fault, run

TEXT = SMALL.read_text(encoding="utf-8")
TUBES = 4


def _tubes(count: int) -> str:
    rows = [
        f"  brace_{i}: {{start: {{on: seat_tube, below_top: {60 + 5 * i}}}, "
        f"end: {{on: down_tube, from_start: {60 + 8 * i}}}, od: 4, wall: 0.8}}"
        for i in range(count - TUBES)
    ]
    return TEXT + "\n".join(rows) + "\n"


def _bodies(count: int) -> str:
    rows = [
        f"    box_{i}: {{kind: box, size: [8, 8, 8], at: [{9 * i}, 0, 900]}}" for i in range(count)
    ]
    return TEXT.replace("\nbuild:\n", "\nbuild:\n  bodies:\n" + "\n".join(rows) + "\n")


def _extra(count: int) -> str:
    row = "  - {between: [front_tyre, down_tube], gap: %d}"
    return TEXT + "clearance:\n extra:\n" + "\n".join(row % i for i in range(count)) + "\n"


def _bottles(count: int) -> str:
    rows = "\n".join("  - {on: down_tube, from_start: 200}" for _ in range(count))
    return TEXT.replace("\nbuild:\n", f"\nbuild:\n  bottles:\n{rows}\n")


MANY = {
    "tubes": (_tubes, 60),
    "bodies": (_bodies, 30),
    "extra": (_extra, 60),
    "bottles": (_bottles, 12),
}


@pytest.mark.parametrize("what", MANY)
def test_one_more_than_a_file_may_hold_is_refused_at_its_line(what: str, tmp_path: Path) -> None:
    make, most = MANY[what]
    file = tmp_path / "many.yaml"
    file.write_text(make(most + 1), encoding="utf-8")
    ended = run("solve", file)
    assert is_fault(ended, file), ended
    assert f"{what}: {most + 1} values, at most {most} fit" in ended.err
    assert re.search(rf"{re.escape(str(file))}:\d+:\d+: ", ended.err)
    file.write_text(make(most), encoding="utf-8")
    assert "at most" not in run("solve", file).err


def test_sixty_tubes_are_solved(tmp_path: Path) -> None:
    file = tmp_path / "sixty.yaml"
    file.write_text(_tubes(60), encoding="utf-8")
    assert run("solve", file).status == 0


def test_the_readme_says_what_a_file_may_hold() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    said = next(line for line in readme.splitlines() if line.startswith("A file may hold"))
    numbers = {int(n.replace(",", "")) for n in re.findall(r"\d[\d,]*", said)}
    limits = {most for _, most in MANY.values()}
    assert {*limits, MAX_BYTES >> 20, MAX_VALUES, MAX_DEPTH, 40, 16} <= numbers
