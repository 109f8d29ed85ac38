"""The whole pack: every file, what is on them, and what happens when a part of it fails."""

from __future__ import annotations

import csv
import io
import json
import math
import os
import re
from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path

import ezdxf
import numpy as np
import pdfplumber
import pytest
from ezdxf.document import Drawing

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.caution import CAUTION
from frame3d.cli.commands import main
from frame3d.fabrication.diagonals import parts_of
from frame3d.fabrication.fixture import figures_of, fixture_csv
from frame3d.fabrication.manifest import LISTING, listing
from frame3d.fabrication.pack import Maker, Pack
from frame3d.fabrication.parts_list import items_of
from frame3d.formats.writer import write
from frame3d.paper.sheet import CAP
from frame3d.parameters.reading.reader import loads
from tests.fabrication.bikes import CONFIGS, demo
from tests.fabrication.crossing import crossed
from tests.formats import suspended

POINT = 72 / 25.4
SMALL = """\
format: 1
name: Front triangle
geometry:
  reach: 455
  head_tube_angle: 65.5
  head_tube_length: 115
  effective_seat_tube_angle: 75.5
  seat_tube_length: 430
  chainstay_length: 432
  bb_drop: 62
build:
  fork: {axle_to_crown: 535, measured: straight, offset: 44}
  headset: {upper: ZS44/28.6, lower: ZS56/40, lower_stack: 4}
  front_wheel: {tyre: 61-622}
  rear_wheel: {tyre: 61-622}
  bottom_bracket: {shell: threaded-73}
tubes:
  head_tube: {od: {start: 62, end: 50}, wall: 4.2}
  seat_tube: {od: 34.9, wall: 1.2}
  down_tube: {start: {on: bottom_bracket}, end: {on: head_tube, above_bottom: 40}, od: 38.1, wall: 0.9}
  top_tube:
    start: {on: seat_tube, below_top: 40}
    end: {on: head_tube, angle: 86}
    od: 31.8
    wall: {butted: [0.8, 0.5, 0.8], lengths: [80, 90], transition: 40}
  brace: {start: {on: down_tube, from_end: 180}, end: {on: top_tube, from_end: 170}, od: 20, wall: 1}
"""


def status(arguments: Sequence[str]) -> int:
    """A command's exit status."""
    with pytest.raises(SystemExit) as left:
        main(arguments)
    assert isinstance(left.value.code, int)
    return left.value.code


@cache
def pack(name: str) -> tuple[Bike, Pack]:
    layout = suspended.layout() if name == "four links" else demo(name)
    return layout, Maker(layout, "A4", None).make()


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
        assert {f"{sheet}.pdf", f"{sheet}.dxf", f"{sheet}.svg"} <= set(made.files)
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


def test_the_drawing_is_a3_at_the_scale_that_it_states() -> None:
    layout, made = pack("trail_hardtail_29")
    with pdfplumber.open(io.BytesIO(made.files["drawing.pdf"])) as read:
        page = read.pages[0]
        assert (page.width / POINT, page.height / POINT) == pytest.approx((420, 297), abs=1e-3)
        text = page.extract_text()
    scale = float(re.search(r"1:(\d+)", text)[1])  # type: ignore[index]
    doc = dict(drawings(made))["drawing.dxf"]
    arcs = [e for e in doc.modelspace() if e.dxftype() == "ARC" and e.dxf.layer == "PHANTOM"]
    # The two tyres' arcs stand about the axles: as far apart as the wheelbase, with the wheels' radii.
    rear, front = sorted(arcs, key=lambda e: e.dxf.center.x)
    wheelbase = layout.chart["wheelbase"]
    assert (front.dxf.center.x - rear.dxf.center.x) * scale == pytest.approx(wheelbase, abs=1e-6)
    assert rear.dxf.radius * scale == pytest.approx(372.0)
    for figure in ("reach", "stack", "wheelbase", "chainstay_length", "bb_drop"):
        assert f"{layout.chart[figure]:.1f}" in text


