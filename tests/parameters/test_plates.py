"""Plates as a file gives them: each mistake with its key and the way out."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

import frame3d
from frame3d.errors import SpecError

BIKE = Path(__file__).parents[2] / "configs" / "trail_hardtail_29.yaml"
GUSSET = "kind: gusset, on: [down_tube, head_tube], lengths: [40, 12], thickness: 4"
TAB = "kind: tab, on: down_tube, from_start: 200, base: 30, height: 15, radius: 8, hole: 6, thickness: 4"
OWN = "kind: path, path: [[0, 0], [9, 0], [0, 9]], thickness: 4"


def loaded(tmp_path: Path, plate: str) -> Any:
    file = tmp_path / "bike.yaml"
    file.write_text(BIKE.read_text("utf-8") + f"\nplates:\n  brace: {{{plate}}}\n", "utf-8")
    return frame3d.load(file)


@pytest.mark.parametrize("plate", [GUSSET, TAB, OWN])
def test_plates_are_read(tmp_path: Path, plate: str) -> None:
    assert loaded(tmp_path, plate).plates["brace"].thickness == 4


@pytest.mark.parametrize(
    ("plate", "path", "said"),
    [
        ("thickness: 4", "", "a plate with its kind"),
        (
            "kind: gussets, thickness: 4",
            "",
            "one of gusset, tab, chainguide, pivot_tab, link_plate, path",
        ),
        (GUSSET.replace("head_tube", "head_tub"), ".on.1", "there is no tube head_tub"),
        (GUSSET.replace("head_tube", "down_tube"), ".on", "names one tube twice"),
        (GUSSET + ", corner: 12", ".corner", "as long as a side"),
        (GUSSET + ", depth: 3", ".depth", "unknown"),
        (TAB.replace("from_start: 200, ", ""), ".from_start", "missing: where along down_tube"),
        (TAB + ", from_end: 100", ".from_start", "given twice"),
        (TAB.replace("hole: 6", "hole: 16"), ".hole", "breaks the edge"),
        (TAB + ", gap: 20, across: true", ".gap", "no left and right pair"),
        (TAB.replace("down_tube", "seatstay") + ", gap: 20", ".gap", "is a pair"),
        (TAB.replace("on: down_tube", "on: down"), ".on", "there is no tube down"),
        (OWN.replace("path: [[0, 0], [9, 0], [0, 9]], ", ""), ".path", "missing: the plate's edge"),
        (OWN + ", corners: [[0, 0], [9, 0], [0, 9]]", ".path", "given twice"),
        (OWN.replace(", [0, 9]", ""), ".path", "enclose nothing"),
        (OWN + ", at: nowhere", ".at", "there is no point nowhere"),
        (OWN + ", at: 5", ".at", "a node or point"),
        (OWN + ", link: swingarm", ".link", "there is no link swingarm"),
        (OWN + ", pair: true", ".y", "in one another"),
        (
            OWN + ", pockets: [{at: [2, 2], diameter: 1, depth: 4}]",
            ".pockets.0.depth",
            "goes through the plate",
        ),
        (
            "kind: path, thickness: 4, corners: [[0, 0, -1], [9, 0], [0, 9]]",
            ".corners.0.2",
            "a radius below 0",
        ),
    ],
)
def test_mistakes_say_where_and_what(tmp_path: Path, plate: str, path: str, said: str) -> None:
    with pytest.raises(SpecError) as raised:
        loaded(tmp_path, plate)
    fault = raised.value.faults[0]
    assert fault.path == f"plates.brace{path}"
    assert said in fault.message + " " + fault.hint
    assert fault.place is not None
    assert fault.place.line is not None


def test_a_plate_and_a_tube_of_one_name(tmp_path: Path) -> None:
    file = tmp_path / "bike.yaml"
    file.write_text(BIKE.read_text("utf-8") + f"\nplates:\n  down_tube: {{{GUSSET}}}\n", "utf-8")
    with pytest.raises(SpecError, match="there is a tube down_tube too"):
        frame3d.load(file)
