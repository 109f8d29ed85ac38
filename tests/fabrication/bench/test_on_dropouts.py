"""Eyes and blocks of dropouts in the bench order: joined on the frame, faced and tapped last."""

from __future__ import annotations

from frame3d.fabrication.bench.on_dropouts import finished, stood
from frame3d.fabrication.on_tubes.on_dropouts import dropout_marks
from tests.bikes import placed_layout
from tests.with_mount import POST, RACK, with_mount


def test_blocks_are_joined_faced_and_tapped() -> None:
    marks = dropout_marks(placed_layout(with_mount(POST | RACK, "plain")), ())
    (line,) = stood(marks, "fillet_brazed")
    assert "fillet-braze the blocks of the brake mount 2, 3 to the plate's edge" in line[1]
    assert [line[0].split(" the ")[0] for line in finished(marks)] == ["face", "chase", "tap"]
    assert list(stood(marks[:2], None)) == []
    assert len(list(finished(marks[:2]))) == 1
