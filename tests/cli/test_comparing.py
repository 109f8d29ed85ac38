"""``frame3d compare``: exit status, faults by name, and the same as text and as JSON."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from frame3d import variant
from tests.family.files import SIZES, family_file
from tests.hardening.running import run


@pytest.fixture
def file(tmp_path: Path) -> str:
    return family_file(tmp_path)


def test_sizes_of_a_file(file: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "120")
    ended = run("compare", file, "--size", "all", "--figures-only")
    assert ended.status == 0
    heads = [line.split() for line in ended.out.splitlines() if line.startswith("As drawn")]
    assert heads[0] == ["As", "drawn", *SIZES]
    reach = next(line for line in ended.out.splitlines() if line.startswith("Reach [mm]"))
    assert reach.split()[2:] == ["430.0", "445.0", "460.0", "475.0", "490.0"]
    assert "Falls short" not in ended.out


def test_the_same_as_data(file: str) -> None:
    ended = run("compare", f"{file}:S", f"{file}:S+long", "--json")
    said = json.loads(ended.out)
    assert [bike["label"] for bike in said["bikes"]] == ["S drawn", "S long"]
    assert said["bikes"][1]["settings"] == ["long"]
    assert ended.status == (0 if said["ok"] else 1)
    short = [result for bike in said["bikes"] for result in bike["checks"] if not result["ok"]]
    assert bool(short) != said["ok"]
    longer = variant(file, size="S", settings=["long"])
    changes = {(c["of"], c["name"]): c for c in said["differences"]["S long"]}
    trail = changes["figure", "trail"]
    assert trail["after"] == pytest.approx(longer.chart["trail"], abs=1e-8)
    assert trail["change"] == pytest.approx(trail["after"] - trail["before"], abs=2e-9)
    assert trail["says"].endswith("the front straightens itself more strongly.")
    assert (said["against"], said["size_table"]["columns"]) == ("S drawn", ["S drawn", "S long"])
    assert "frame_g" in said["bikes"][0]


def test_figures_alone_as_data(file: str) -> None:
    said = json.loads(run("compare", file, "--size", "all", "--figures-only", "--json").out)
    assert said["ok"] is None
    assert "checks" not in said["bikes"][0]
    assert {c["of"] for own in said["differences"].values() for c in own} == {"figure", "sagged"}


def test_one_that_cannot_be_made_is_told_and_the_others_come(file: str) -> None:
    ended = run("compare", f"{file}:S", f"{file}:M", f"{file}:XXXL", "--figures-only", "--json")
    assert ended.status == 2
    assert "XXXL" in ended.err
    said = json.loads(ended.out)
    assert [bike["label"] for bike in said["bikes"]] == ["S", "M"]
    fault = said["missing"]["XXXL"]["faults"][0]
    assert (fault["source"], fault["line"] is not None) == (file, True)


def test_one_alone_and_too_many_are_refused(file: str) -> None:
    ended = run("compare", file)
    assert (ended.status, "one bike is nothing to compare" in ended.err) == (2, True)
    ended = run("compare", *[file] * 9)
    assert (ended.status, "9 bikes; at most 8" in ended.err) == (2, True)
    assert run("compare").status == 2


def test_quiet_says_nothing(file: str) -> None:
    ended = run("compare", file, "--swap", "build.fork.offset=40", "--figures-only", "-q")
    assert (ended.status, ended.out, ended.err) == (0, "", "")


def test_a_longer_fork_does_what_everyone_knows(file: str) -> None:
    """Directions of the trade (common practice, no source), in figures and in words."""
    swap = ("--swap", "build.fork.axle_to_crown=555")
    ended = run("compare", f"{file}:M", *swap, "--figures-only", "--json")
    said = json.loads(ended.out)
    changes = {
        c["name"]: (c["change"], c["says"])
        for c in said["differences"]["M fork.axle_to_crown=555"]
        if c["of"] == "figure"
    }
    for figure, sign, word in (
        ("head_tube_angle", -1, "slacker"),
        ("effective_seat_tube_angle", -1, "further back"),
        ("reach", -1, "less room"),
        ("stack", 1, "higher"),
        ("trail", 1, "more strongly"),
        ("wheelbase", 1, "straighter"),
        ("bb_height", 1, "off roots"),
        ("bb_drop", -1, "higher against the axles"),
    ):
        change, words = changes[figure]
        assert change * sign > 0, figure
        assert word in words
    # Lengths that are the frame's own stay.
    assert not {"head_tube_length", "seat_tube_length", "chainstay_length"} & changes.keys()


def test_a_file_that_is_not_there_is_named_once(file: str, tmp_path: Path) -> None:
    lost = str(tmp_path / "lost.yaml")
    ended = run("compare", file, lost)
    assert ended.status == 2
    assert ended.err.startswith(f"{lost}: there is no such file")
