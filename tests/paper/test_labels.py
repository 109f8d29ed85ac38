"""Labels are set where the sheet is free."""

from __future__ import annotations

from frame3d.paper.labels import around, label
from frame3d.paper.sheet import Sheet
from tests.fabrication.crossing import crossed

BOX = (0.0, 0.0, 100.0, 100.0)


def test_many_labels_never_meet_lines_or_each_other() -> None:
    sheet = Sheet("x", "x", 100, 100)
    centres = [(15 + 14 * i, 30 + 20 * j) for i in range(6) for j in range(3)]
    for at in centres:
        sheet.circle(at, 3, "OUTLINE")
    for at in centres:
        label(sheet, around(at, 3), "A 8", BOX)
    texts = [e for e in sheet.entities() if e.dxftype() == "TEXT"]
    assert len(texts) == len(centres)
    assert crossed(sheet.entities(), through=()) == []


def test_the_box_is_kept_to() -> None:
    sheet = Sheet("x", "x", 100, 100)
    label(sheet, around((2, 2), 1), "a long label", BOX)
    (text,) = [e for e in sheet.entities() if e.dxftype() == "TEXT"]
    assert text.get_placement()[1].x > 0
    label(sheet, around((2, 2), 1), "a label that is far too long for a box", (0, 0, 10, 10))
    assert len(sheet.texts()) == 1
