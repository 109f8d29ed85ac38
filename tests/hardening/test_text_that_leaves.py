"""Text of a file where it goes on to: a terminal, JSON, a spreadsheet, a CAD reader; and what is read."""

from __future__ import annotations

import csv
import io
import json
import re
import time
import unicodedata
from pathlib import Path

import pytest

from frame3d.bike.solve import solve
from frame3d.errors import Fault, SourceLocation, SpecError, printable
from frame3d.fabrication.lists import csv_bytes
from frame3d.formats.step import step
from frame3d.parameters.reading.editing import scalars
from frame3d.parameters.reading.reader import load, loads
from frame3d.parameters.reading.tree import MAX_LINE
from frame3d.solids import make
from tests.hardening.running import CASES, SMALL, is_fault, run

HIDDEN = {"Cc", "Cf", "Cs", "Zl", "Zp"}


def orders(text: str) -> set[str]:
    """Characters of a text that a terminal may obey."""
    return {c for c in text if unicodedata.category(c) in HIDDEN and c not in "\n\t"}


@pytest.mark.parametrize("verb", ["solve", "check", "build", "report", "fabricate", "mockup"])
@pytest.mark.parametrize("more", [(), ("--json",)])
def test_no_escape_reaches_the_terminal(verb: str, more: tuple[str, ...], tmp_path: Path) -> None:
    out = () if verb in ("solve", "check") else ("-o", tmp_path)
    ended = run(verb, CASES / "terminal_escapes.yaml", *more, *out)
    assert is_fault(ended)
    assert orders(ended.out + ended.err) == set()
    assert r"\x1b]0;pwned\x07" in ended.err
    if more:
        paths = [fault["path"] for fault in json.loads(ended.out)["faults"]]
        assert "\x1b]0;pwned\x07\x1b[31mred" in paths  # as it is, for programs


def test_names_of_files_and_options_are_escaped(tmp_path: Path) -> None:
    file = tmp_path / "a\x1b[31m\u202eb\x9b.yaml"
    for words in (
        ("solve", file), ("new", file), ("solve", file), ("solve", SMALL, "--\x1b[5m"),
        ("solve", SMALL, "--set", "\x1b[5m=1"), ("check", SMALL, "--near", "\x9b5"),
    ):  # fmt: skip
        ended = run(*words)
        assert orders(ended.out + ended.err) == set()
    assert file.exists()


@pytest.mark.parametrize("code", [0, 7, 0x1B, 0x7F, 0x9B, 0x202E, 0x2066, 0x2028, 0xD800, 0xFEFF])
def test_escapes_of_single_characters(code: int) -> None:
    bad = chr(code)
    fault = Fault("bad-name", bad, bad, bad, SourceLocation(bad, 1, 1, f"a{bad}"))
    assert orders(fault.render()) == set()
    assert printable(bad) == ascii(bad)[1:-1]
    assert printable(f"é→{bad}", keep=bad) == f"é→{bad}"


FORMULAS = ("=1+1", "+1+cmd|' /C calc'!A0", "-1+1", "@SUM(1)", "=", "\t=1", "\r=1", "–1+1", " =1")


@pytest.mark.parametrize("cell", FORMULAS)
def test_cell_that_would_be_a_formula(cell: str) -> None:
    raw = csv_bytes(("a", "b"), [("x", cell)]).decode("utf-8")
    (_, found), *_ = list(csv.reader(io.StringIO(raw, newline="")))[1:]
    assert found.startswith("'")
    assert found[1:] == cell.replace("–", "-")


@pytest.mark.parametrize("cell", ["-1", "-0.25", "12", "1 + 2", "a=b", ""])
def test_cell_that_is_none(cell: str) -> None:
    raw = csv_bytes(("a", "b"), [("x", cell)]).decode("utf-8")
    assert list(csv.reader(io.StringIO(raw)))[1] == ["x", cell]


def test_workshop_pack_of_names_like_formulas(tmp_path: Path) -> None:
    assert run("fabricate", CASES / "csv_formula.yaml", "-o", tmp_path, "-q").status in (0, 1)
    cells = [
        cell
        for file in tmp_path.glob("*.csv")
        for row in csv.reader(io.StringIO(file.read_text("utf-8")))
        for cell in row
    ]
    assert any("calc" in cell for cell in cells)
    assert not [
        c for c in cells if c[:1] in ("=", "+", "@") and not re.fullmatch(r"[+][0-9.]+", c)
    ] + [c for c in cells if re.match(r"-\D", c)]


def test_step_of_a_name_with_quotes_and_brackets(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """OCCT's reader takes the header without a complaint, and finds every part."""
    from OCP.IFSelect import IFSelect_ReturnStatus
    from OCP.STEPControl import STEPControl_Reader

    model = make(solve(load(CASES / "step_name.yaml")))
    file = tmp_path / "frame.step"
    file.write_bytes(step(model))
    head = file.read_text("ascii").partition("DATA;")[0]
    assert "''" not in head.partition("FILE_NAME")[2].partition(",")[0]
    capfd.readouterr()
    reader = STEPControl_Reader()
    assert reader.ReadFile(str(file)) == IFSelect_ReturnStatus.IFSelect_RetDone
    said = capfd.readouterr()
    assert "rror" not in said.out + said.err
    assert "ncorrect" not in said.out + said.err
    assert reader.TransferRoots() > 0


LONG = {
    "tag": "!{} x",
    "verbatim_tag": "!<{}> x",
    "anchor": "&{} x",
    "alias": "*{}",
    "directive": "%{}\n---\na: 1",
    "plain": "a: {}",
    "quoted": 'a: "{}',
    "key": "{}: 1",
    "comment": "a: 1 # {}",
}


@pytest.mark.parametrize("kind", ["tag", "verbatim_tag", "anchor", "alias", "directive"])
def test_token_of_a_megabyte(kind: str) -> None:
    """Seconds at most (17 and more before), in the reader and in the workspace's sliders."""
    text = LONG[kind].format("a" * 1_040_000)
    began = time.process_time()
    with pytest.raises(SpecError) as caught:
        loads(text, "bike.yaml")
    with pytest.raises(SpecError):
        scalars(text)
    assert time.process_time() - began < 2
    assert caught.value.faults[0].code == "file-too-large"
    place = caught.value.faults[0].place
    assert place is not None
    assert (place.source, place.line) == ("bike.yaml", 1)


@pytest.mark.parametrize("kind", LONG)
def test_token_as_long_as_a_line_may_be(kind: str) -> None:
    """Many such lines: their time adds up and does not multiply."""
    line = LONG[kind].format("a" * (MAX_LINE - 100)).split("\n")[0]
    began = time.process_time()
    with pytest.raises(SpecError):
        loads("\n".join([line] * 200), "bike.yaml")
    assert time.process_time() - began < 20
