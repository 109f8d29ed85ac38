"""Commands that write: what an earlier run has left is put right first, and what becomes of it is told."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from frame3d.formats.journal import FORMAT, JOURNAL, WORK, check_sum
from frame3d.formats.writer import write
from frame3d.live import app
from tests.hardening.running import SMALL, Ended, run
from tests.report.samples import CONFIGS
from tests.ride.springs.bikes import text as sprung

BRACE = """
  {name}:
    start: {{on: top_tube, from_start: 150}}
    end: {{on: down_tube, from_start: 250}}
    od: 16
    wall: 0.8
"""


def killed(folder: Path) -> None:
    """A run that put one file of two before it was killed."""
    write({"one.txt": b"old", "two.txt": b"old"}, folder)
    names = ("one.txt", "two.txt")
    put = [{"name": name, "sha256": check_sum(b"new"), "replaces": True} for name in names]
    (folder / WORK).mkdir()
    (folder / WORK / JOURNAL).write_text(json.dumps({"format": FORMAT, "put": put, "remove": {}}))
    (folder / "one.txt").write_bytes(b"new")
    (folder / WORK / "new-1").write_bytes(b"new")


def is_settled(folder: Path) -> bool:
    files = {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}
    return files == {"one.txt": b"new", "two.txt": b"new"} and not (folder / WORK).exists()


@pytest.mark.parametrize("verb", ["build", "fabricate", "mockup", "report"])
def test_what_a_killed_run_has_left_is_put_right_even_where_the_file_is_bad(
    verb: str, tmp_path: Path
) -> None:
    killed(tmp_path / "out")
    (tmp_path / "bad.yaml").write_text("format: [")
    assert run(verb, tmp_path / "bad.yaml", "-o", tmp_path / "out").status == 2
    assert is_settled(tmp_path / "out")


def test_a_report_is_for_the_builder_unless_it_is_for_the_rider(tmp_path: Path) -> None:
    pages = {}
    for whom, asked in (("", []), ("builder", ["--for", "builder"]), ("rider", ["--for", "rider"])):
        assert (
            run("report", CONFIGS / "minimal.yaml", *asked, "-o", tmp_path / whom, "-q").status < 2
        )
        pages[whom] = (tmp_path / whom / "report.html").read_text(encoding="utf-8")
    assert pages[""] == pages["builder"]
    assert 'id="clearances"' in pages["builder"]
    assert 'id="clearances"' not in pages["rider"]
    assert run("report", CONFIGS / "minimal.yaml", "--for", "nobody").status == 2


def test_the_workspace_puts_right_its_folder_and_the_files(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for folder in ("files", "out"):
        killed(tmp_path / folder)
    monkeypatch.setattr(app, "run", lambda *_, **__: None)
    done = run("live", tmp_path / "files" / "bike.yaml", "-o", tmp_path / "out", "--no-open")
    assert done.status == 0, done.err
    assert all(is_settled(tmp_path / folder) for folder in ("files", "out"))


def test_a_journal_that_is_none_is_told_in_one_message(tmp_path: Path) -> None:
    killed(tmp_path)
    (tmp_path / WORK / JOURNAL).write_text("{}")
    done = run("fabricate", SMALL, "-o", tmp_path)
    assert done.status == 2
    assert done.err.count("[output]") == 1
    assert f"remove {tmp_path / WORK}" in done.err
    assert (tmp_path / "two.txt").read_bytes() == b"old"


def test_what_the_pack_before_has_more_is_told(tmp_path: Path) -> None:
    files = [tmp_path / f"{name}.yaml" for name in ("brace", "strut")]
    for file in files:
        file.write_text(SMALL.read_text("utf-8") + BRACE.format(name=file.stem), "utf-8")
    out, templates = tmp_path / "out", tmp_path / "out" / "templates"

    def fabricate(file: Path, *more: str) -> Ended:
        done = run("fabricate", file, "-o", out, *more)
        assert done.status == 0, done.err
        return done

    assert "removed" not in fabricate(files[0]).out
    (templates / "brace.svg").write_text("changed by hand")
    said = fabricate(files[1]).out
    assert f"removed  {templates / 'brace.dxf'}, of the run before\n" in said
    assert f"kept  {templates / 'brace.svg'}, of the run before, changed since\n" in said
    assert (templates / "brace.svg").read_text() == "changed by hand"
    assert not (templates / "brace.dxf").exists()
    (templates / "strut.svg").write_text("changed by hand")
    document = json.loads(fabricate(files[0], "--json").out)
    assert document["removed"] == [(templates / "strut.dxf").as_posix()]
    assert document["kept"] == [(templates / "strut.svg").as_posix()]


def test_what_the_scale_model_before_has_more_is_told(tmp_path: Path) -> None:
    first = run("mockup", SMALL, "-o", tmp_path, "--with", "frame")
    assert first.status == 0, first.err
    (plate,) = tmp_path.glob("part_*_name_plate.stl")
    second = run("mockup", SMALL, "-o", tmp_path, "--with", "frame", "--no-stand")
    assert f"removed  {plate}, of the run before\n" in second.out
    assert not plate.exists()


def test_a_letter_that_the_set_up_sheet_cannot_print_is_told(tmp_path: Path) -> None:
    file = tmp_path / "bike.yaml"
    file.write_text(sprung("coil: {}").replace("name: Twenty lines", "name: Bike \ua500"), "utf-8")
    first = run("report", file, "-o", tmp_path / "out")
    assert "no font of the PDF files has" in first.out
    assert (tmp_path / "out" / "set_up_sheet.pdf").is_file()
    # Without a spring there is nothing to set up: the sheet goes, and the list stays for the next one.
    file.write_text(sprung("", "", ("  spring: {coil: {}}\n", "")), "utf-8")
    second = run("report", file, "-o", tmp_path / "out")
    assert "removed" in second.out
    assert "no font" not in second.out
    assert not (tmp_path / "out" / "set_up_sheet.pdf").exists()
