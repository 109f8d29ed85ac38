"""Flat parts in the pack, in its list of files, in the order, and on the command line."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from frame3d.cli.commands import main
from frame3d.errors import Fault, OutputError
from frame3d.fabrication import drawing
from frame3d.fabrication import pack as made_by
from frame3d.fabrication.flat.axles import axles_of
from frame3d.fabrication.flat.cut_files import part_dxf
from frame3d.fabrication.flat.nest import Stock
from frame3d.fabrication.flat.nest_files import nested_files
from frame3d.fabrication.flat.part_sheet import part_sheets
from frame3d.fabrication.flat.parts import SheetPart, sheet_parts
from frame3d.fabrication.ordering import write_order
from frame3d.fabrication.pack import Maker
from frame3d.paper.page_elements import PAPERS
from frame3d.paper.sheet import Sheet
from tests.fabrication.bikes import CONFIGS, demo
from tests.fabrication.crossing import crossed
from tests.fabrication.flat.samples import read, ring, trail
from tests.plates import parts as plates

PLATES = {
    "plates.pdf",
    "plates/plate_rocker.dxf",
    "plates/plate_rocker.svg",
    "plates/plate_rocker_axles.svg",
}


def run(*arguments: object) -> int:
    """A command's exit status."""
    with pytest.raises(SystemExit) as left:
        main([str(one) for one in arguments])
    assert isinstance(left.value.code, int)
    return left.value.code


def test_the_pack_has_them_and_lists_them(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(drawing, "drawing_sheet", lambda *_: Sheet("drawing", "", 100, 100))
    config = CONFIGS / "trail_full_140.yaml"
    sheet = ("--plate-sheet", "300x200", "--plate-gap", "4")
    assert run("fabricate", config, "-o", tmp_path, *sheet, "--json") == 0
    files = {Path(name).relative_to(tmp_path).as_posix()
             for name in json.loads(capsys.readouterr().out)["files"]}  # fmt: skip
    nested = {f"plates/nested_6mm_6061-T6.{end}" for end in ("dxf", "pdf")}
    assert files >= PLATES | nested | {"axles.pdf", "axles-1.dxf", "axles-2.svg"}
    listed = (tmp_path / "pack.sha256").read_text()
    assert all(name in listed for name in PLATES | nested)


def test_a_bike_without_flat_parts_has_no_sheets_of_them() -> None:
    assert sheet_parts(demo()) == []
    assert axles_of(demo()) == []


def test_where_a_sheet_fails_or_a_part_is_too_large_the_rest_is_made(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def fails(part: SheetPart, *_: object) -> list[object]:
        raise OutputError(Fault("output", "", f"{part.name} cannot be drawn"))

    monkeypatch.setattr(made_by, "part_sheets", fails)
    monkeypatch.setattr(drawing, "drawing_sheet", lambda *_: Sheet("drawing", "", 100, 100))
    maker = Maker(trail(), "A4", None, plate_stock=Stock(100, 60))
    maker.facts = maker.facts[:1]  # templates of the other tubes take long
    made = maker.make()
    assert [fault.message for fault in made.faults] == ["plate_rocker cannot be drawn"]
    assert {"plates/plate_rocker.dxf", "axles.pdf", "drawing.pdf"} <= set(made.files)
    assert "plates.pdf" not in made.files
    assert not any("nested" in name for name in made.files)
    assert any("plate_rocker is larger than a sheet" in note.message for note in made.notes)


def test_the_order_nests_the_plates_of_all_frames(tmp_path: Path) -> None:
    wanted = [("one", trail(), 2), ("two", trail(), 1), ("none", trail(), 0)]
    written = write_order(wanted, tmp_path, plate_stock=Stock(600, 400))
    names = {path.name for path in written.files}
    assert {"nested_6mm_6061-T6.dxf", "nested_6mm_6061-T6.pdf", "order_list.pdf"} <= names
    text = (tmp_path / "nested_6mm_6061-T6.dxf").read_text()
    assert text.count("one plate_rocker\n") == 4
    assert text.count("two plate_rocker\n") == 2
    assert "none plate_rocker" not in text


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--plate-sheet", "1000"), "as 1000x500 is"),
        (("--plate-sheet", "10x10"), "50 to 6000 mm"),
        (("--plate-gap", "3"), "give --plate-sheet too"),
        (("--plate-margin", "3"), "give --plate-sheet too"),
        (("--plate-sheet", "100x100", "--plate-margin", "50"), "leaves nothing of a sheet"),
    ],
)
def test_options_that_cannot_be(
    options: tuple[str, ...], said: str, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    config = CONFIGS / "trail_full_140.yaml"
    assert run("fabricate", config, "-o", tmp_path, *options) == 2
    assert said in " ".join(capsys.readouterr().err.split())
    assert not list(tmp_path.iterdir())


def test_gussets_tabs_and_own_outlines_have_sheets_too() -> None:
    """As the file's plates are placed: the outline's area is that of the DXF, no text is crossed."""
    placed = plates.bike(gusset=plates.GUSSET, tab=plates.TAB, own=plates.OWN)
    parts = sheet_parts(placed)
    assert [part.name for part in parts] == ["gusset", "tab", "own"]
    for part, plate in zip(parts, placed.plates, strict=True):
        doc = read(part_dxf(part, "A bike"))
        rings = sorted(
            (ring(e).area for e in doc.modelspace() if e.dxf.layer == "CUT"), reverse=True
        )
        assert 2 * rings[0] - sum(rings) == pytest.approx(plate.outline.area, rel=1e-6)
        for sheet in part_sheets(part, "A bike", PAPERS["A4"]):
            assert crossed(sheet.entities(), through=("CENTRE",)) == []
    files, _ = nested_files(parts, Stock(300, 200), "A bike", PAPERS["A4"])
    assert set(files) == {f"nested_{t}mm_4130.{end}" for t in (4, 5) for end in ("dxf", "pdf")}
