"""``mockup`` as text: plates with their parts, what was thickened, files."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from frame3d.caution import CAUTION
from frame3d.cli.screen_mockup import summary
from frame3d.formats.writer import WrittenSet


def part(name: str, plate: int, support: float = 0.0) -> dict[str, Any]:
    return {"name": name, "plate": plate, "support": support}


def result(**more: Any) -> dict[str, Any]:
    return {
        "name": "Small bike",
        "ratio": "1:6",
        "envelope": {"length": 281.44, "width": 130.0, "height": 170.06},
        "parts": [part("frame", 1, 1500.0), part("rear_wheel", 2), part("front_wheel", 2, 250.0)],
        "plates": [
            {"number": 1, "colours": ["#4a6b57"], "mass": 41.4},
            {"number": 2, "colours": ["#262628", "#8a8f98"], "mass": 30.6},
        ],
        "mass": 72.0,
        "material": {"name": "PLA"},
        "thickened": [],
        "balance": None,
        "changes": [],
        "notes": [],
    } | more


def files(folder: Path, **more: tuple[Path, ...]) -> WrittenSet:
    made = {"plate_1.3mf": 3000, "mockup.json": 1000, "part_frame.stl": 500, "part_wheel.stl": 700}
    for name, size in made.items():
        (folder / name).write_bytes(b"x" * size)
    return WrittenSet(tuple(folder / name for name in made), **more)


def test_plates_list_their_parts_and_support(tmp_path: Path) -> None:
    text = summary(result(), files(tmp_path))
    lines = text.split("\n")
    assert lines[0] == (
        "Small bike at 1:6: 281.4 x 130.0 x 170.1 mm, 3 parts on 2 plates, 72 g of PLA if printed solid"
    )
    first = next(line for line in lines if line.startswith("1 "))
    second = next(line for line in lines if line.startswith("2 "))
    assert first.split()[1:] == ["#4a6b57", "frame", "41", "1.5"]
    assert "rear wheel, front wheel" in second
    assert second.split()[-2:] == ["31", "0.2"]
    assert text.endswith(CAUTION)


def test_parts_are_counted_and_other_files_named(tmp_path: Path) -> None:
    text = summary(result(), files(tmp_path))
    assert f"       3,000 bytes  {tmp_path / 'plate_1.3mf'}" in text
    assert "       1,200 bytes  2 parts as STL beside them" in text
    assert "part_frame.stl" not in text


@pytest.mark.parametrize("told", [False, True])
def test_balance_thickening_and_notes_are_told_where_there_are_any(
    told: bool, tmp_path: Path
) -> None:
    more: dict[str, Any] = {}
    if told:
        entry = {"part": "seat_stay", "size": "wall", "scaled": 0.15, "printed": 1.2, "by": 1.05}
        balance = {"tips_at": 11.6, "margin": 8.4}
        more = {"thickened": [entry], "balance": balance, "notes": ["the name was shortened"]}
    text = summary(result(**more), files(tmp_path))
    assert ("tipped by 12°; the centre of mass is 8 mm inside" in text) is told
    assert ("- the name was shortened" in text) is told
    assert ("seat stay" in text) is told
    if told:
        row = next(line for line in text.split("\n") if line.startswith("seat stay"))
        assert row.split()[2:] == ["wall", "0.15", "1.20", "1.05"]


def test_files_of_the_run_before_are_told(tmp_path: Path) -> None:
    """Those that are gone, and those that somebody has changed, which stay."""
    gone, changed = tmp_path / "plate_2.3mf", tmp_path / "howto.pdf"
    text = summary(result(), files(tmp_path, removed=(gone,), kept=(changed,)))
    lines = text.split("\n")
    (removed,) = [line for line in lines if str(gone) in line]
    (kept,) = [line for line in lines if str(changed) in line]
    assert "removed" in removed
    assert "removed" not in kept


def test_what_was_made_otherwise_is_told(tmp_path: Path) -> None:
    heading = "Made otherwise so that it prints:"
    text = summary(result(changes=["the stand stands 4 mm further back"]), files(tmp_path))
    assert f"{heading}\n- the stand stands 4 mm further back" in text
    assert heading not in summary(result(), files(tmp_path))
