"""The whole pack: every file, what is on them, and what happens when a part of it fails."""

from __future__ import annotations

import csv
import io
import json
import os
import re
from collections.abc import Iterator, Sequence
from pathlib import Path

import ezdxf
import numpy as np
import pdfplumber
import pytest
from ezdxf.document import Drawing

from frame3d.bike.solve import solve
from frame3d.caution import CAUTION
from frame3d.cli.commands import main
from frame3d.fabrication import MANIFEST
from frame3d.fabrication.pack import Maker, Pack
from frame3d.formats.writer import write
from frame3d.paper.sheet import CAP
from frame3d.parameters.reading.reader import loads
from tests.fabrication.bikes import CONFIGS
from tests.fabrication.crossing import crossed
from tests.fabrication.samples import SMALL, pack

POINT = 72 / 25.4


def status(arguments: Sequence[str]) -> int:
    """A command's exit status."""
    with pytest.raises(SystemExit) as left:
        main(arguments)
    assert isinstance(left.value.code, int)
    return left.value.code


def drawings(made: Pack) -> Iterator[tuple[str, Drawing]]:
    """Every DXF file by name, read again."""
    for file, data in made.files.items():
        if file.endswith(".dxf"):
            yield file, ezdxf.read(io.StringIO(data.decode()))  # type: ignore[attr-defined]


BIKES = ("trail_hardtail_29", "four links")


@pytest.mark.parametrize("name", BIKES)
def test_nothing_is_missing(name: str) -> None:
    layout, made = pack(name)
    assert not made.faults
    for sheet in ("cut_list", "fixture", "drawing", "parts_list", "bend_table"):
        assert f"{sheet}.pdf" in made.files
        first = sheet if f"{sheet}.svg" in made.files else f"{sheet}-1"
        assert {f"{first}.dxf", f"{first}.svg"} <= set(made.files)
    assert {"cut_list.csv", "fixture.csv", "parts_list.csv", "bend_table.csv"} <= set(made.files)
    stems = {n.partition("/")[2].partition(".")[0] for n in made.files if "/" in n}
    for tube in layout.tubes:
        assert any(stem.startswith(tube.name) for stem in stems)
    assert "templates.pdf" in made.files


@pytest.mark.parametrize("name", BIKES)
def test_every_dxf_is_read_again_without_errors(name: str) -> None:
    _, made = pack(name)
    for file, doc in drawings(made):
        auditor = doc.audit()
        assert not auditor.errors, file
        assert not auditor.fixes, file


@pytest.mark.parametrize("name", BIKES)
def test_every_sheet_carries_the_caution(name: str) -> None:
    _, made = pack(name)
    for file, data in made.files.items():
        if file.endswith(".svg"):
            said = " ".join(re.findall(r">([^<]+)</text>", data.decode()))
            assert CAUTION.split()[-1] in said, file
            assert "Geometry only: frame3d makes no claim about strength" in said, file
        if file.endswith(".csv"):
            assert data.isascii()  # so that no spreadsheet can take it wrongly
            assert data.decode().splitlines()[-1].startswith('"# Geometry only'), file


@pytest.mark.parametrize("name", BIKES)
def test_nothing_is_written_beyond_the_paper_or_over_other_text(name: str) -> None:
    """Boxes of all upright texts of all pages: within the margins, and none over another."""
    _, made = pack(name)
    for file, data in made.files.items():
        if not file.endswith(".pdf"):
            continue
        with pdfplumber.open(io.BytesIO(data)) as read:
            for number, page in enumerate(read.pages):
                upright = page.filter(lambda thing: abs(thing.get("matrix", (1, 0))[1]) < 1e-6)
                words = upright.extract_words(keep_blank_chars=True, x_tolerance=1.5, y_tolerance=1)
                boxes = np.array([(w["x0"], w["top"], w["x1"], w["bottom"]) for w in words])
                assert boxes[:, 0].min() > 7 * POINT
                assert boxes[:, 2].max() < float(page.width) - 7 * POINT
                assert boxes[:, 1].min() > 5 * POINT
                assert boxes[:, 3].max() < float(page.height) - 5 * POINT
                shrunk = boxes + np.array([0.6, 1.6, -0.6, -1.6])
                for i, box in enumerate(shrunk):
                    over = (
                        (shrunk[:, 0] < box[2]) & (box[0] < shrunk[:, 2])
                        & (shrunk[:, 1] < box[3]) & (box[1] < shrunk[:, 3])
                    )  # fmt: skip
                    over[i] = False
                    others = [words[j]["text"] for j in over.nonzero()[0]]
                    assert not others, (file, number, words[i]["text"], others)


@pytest.mark.parametrize("name", BIKES)
def test_no_line_runs_through_a_text_and_all_texts_are_large_enough(name: str) -> None:
    _, made = pack(name)
    for file, doc in drawings(made):
        entities = list(doc.modelspace())
        under = ("CENTRE", "CUT_INNER", "STRIP") if file == "fixture.dxf" else ("CENTRE",)
        assert crossed(entities, through=under) == [], file
        sizes = [e.dxf.height / CAP for e in entities if e.dxftype() == "TEXT"]
        assert min(sizes) > 2.19, file  # 6.2 points


