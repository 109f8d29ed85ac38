"""The commands as a user meets them: exit statuses, what goes to stdout and stderr, no traceback."""

from __future__ import annotations

import json
import os
import pty
import re
import subprocess
import sys
from pathlib import Path

import pytest

from frame3d.caution import CAUTION
from frame3d.cli import commands, solving
from frame3d.parameters.models.base import NODE_NAMES
from frame3d.parameters.models.figures import FIGURES
from frame3d.version import __version__
from tests.hardening.running import SMALL

CONFIGS = Path(__file__).parents[2] / "configs"
HARDTAIL = str(CONFIGS / "trail_hardtail_29.yaml")
MINIMAL = str(CONFIGS / "minimal.yaml")


def run(capsys: pytest.CaptureFixture[str], *args: str) -> tuple[int, str, str]:
    """Exit status, stdout and stderr of a command, in this process."""
    with pytest.raises(SystemExit) as left:
        commands.main(args)
    out = capsys.readouterr()
    code = left.value.code
    assert isinstance(code, int)
    return code, out.out, out.err


def test_version(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(capsys, "--version") == (0, f"frame3d, version {__version__}\n", "")


@pytest.mark.parametrize("command", sorted(commands.frame3d.commands))
def test_help_names_no_bound_that_is_not_there(
    capsys: pytest.CaptureFixture[str], command: str
) -> None:
    code, out, err = run(capsys, command, "--help")
    assert (code, err) == (0, "")
    assert "None" not in out


def test_solve_prints_every_figure_and_the_caution(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = run(capsys, "solve", HARDTAIL)
    assert (code, err) == (0, "")
    for name in (
        "Reach",
        "Stack",
        "Head tube angle",
        "Trail",
        "Wheel flop",
        "Standover at mid-tube",
    ):
        assert f"{name} [" in out
    assert "at sag" in out
    assert "weight on the front wheel" in out
    assert out.rstrip().endswith(CAUTION)


def test_solve_json_is_one_document_with_chart_nodes_and_units(
    capsys: pytest.CaptureFixture[str],
) -> None:
    code, out, err = run(capsys, "solve", HARDTAIL, "--json")
    assert (code, err) == (0, "")
    document = json.loads(out)
    assert list(document["chart"]) == list(FIGURES)
    for node in NODE_NAMES:
        assert len(document["nodes"][node]) == 3
    assert document["units"]["chart"]["head_tube_angle"] == "degrees"
    assert document["units"]["nodes"] == "mm"
    assert "as_built" not in document
    assert document["chart"]["reach"] == 455


def test_the_same_input_gives_the_same_bytes(capsys: pytest.CaptureFixture[str]) -> None:
    arguments = ("solve", HARDTAIL, "--json", "--sensitivity", "--swap", "build.fork.offset=37")
    assert run(capsys, *arguments) == run(capsys, *arguments)


def test_swap_answers_as_built_and_set_as_design(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = run(capsys, "solve", HARDTAIL, "--json", "--swap", "build.fork.axle_to_crown=551")
    swapped = json.loads(out)
    assert swapped["as_built"]["before"]["head_tube_angle"] == 65.5
    assert swapped["chart"] == swapped["as_built"]["chart"]
    change = swapped["as_built"]["change"]
    assert change["head_tube_angle"] < 0 < change["bb_height"]
    assert change["head_tube_length"] == pytest.approx(0, abs=1e-9)
    _, out, _ = run(capsys, "solve", HARDTAIL, "--json", "--set", "build.fork.axle_to_crown=551")
    design = json.loads(out)
    assert design["chart"]["head_tube_angle"] == 65.5
    assert design["chart"]["head_tube_angle"] > swapped["chart"]["head_tube_angle"]


def test_a_swap_of_the_frame_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = run(capsys, "solve", HARDTAIL, "--swap", "geometry.reach=470")
    assert (code, out) == (2, "")
    assert "--swap geometry.reach=470" in err
    assert "use --set" in err


def test_sensitivity_has_both_questions(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = run(capsys, "solve", HARDTAIL, "--json", "--sensitivity")
    both = json.loads(out)["sensitivity"]
    # Ten millimetres more fork on the same frame: about half a degree slacker (common practice, no
    # source).
    slope = both["as_built"]["build.fork.axle_to_crown"]["change"]["head_tube_angle"]
    assert -0.6 < 10 * slope < -0.3
    assert both["design"]["geometry.reach"]["change"]["wheelbase"] == pytest.approx(1)
    _, table, _ = run(capsys, "solve", HARDTAIL, "--sensitivity")
    assert "Design: " in table
    assert "As built: " in table


def test_a_fault_goes_to_stderr_with_its_line_and_status_2(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    file = tmp_path / "bad.yaml"
    file.write_text(Path(MINIMAL).read_text().replace("reach:", "reech:"))
    code, out, err = run(capsys, "solve", str(file))
    assert (code, out) == (2, "")
    assert f"{file}:6:3" in err
    assert "did you mean reach?" in err
    assert "Traceback" not in err


def test_a_fault_with_json_is_a_document_too(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    code, out, err = run(capsys, "solve", str(tmp_path / "none.yaml"), "--json")
    assert code == 2
    assert json.loads(out)["faults"][0]["code"] == "file-missing"
    assert "no such file" in err


def begun(tmp_path: Path) -> Path:
    """A file without chainstay length."""
    file = tmp_path / "open.yaml"
    lines = Path(MINIMAL).read_text().splitlines(keepends=True)
    file.write_text("".join(x for x in lines if "chainstay_length" not in x))
    return file


def test_missing_figures_are_named(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    code, _, err = run(capsys, "solve", str(begun(tmp_path)))
    assert code == 2
    assert "geometry.wheelbase" in err
    assert "geometry.chainstay_length" in err


def test_what_too_few_figures_settle_is_printed(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    file = begun(tmp_path)
    code, out, err = run(capsys, "solve", str(file))
    assert code == 2
    assert "- Wheelbase [mm]: chainstay_length" in out
    assert "Stack [mm]" in out
    assert run(capsys, "solve", str(file), "-q") == (2, "", err)
    assert run(capsys, "check", str(file)) == (2, "", err)


def test_what_too_few_figures_settle_as_json(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    whole = json.loads(run(capsys, "solve", MINIMAL, "--json")[1])["chart"]
    code, out, err = run(capsys, "solve", str(begun(tmp_path)), "--json")
    document = json.loads(out)
    assert code == 2
    assert document["faults"][0]["code"] == "under-determined"
    assert "under-determined" in err
    partial = document["partial"]
    assert partial["missing"] == 1
    assert partial["open"] == {
        "chainstay_length": ["geometry.wheelbase"],
        "wheelbase": ["geometry.chainstay_length"],
    }
    assert partial["settled"]["trail"] == pytest.approx(whole["trail"], abs=2e-9)


def test_figures_that_no_bicycle_has_settle_nothing(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    file = tmp_path / "no_bicycle.yaml"
    file.write_text("format: 1\nname: A\ngeometry: {bb_drop: 300, chainstay_length: 250}\n")
    code, out, _ = run(capsys, "solve", str(file))
    assert code == 2
    assert out.startswith("No bicycle was found")
    assert json.loads(run(capsys, "solve", str(file), "--json")[1])["partial"] is None


def test_quiet_says_nothing(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(capsys, "solve", MINIMAL, "-q") == (0, "", "")


def test_build_without_tubes_is_a_fault(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    code, _, err = run(capsys, "build", MINIMAL, "-o", str(tmp_path / "out"))
    assert code == 2
    assert "no tubes" in err
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("at", "words"),
    [
        ("rear=50%", "no rear suspension"),
        ("rear=sag,steer=20", "no rear suspension"),
        ("steer=0,raer=3", "did you mean rear"),
    ],
)
def test_build_at_a_pose_that_the_bike_cannot_take(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, at: str, words: str
) -> None:
    """One message that names the option; nothing is made."""
    code, out, err = run(capsys, "build", HARDTAIL, "--at", at, "-o", str(tmp_path / "out"))
    assert (code, out) == (2, "")
    assert err.startswith(f"--at {at}: ")
    assert words in err
    assert err.count("--at") == 1
    assert not (tmp_path / "out").exists()


def test_new_writes_a_starter_that_solves_and_never_overwrites(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    file = tmp_path / "my_bike.yaml"
    code, out, _ = run(capsys, "new", str(file))
    assert code == 0
    assert str(file) in out
    assert run(capsys, "solve", str(file), "-q") == (0, "", "")
    before = file.read_bytes()
    code, _, err = run(capsys, "new", str(file))
    assert code == 2
    assert str(file) in err
    assert file.read_bytes() == before


def test_new_with_rear_suspension(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    file = tmp_path / "my-full_bike.yaml"
    code, out, err = run(capsys, "new", str(file), "--suspension", "twin-link")
    assert (code, out) == (2, "")
    assert "single-pivot" in err
    assert not file.exists()
    assert run(capsys, "new", str(file), "--suspension", "single-pivot", "-q") == (0, "", "")
    code, out, _ = run(capsys, "solve", str(file), "--travel")
    assert code == 0
    assert out.startswith("My full bike\n")
    assert "Rear suspension over its travel" in out


def test_where_nothing_was_checked_nothing_is_said_to_hold(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    file = str(CONFIGS / "minimal.yaml")
    for command in (["check", file], ["report", file, "-o", str(tmp_path)]):
        status, out, _ = run(capsys, *command)
        assert status == 0
        assert "no check made: nothing is known of any clearance; " in out
        assert "hold" not in out
        assert "falls short" not in out
    page = (tmp_path / "report.html").read_text(encoding="utf-8")
    assert "Nothing was checked" in page
    assert "checks hold" not in re.sub(r"<script.*?</script>", "", page, flags=re.DOTALL)


def test_the_mass_says_what_it_leaves_out(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = run(capsys, "solve", str(CONFIGS / "trail_full_140.yaml"), "--mass")
    assert "Without dropouts and hardware of the pivots, which `build` weighs too." in out


def test_schema_is_json(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = run(capsys, "schema")
    assert out == (CONFIGS / "frame3d.schema.json").read_text()


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_completion_scripts(capsys: pytest.CaptureFixture[str], shell: str) -> None:
    code, out, _ = run(capsys, "completion", shell)
    assert code == 0
    assert "_FRAME3D_COMPLETE" in out


def test_completion_completes_commands() -> None:
    found = subprocess.run(
        [
            sys.executable,
            "-c",
            "from frame3d.cli.commands import frame3d; frame3d(prog_name='frame3d')",
        ],
        env={
            **os.environ,
            "_FRAME3D_COMPLETE": "bash_complete",
            "COMP_WORDS": "frame3d s",
            "COMP_CWORD": "1",
        },
        capture_output=True,
        text=True,
        check=True,
    )
    assert found.stdout.split() == ["plain,schema", "plain,sizes", "plain,solve", "plain,stiffness"]


def test_an_unknown_option_is_status_2(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = run(capsys, "solve", MINIMAL, "--colour")
    assert (code, out) == (2, "")
    assert "No such option" in err


def test_a_defect_of_our_own_shows_no_traceback(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError("boom")

    monkeypatch.setattr(solving, "solved", broken)
    code, out, err = run(capsys, "solve", MINIMAL)
    assert (code, out) == (70, "")
    assert "ZeroDivisionError: boom" in err
    assert "Traceback" not in err


def test_a_closed_pipe_is_no_error() -> None:
    command = f"{sys.executable} -m frame3d solve {HARDTAIL} --json --sensitivity | head -c 10"
    done = subprocess.run(
        ["bash", "-o", "pipefail", "-c", command], capture_output=True, text=True, check=False
    )
    assert (done.stderr, len(done.stdout)) == ("", 10)


def test_build_writes_every_file_and_says_so(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    code, out, err = run(capsys, "build", str(SMALL), "-o", str(tmp_path), "--json")
    assert (code, err) == (0, "")
    document = json.loads(out)
    names = {"frame.step", "frame.stl", "frame.3mf", "frame.glb", "assembly.step", "geometry.json"}
    assert names <= {Path(f).name for f in document["files"]}
    assert names <= {p.name for p in tmp_path.iterdir()}
    assert json.loads((tmp_path / "geometry.json").read_text())["chart"] == document["chart"]


def test_separators_in_a_bikes_name_lead_into_no_other_folder(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    name = r"29/27.5 a/../../../x \..\..\y"
    home = tmp_path / "a" / "b"
    home.mkdir(parents=True)
    tubes = """tubes:
  head_tube: {od: 44, wall: 2}
  seat_tube: {od: 34.9, wall: 1.2}
  top_tube:
    {od: 32, wall: 1, start: {on: seat_tube, from_end: 30}, end: {on: head_tube, from_start: 30}}
"""
    file = home / "bike.yaml"
    file.write_text(Path(MINIMAL).read_text(encoding="utf-8").replace("Twenty lines", name) + tubes)
    monkeypatch.chdir(home)
    for command in ("solve", "check", "build", "fabricate", "report", "mockup"):
        more = ["--with", "frame", "--no-stand"] if command == "mockup" else []
        code, _, said = run(capsys, command, file.name, "-q", *more)
        assert (code, said) == (0, ""), command
    out = home / "exports" / "bike"
    written = {
        p.relative_to(out).as_posix() for p in tmp_path.rglob("*") if p.is_file() and p != file
    }
    kinds = {
        "frame.step",
        "drawing.dxf",
        "templates/top_tube.svg",
        "report.html",
        "mockup/plate_1.3mf",
    }
    assert kinds <= written
    assert not any("27.5" in p or ".." in p or "\\" in p for p in written)
    header = (out / "frame.step").read_text(encoding="ascii").partition("DATA;")[0]
    assert "FILE_NAME('29-27.5 a-..-..-..-x -..-..-y'," in header
    assert json.loads((out / "geometry.json").read_text(encoding="utf-8"))["name"] == name


def test_a_terminal_sees_a_progress_bar_and_a_pipe_none(tmp_path: Path) -> None:
    leader, follower = pty.openpty()
    code = "from frame3d.progress import bar\nwith bar(False) as p: p('cutting tubes', 0.5)"
    subprocess.run([sys.executable, "-c", code], stderr=follower, check=True)
    os.close(follower)
    seen = os.read(leader, 65536).decode()
    os.close(leader)
    assert "cutting tubes" in seen
    piped = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True)
    assert piped.stderr == b""


def test_a_feature_that_is_left_out_is_told_by_solve_and_check_alike(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """On the screen and as JSON: the checks hold for the bike without it."""
    boss = "tubes.down_tube.features={hose: {kind: port, from_start: 300, angle: 0, width: 45}}"
    said = "tubes.down_tube.features.hose: "
    for verb in ("solve", "check"):
        _, out, _ = run(capsys, verb, HARDTAIL, "--set", boss)
        assert said in out, verb
    _, out, _ = run(capsys, "check", HARDTAIL, "--set", boss, "--json")
    (warning,) = [one for one in json.loads(out)["warnings"] if one["path"] in said]
    assert warning["code"] == "warning"
