"""The command `frame3d explore`: its files, its answer, going on where it was stopped."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

import frame3d
from frame3d.cli.commands import main
from tests.explore.study.faults import HARDTAIL

STUDY = """\
format: 1
bike: bike.yaml
vary: {geometry.head_tube_angle: {from: 64, to: 67}}
wishes: {trail: {from: 112, to: 113}}
"""


@pytest.fixture
def study(tmp_path: Path) -> Path:
    (tmp_path / "bike.yaml").write_text(HARDTAIL, "utf-8")
    file = tmp_path / "study.yaml"
    file.write_text(STUDY, "utf-8")
    return file


def run(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    with pytest.raises(SystemExit) as left:
        main(["explore", *words])
    said = capsys.readouterr()
    assert isinstance(left.value.code, int)
    return left.value.code, said.out, said.err


def test_files_answer_and_going_on(study: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = study.parent / "out"
    words = (str(study), "-o", str(out), "--engine", "serial", "--keep", "1", "--designs", "40")
    status, text, _ = run(capsys, *words)
    assert status == 0
    assert "of the best 1, " in text
    assert "trail [mm]" in text
    assert "112 to 113" in text
    assert {f.name for f in out.iterdir()} >= {
        "bike_1.yaml", "designs.csv", "designs.sqlite", "explore.html",
    }  # fmt: skip
    best = frame3d.solve(frame3d.load(out / "bike_1.yaml"))
    assert best.chart["trail"] is not None
    assert 112 <= best.chart["trail"] <= 113
    table = (out / "designs.csv").read_bytes()
    status, text, _ = run(capsys, *words, "--json")
    found = json.loads(text)
    assert (status, found["evaluated"]) == (0, 0)
    assert found["designs"] > 0
    assert found["best"][0]["values"]["trail"] == pytest.approx(best.chart["trail"], abs=1e-6)
    assert (out / "designs.csv").read_bytes() == table
    _, text, _ = run(capsys, *words, "--json", "--fresh")
    assert json.loads(text)["evaluated"] > 0


def test_none_found_is_status_1_and_says_what_blocks(
    study: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    study.write_text(
        STUDY + "  gap: {pedal_to_ground: {from: 60}}\n".replace("  gap", "# gap"), "utf-8"
    )
    study.write_text(
        STUDY.replace("{trail:", "{gap: {pedal_to_ground: {from: 60}}, trail:"), "utf-8"
    )
    out = study.parent / "out"
    status, text, _ = run(
        capsys, str(study), "-o", str(out), "--engine", "serial", "--designs", "3"
    )
    assert status == 1
    assert "none meets every wish" in text
    assert "the nearest one" in text
    assert "gap.pedal_to_ground stopped" in text


def test_faults_of_the_study_and_of_the_engine(
    study: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status, _, err = run(capsys, str(study), "--engine", "abacus", "-o", str(study.parent / "o"))
    assert status == 2
    assert "no engine 'abacus'" in err
    study.write_text(STUDY.replace("trail", "trial"), "utf-8")
    status, _, err = run(capsys, str(study))
    assert status == 2
    assert "study.yaml:4:10: wishes.trial" in err