def test_the_same_pack_twice_is_the_same_to_the_byte() -> None:
    layout, made = pack("trail_hardtail_29")
    assert Maker(layout, "A4", None).make().files == made.files


def run(tmp_path: Path, *sets: str, paper: str = "A4", json_too: bool = False) -> int:
    file = tmp_path.parent / f"{tmp_path.name}.yaml"
    file.write_text(SMALL)
    arguments = ["fabricate", str(file), "-o", str(tmp_path), "--paper", paper]
    arguments += [part for text in sets for part in ("--set", text)]
    return status([*arguments, "--json" if json_too else "-q"])


def test_the_command_writes_the_pack(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(tmp_path, json_too=True) == 0
    files = json.loads(capsys.readouterr().out)["files"]
    assert sorted(Path(f).as_posix() for f in files) == sorted(
        Path(folder, name).as_posix() for folder, _, names in os.walk(tmp_path) for name in names
    )
    assert (tmp_path / "templates" / "down_tube.dxf").exists()


def test_a_tube_too_short_for_its_butts_is_told_and_the_rest_is_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(tmp_path, "tubes.top_tube.wall.lengths=[300, 300]") == 1
    said = capsys.readouterr().err
    assert "take 680.0 mm of a tube that is cut to 582.4 mm [butt]" in said
    assert (tmp_path / "templates" / "top_tube.dxf").exists()  # its mitres do not depend on butts
    assert (tmp_path / "drawing.pdf").exists()


def test_an_end_that_vanishes_in_its_mating_tube(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(tmp_path, "tubes.brace.start.from_end=20", "tubes.brace.end.from_end=20") == 1
    said = capsys.readouterr().err
    assert "nothing is left of brace between its cuts" in said
    assert not (tmp_path / "templates" / "brace.dxf").exists()
    assert (tmp_path / "templates" / "top_tube.dxf").exists()
    text = (tmp_path / "cut_list.csv").read_text()
    names = [row["tube"] for row in csv.DictReader(io.StringIO(text))]
    assert "down_tube" in names
    assert "brace" not in names


def test_a_tube_that_vanishes_in_what_is_beside_its_mating_tubes(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A bridge so far forward that it lies within the bottom bracket shell."""
    file = CONFIGS / "trail_hardtail_29.yaml"
    sets = [f"tubes.chainstay_bridge.{end}.from_start=2" for end in ("start", "end")]
    arguments = ["fabricate", str(file), "-o", str(tmp_path), "-q"]
    assert status([*arguments, *(part for text in sets for part in ("--set", text))]) == 1
    said = capsys.readouterr().err
    assert "nothing is left of chainstay_bridge beside" in said
    assert "bottom_bracket" in said
    assert said.count("[junction-miss]") == 1
    assert not (tmp_path / "templates" / "chainstay_bridge.dxf").exists()
    assert (tmp_path / "templates" / "chainstay_left.dxf").exists()
    assert (tmp_path / "drawing.pdf").exists()
    assert "chainstay_bridge" not in (tmp_path / "cut_list.csv").read_text()


def test_a_template_too_wide_for_the_paper(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = {"templates/down_tube.dxf": b"of the run before"}  # may not pass for this one's
    write(before, tmp_path, manifest=MANIFEST)
    assert run(tmp_path, "tubes.down_tube.od=83", paper="Letter") == 1
    said = capsys.readouterr().err
    assert (
        "down_tube: its template is 267 mm wide with its flap, and Letter has room for 261" in said
    )
    assert "tubes.down_tube.od=83" in said
    assert not (tmp_path / "templates" / "down_tube.dxf").exists()
    assert (tmp_path / "templates" / "top_tube.dxf").exists()
    assert (tmp_path / "fixture.pdf").exists()


def test_a_pack_that_cannot_be_written_leaves_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "drawing.pdf").mkdir()
    assert run(tmp_path) == 2
    assert "drawing.pdf is a folder" in capsys.readouterr().err
    assert [p for p in tmp_path.rglob("*") if p.is_file()] == []


def test_a_fault_that_is_no_tubes_still_stops_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(tmp_path, "tubes.head_tube.od=30") == 2
    assert "[" in capsys.readouterr().err
    assert not list(tmp_path.iterdir())


def test_a_file_without_tubes(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert status(["fabricate", str(CONFIGS / "minimal.yaml"), "-o", str(tmp_path)]) == 2
    assert "there is nothing to cut" in capsys.readouterr().err


def test_a_bench_order_at_fault_leaves_the_rest() -> None:
    text = SMALL + "bench: {order: [[seat_tube, bottom_bracket]]}\n"
    made = Maker(solve(loads(text, "small.yaml")), "A4", None).make()
    assert [fault.path for fault in made.faults] == ["bench.order"]
    assert "bench_order.pdf" not in made.files
    assert "parts_list.pdf" in made.files
