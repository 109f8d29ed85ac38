from __future__ import annotations

import json
from pathlib import Path

import pytest

from frame3d.caution import CAUTION
from frame3d.cli import commands
from tests.mockup.samples import CONFIGS, HARDTAIL

MINIMAL = CONFIGS / "minimal.yaml"


def run(capsys: pytest.CaptureFixture[str], *args: object) -> tuple[int, str, str]:
    with pytest.raises(SystemExit) as left:
        commands.main([str(a) for a in args])
    out = capsys.readouterr()
    assert isinstance(left.value.code, int)
    return left.value.code, out.out, out.err


def test_what_it_says(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    code, out, err = run(
        capsys, "mockup", HARDTAIL, "--with", "frame", "--scale", "1:8", "-o", tmp_path
    )
    assert (code, err) == (0, "")
    assert out.startswith("Trail hardtail 29 at 1:8: ")
    assert "plate  colour" in out
    assert "Balance: " in out
    assert str(tmp_path / "howto.pdf") in out
    assert out.rstrip().endswith(CAUTION)
    assert (tmp_path / "part_01_frame.stl").exists()


def test_json_is_the_document(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    code, out, err = run(
        capsys, "mockup", HARDTAIL, "--with", "fork", "--no-stand", "--material", "petg", "--json", "-o", tmp_path
    )  # fmt: skip
    assert (code, err) == (0, "")
    document = json.loads(out)
    assert document == json.loads((tmp_path / "mockup.json").read_text())
    assert document["with"] == ["fork"]
    assert document["material"] == {"name": "PETG", "density_g_cm3": 1.27}
    assert document["balance"] is None
    assert [p["name"] for p in document["parts"]] == ["frame", "fork", "steerer"]


def test_faults_are_told_and_nothing_is_written(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    folder = tmp_path / "none"
    code, out, err = run(
        capsys,
        "mockup",
        HARDTAIL,
        "--scale",
        "1:500",
        "--bed",
        "big",
        "--with",
        "weels",
        "-o",
        folder,
    )
    assert (code, out) == (2, "")
    assert "--scale 1:500: '1:500' is out of range for a model [out-of-range]" in err
    assert "--bed big: 'big' is no bed [not-allowed]" in err
    assert "did you mean wheels?" in err
    assert "3 faults" in err
    assert not folder.exists()


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ([MINIMAL], "the file describes no tubes"),
        ([HARDTAIL, "--scale", "1:60"], "leaves nothing printable"),
        ([HARDTAIL, "--scale", "1:30"], "runs into"),
        ([HARDTAIL, "--with", ","], "names no part"),
        ([HARDTAIL, "--length", "300", "--scale", "1:6"], "both say how large"),
        ([HARDTAIL, "--at", "steer=10"], "steers by hand"),
        ([HARDTAIL, "--at", "fork=999"], "this fork's travel"),
        ([HARDTAIL, "--wall", "9"], "--wall"),
        ([HARDTAIL, "--fit", "0"], "0.05<=x<=0.5"),
        ([HARDTAIL, "--fit", "0.6"], "0.05<=x<=0.5"),
        ([HARDTAIL, "--turn", "0"], "0.05<=x<=1.0"),
    ],
)
def test_exit_status_2(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, arguments: list[object], says: str
) -> None:
    code, out, err = run(capsys, "mockup", *arguments, "-o", tmp_path / "x")
    assert (code, out) == (2, "")
    assert says in err
    assert not (tmp_path / "x").exists()


def test_a_name_of_its_own_and_exchanged_parts(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    code, out, _ = run(
        capsys, "mockup", HARDTAIL, "--name", "山地", "--with", "frame",
        "--swap", "build.front_wheel.tyre=57-584", "-o", tmp_path,
    )  # fmt: skip
    assert code == 0
    assert "no name plate" in out
    assert not list(tmp_path.glob("*name_plate*"))
