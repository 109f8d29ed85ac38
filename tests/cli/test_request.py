"""What is asked for, and the one way in which it is answered."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from frame3d.cli.request import Request, need_tubes, say_faults, sizes, solved
from frame3d.errors import Fault, OutputError, SourceLocation
from tests.report.samples import CONFIGS, HARDTAIL, hardtail_bike, minimal_bike


def request(*swaps: str, as_json: bool = False, quiet: bool = False, **more: Path) -> Request:
    return Request(HARDTAIL, ("geometry.reach=460",), swaps, as_json, quiet, **more)


def test_results_go_beside_the_exports_unless_a_folder_is_given() -> None:
    assert request().folder == Path("exports/trail_hardtail_29")
    assert request(out=Path("there")).folder == Path("there")


def test_one_answer_as_text_or_json_or_none(capsys: pytest.CaptureFixture[str]) -> None:
    def never() -> str:
        raise AssertionError("made in vain")

    request().answer(lambda: {"a": never()}, lambda: "text")
    assert capsys.readouterr().out == "text\n"
    request(as_json=True).answer(lambda: {"a": 1.0}, never)
    assert json.loads(capsys.readouterr().out) == {"a": 1.0}
    request(quiet=True).answer(lambda: {"a": never()}, never)
    assert capsys.readouterr().out == ""
    request(quiet=True, as_json=True).answer(lambda: {"a": 2}, never)
    assert json.loads(capsys.readouterr().out) == {"a": 2}


def test_sets_change_the_design_and_swaps_the_bike_of_it() -> None:
    plain, none = solved(request())
    assert none is None
    assert plain.chart["reach"] == 460
    bike, built = solved(request("build.fork.axle_to_crown = 551"))
    assert built is not None
    assert bike.exchanged == ("build.fork.axle_to_crown",)
    assert bike.frame.spec.geometry.reach == 460
    assert built.before.chart["reach"] == 460
    lifted, before = built.after.chart["stack"], built.before.chart["stack"]
    assert lifted is not None
    assert before is not None
    assert lifted > before  # a longer fork lifts the front


def test_a_file_without_tubes_is_told_what_to_add() -> None:
    need_tubes(hardtail_bike(), "cut")
    with pytest.raises(OutputError) as caught:
        need_tubes(minimal_bike(), "cut", "; or solve it")
    (fault,) = caught.value.faults
    assert "there is nothing to cut" in fault.message
    assert fault.hint.endswith("; or solve it")
    assert fault.place is not None
    assert fault.place.source == str(CONFIGS / "minimal.yaml")


def test_files_are_listed_with_their_sizes(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"x" * 12345)
    (tmp_path / "b").write_bytes(b"")
    first, second = sizes([tmp_path / "a", tmp_path / "b"])
    assert first == f"      12,345 bytes  {tmp_path / 'a'}"
    assert second.split() == ["0", "bytes", str(tmp_path / "b")]


def test_faults_go_to_stderr_and_as_a_document_to_stdout(
    capsys: pytest.CaptureFixture[str],
) -> None:
    place = SourceLocation("bike.yaml", 3, 1, "a: b")
    faults = [Fault("impossible", "a", "one", "do", place), Fault("impossible", "c", "two")]
    say_faults(faults, as_json=False)
    out, err = capsys.readouterr()
    assert out == ""
    assert "bike.yaml:3:1: a: one [impossible]" in err
    assert err.endswith("\n\n2 faults\n")
    say_faults(faults[:1], as_json=True)
    out, err = capsys.readouterr()
    assert [fault["message"] for fault in json.loads(out)["faults"]] == ["one"]
    assert "faults" not in err


def test_no_bar_where_nothing_may_be_said() -> None:
    for quiet, as_json in ((True, False), (False, True), (False, False)):
        with request(quiet=quiet, as_json=as_json).bar() as progress:
            progress("half", 0.5)  # pytest's stderr is no terminal: none is shown, none is missed