def test_the_same_pack_twice_is_the_same_to_the_byte() -> None:
    layout, made = pack("trail_hardtail_29")
    assert Maker(layout, "A4", None).make().files == made.files


def test_the_fixture_sheet_by_hand() -> None:
    rows = dict(figures_of(demo()))
    # Chainstay 432 with a drop of 62: √(432² − 62²) = 427.53 horizontally.
    assert rows["chainstay, horizontal"] == "427.53 mm"
    assert rows["rear axle above the datum"] == "62.00 mm"
    # The file: down tube 50 above the head tube's bottom, top tube 48 below the seat tube's top of 430.
    assert rows["down tube from the head tube's bottom"] == "50.00 mm"
    assert rows["top tube from the seat tube's start"] == "382.00 mm"
    assert rows["dummy rear axle"] == "148 wide, 12 mm"
    # Fork: 535 straight with 44 offset is √(535² − 44²) = 533.19 along the axis.
    assert rows["dummy fork, axle to crown along the axis"] == "533.19 mm"


def test_the_fixture_sheet_says_where_the_rear_suspension_turns() -> None:
    layout = suspended.layout()
    rows = dict(figures_of(layout))
    linkage = layout.linkage
    assert linkage is not None
    for name, (x, z) in linkage.drawn.items():
        if name in layout.nodes:
            continue
        (said,) = [value for what, value in rows.items() if what.startswith(name.replace("_", " "))]
        assert said == f"x {x:.2f}  z {z:.2f} mm"
    # Between the shock's own two points, by Pythagoras.
    apart = math.dist(*(linkage.drawn[end] for end in linkage.shock))
    assert rows["dummy shock, eye to eye, full length"] == f"{apart:.2f} mm" == "210.00 mm"
    assert not any("shock" in what for what in dict(figures_of(demo())))


def test_the_fixture_sheets_csv_says_all_that_the_sheet_says() -> None:
    text = fixture_csv(demo()).decode()
    rows = {row["what"]: row for row in csv.DictReader(io.StringIO(text))}
    parts = {part.what: part for part in parts_of(demo())}
    for what, part in parts.items():
        assert part.trail is not None
        assert float(rows[what]["trail_mm_per_mm"]) == pytest.approx(part.trail, abs=6e-4)
        assert float(rows[what]["head_angle_deg_per_mm"]) == pytest.approx(
            part.head_angle, abs=6e-5
        )
    assert all(len(row) == 7 for row in csv.reader(io.StringIO(text)))


def test_the_parts_list_names_standards() -> None:
    layout = demo()
    items = {item.what: item for item in items_of(layout, Maker(layout, "A4", None).facts)}
    assert "1.370 in × 24 tpi" in items["bottom bracket shell"].note
    assert items["bottom bracket"].size == "for a shell 73 wide, bore 33.65"
    assert items["headset, upper cup"].standard == "ZS44/28.6"
    assert "43.95 to 44.00" in items["headset, upper cup"].size
    assert items["headset, lower cup"].note == "crown seat 39.8"
    assert items["rear hub"].size == "148 wide, axle 12"
    assert items["seat clamp"].size == "on 34.9"
    layout = suspended.layout()
    items = {item.what: item for item in items_of(layout, Maker(layout, "A4", None).facts)}
    assert items["rear shock"].size == "210 × 52.5"
    assert "axle bore 12" in items["housing main pivot"].size


@pytest.mark.parametrize(
    ("said", "note"), [("", ""), (", travel: 0", "rigid"), (", travel: 130", "130 travel")]
)
def test_only_a_fork_that_the_file_says_has_no_travel_is_rigid(said: str, note: str) -> None:
    layout = solve(loads(SMALL.replace("offset: 44}", f"offset: 44{said}}}"), "small.yaml"))
    items = {item.what: item for item in items_of(layout, Maker(layout, "A4", None).facts)}
    assert items["fork"].note == note


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
    write({**before, LISTING: listing(before)}, tmp_path)
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
