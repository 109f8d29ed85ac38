"""The command stiffness: tables, document, faults."""

from __future__ import annotations

import json
from pathlib import Path

from click.testing import CliRunner

from frame3d.cli.commands import frame3d
from tests.hardening.running import run

CONFIGS = Path(__file__).parents[2] / "configs"
HARD = str(CONFIGS / "trail_hardtail_29.yaml")


def test_ratios_come_with_bands_and_words() -> None:
    done = CliRunner().invoke(frame3d, ["stiffness", HARD, "--set", "tubes.down_tube.od=41"])
    assert done.exit_code == 0, done.output
    line = next(
        one
        for one in done.output.splitlines()
        if one.startswith("Head tube, sideways") and "to" in one
    )
    assert line.split()[3:] == ["1.16", "1.14", "to", "1.19", "stiffer"]
    assert "Stiffer is not stronger" in done.output
    assert "no claim about strength" in done.output
    assert "Where a gram does most" in done.output


def test_document_holds_cases_frames_and_gains() -> None:
    done = CliRunner().invoke(
        frame3d, ["stiffness", HARD, "--set", "tubes.down_tube.od=41", "--json"]
    )
    data = json.loads(done.output)
    first, second = data["frames"]
    assert "ratios" not in first
    assert second["ratios"]["head_sideways"]["verdict"] == "stiffer"
    for one in data["load_cases"]:
        ratio = second["cases"][one["key"]]["stiffness"] / first["cases"][one["key"]]["stiffness"]
        assert abs(ratio - second["ratios"][one["key"]]["ratio"]) < 1e-6
    assert {gain["size"] for gain in data["gains"]} == {"od", "wall"}
    assert "stress" not in done.output


def test_nothing_is_said_with_quiet_and_no_file_is_a_fault() -> None:
    assert CliRunner().invoke(frame3d, ["stiffness", HARD, "-q"]).output == ""
    ended = run("stiffness")
    assert ended.status == 2
    assert "no bike is named" in ended.err
