"""Whole files with rear suspension that cannot move as described: where it happens, and the way out.

The mechanism's own faults are in tests/linkage/test_solve.py, flips inside the stroke in test_deadpoint.py there.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from frame3d.bike.solve import solve
from frame3d.cli import commands
from frame3d.errors import LinkageError
from frame3d.parameters import loads
from frame3d.parameters.starters.starter import starter

TEXT = starter("My bike", "four-bar")
TRAVEL = ("    - {point: rocker_shock, coordinate: above, to_meet: travel}\n", "")
FIT = ("    - {point: shock_front, coordinate: from_start, to_meet: eye_to_eye}\n", "")
CASES = {
    "a link too many": (
        (("    rocker: [", "    brace: [main_pivot, rocker_rear]\n    rocker: ["),),
        ("mechanism", "suspension.links", "lock at stroke 0 mm: mobility 0", "take a pivot away"),
    ),
    "a loose link": (
        (("    rocker: [", "    tail: [rocker_shock]\n    rocker: ["),),
        ("mechanism", "suspension.links.tail", "mobility 2 where 1 is wanted", "one more pivot"),
    ),
    "a stroke past the dead point": (
        (TRAVEL, ("  travel: 140 ", "  # "), ("size: 210x52.5", "eye_to_eye: 210, stroke: 100"),
         ("volume_cm3: 120", "volume_cm3: 200")),
        ("shock", "suspension.shock", "mm of 100 the linkage locks", "a stroke of less than 95"),
    ),
    "a shock that does not fit": (
        (FIT, ("from_start: 316,", "from_start: 340,")),
        ("shock", "suspension.shock.size", "at stroke 0 mm shock_front and rocker_shock are",
         "{point: rocker_shock, coordinate: forward, to_meet: eye_to_eye}"),
    ),
    "a shock that cannot fit": (
        (TRAVEL, ("  travel: 140 ", "  # "), ("size: 210x52.5", "eye_to_eye: 100, stroke: 40")),
        ("shock", "suspension.solve_for.0", "does not make eye_to_eye 100 mm: nearest is", "another"),
    ),
    "a travel that is not met": (
        (TRAVEL, ("travel: 140 ", "travel: 150 ")),
        ("travel", "suspension.travel", "at the end of the stroke, 52.5 mm, the travel is 139.2 mm",
         "{point: rocker_shock, coordinate: forward, to_meet: travel}"),
    ),
    "a travel out of reach": (
        (FIT, ("from_start: 316,", "from_start: 317.443,"), ("travel: 140 ", "travel: 400 ")),
        ("travel", "suspension.solve_for.0", "mm at the end of the stroke, with above", "another"),
    ),
}  # fmt: skip


def changed(changes: tuple[tuple[str, str], ...]) -> str:
    text = TEXT
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


@pytest.mark.parametrize("name", CASES)
def test_faults(name: str) -> None:
    changes, (code, path, message, hint) = CASES[name]
    with pytest.raises(LinkageError) as caught:
        solve(loads(changed(changes), "my_bike.yaml"))
    (found,) = caught.value.faults
    assert (found.code, found.path) == (code, path), found.render()
    assert message in found.message
    assert "stroke" in found.message or "mobility" in found.message
    assert hint in found.hint
    assert found.place is not None
    assert found.place.line is not None


def test_the_way_out_works() -> None:
    """What the hint says to write, written down, solves the bike."""
    changes, (_, _, _, wish) = CASES["a travel that is not met"]
    other = FIT[0].strip(" -\n")
    lines = f"  solve_for:\n    - {wish}\n    - {other}\n"
    text = changed(changes).replace("  solve_for:\n" + FIT[0], lines)
    layout = solve(loads(text))
    assert layout.linkage is not None
    assert layout.linkage.full_travel == pytest.approx(150, abs=1e-6)


def test_the_command_tells_without_a_traceback(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "bike.yaml"
    file.write_text(changed(CASES["a stroke past the dead point"][0]))
    with pytest.raises(SystemExit) as left:
        commands.main(["check", str(file)])
    out, err = capsys.readouterr()
    assert (left.value.code, out) == (2, "")
    assert f"{file}:" in err
    assert "suspension.shock: at stroke" in err
