"""The frame: thickened where it must be, whole, bored."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from frame3d.bike.exchange import exchange_values
from frame3d.bike.solve import solve
from frame3d.chart.as_built import SLIDE
from frame3d.mockup.drawing import Drawing
from frame3d.mockup.options import KITS, WALL, Options
from frame3d.mockup.parts.frame import frame, left_out, piece_of, thickened
from frame3d.mockup.solid import rod
from frame3d.solids.bodies import bodies
from tests.bike.tension.bikes import OFFSET, eccentric
from tests.mockup.probing import CLOSE, walls
from tests.mockup.samples import FULL, HARDTAIL, drawing, layout
from tests.with_mount import POST, RACK, with_mount


@pytest.mark.parametrize("scale", [1 / 6, 1 / 10])
def test_lugs_of_pivots(scale: float) -> None:
    """6 and 7 mm lugs, and what is kept free beside them, at scale."""
    drawn = Drawing(layout(FULL), Options(scale, KITS))
    lugs = [b for b in bodies(thickened(drawn)) if b.key.startswith("lug_")]
    assert len(lugs) >= 8
    for lug in lugs:
        solid = piece_of(lug, drawn)
        item = next(p for p in thickened(drawn).pivots if p.name == lug.name)
        x, _, z = item.axle
        # Through the round, beside its bore.
        way = np.array([0.0, 1.0, 0.0])
        at = np.array([x, -200.0, z + (item.boss + item.bore) / 4])
        through = [(solid ^ rod(at, at + 400.0 * way, 0.05)).bounding_box()]
        assert (through[0][4] - through[0][1]) * scale >= WALL - 1e-6, lug.name


def test_tubes_grow_evenly_and_only_where_they_must() -> None:
    """Stays of 16 to 14 mm at 1:10: 1.4 becomes 2.0, and the taper stays."""
    small = thickened(drawing(scale=0.1))
    before = {t.name: t for t in layout().tubes}
    after = {t.name: t for t in small.tubes}
    stay = after["seatstay_left"].section.height
    assert min(stay) == pytest.approx(20.0)
    grown = np.array(stay) - before["seatstay_left"].section.height
    assert grown == pytest.approx(np.full(len(stay), 6.0))
    assert after["seatstay_right"].section.height == stay
    assert after["down_tube"].section.height == before["down_tube"].section.height
    assert all(t.section.is_solid for t in small.tubes)
    assert {t.name: t.axis for t in small.tubes} == {t.name: t.axis for t in layout().tubes}


def test_a_frame_is_one_solid_piece() -> None:
    solid = frame(drawing()).parts[0].solid
    assert len(solid.decompose()) == 1
    # Bores for steerer and spindle, and the axle's in either dropout: each a handle.
    tunnels = 2 + 2
    loops = solid.genus() - tunnels
    # Main triangle, and what stays and bridges close.
    assert loops >= 3


PLATES = """
plates:
  brace: {kind: path, at: [150, 60], thickness: 4, path: [[0, 0], [70, 0], [70, 70], [0, 70]],
          holes: [{at: [20, 20], diameter: 5}, {at: [45, 45], diameter: 24}]}
"""


def test_plates_are_thick_enough_to_print(tmp_path: Path) -> None:
    """4 mm at 1:10 becomes a wall; a hole of half a millimetre is closed, one of 2.4 mm stays."""
    file = tmp_path / "bike.yaml"
    file.write_text(HARDTAIL.read_text("utf-8") + PLATES, "utf-8")
    drawn = Drawing(layout(file), Options(0.1, KITS))
    small = thickened(drawn)
    assert [hole.diameter for hole in small.plates[0].outline.holes] == [24.0]
    (body,) = (body for body in bodies(small) if body.name == "brace")
    box = piece_of(body, drawn).bounding_box()
    assert (box[4] - box[1]) * 0.1 == pytest.approx(WALL)
    assert any(entry.part == "brace" for entry in drawn.ledger.entries)


def test_a_flat_dropout_keeps_its_outline_and_takes_the_model_s_axle() -> None:
    """A slot is one hole where the axle stands; metal about it prints, its inner face stays."""
    sliding = "build.dropout={kind: sliding, slide: {length: 16, at: 6}}"
    bike = exchange_values(layout(HARDTAIL, sliding), {SLIDE: 16.0})
    drawn = Drawing(bike, Options(1 / 6, KITS))
    for own, small in zip(bike.dropouts, thickened(drawn).dropouts, strict=True):
        assert own.plate is not None
        assert small.plate is not None
        assert small.plate.outline.outer == own.plate.outline.outer
        assert small.plate.outline.slots == ()
        (hole,) = small.plate.outline.holes
        assert hole.at == pytest.approx((-10, 0), abs=1e-6)
        assert hole.diameter / 6 >= drawn.axle_pin("rear")
        assert (small.ring - hole.diameter) / 2 / 6 >= WALL - 1e-9
        inner = min(abs(small.plate.low), abs(small.plate.high))
        assert inner == pytest.approx(abs(own.axle[1]))
    assert "slots are holes" in left_out(drawn)[0]
    assert left_out(Drawing(layout(), Options(1 / 6, KITS))) == ()


def test_a_brake_mount_on_a_dropout_prints_without_its_threads() -> None:
    """Its blocks reach through the thickened plate; at 1:16 they are thinner than a wall."""
    bike = solve(with_mount(POST | RACK))
    drawn = Drawing(bike, Options(1 / 6, KITS))
    made = thickened(drawn).dropouts[0]
    assert made.mount is not None
    assert made.eyes == ()
    assert made.plate is not None
    for block in made.mount.blocks:
        assert block.outer >= -made.plate.low - 1e-9
    assert left_out(drawn) == ("features of dropouts are too small to print, and left out: rack",)
    small = Drawing(bike, Options(1 / 16, KITS))
    assert thickened(small).dropouts[0].mount is None
    assert left_out(small)[0].endswith("rack, brake")


def test_the_spindle_goes_through_an_eccentric_shell_beside_its_middle() -> None:
    """A needle across the shell meets its wall below and above the spindle's hole, by hand."""
    bike = eccentric()
    drawn = Drawing(bike, Options(1 / 6, ("frame", "cranks")))
    (whole,) = frame(drawn).parts
    hole = drawn.spindle_pin / 2 + drawn.options.turn
    free = rod(np.array([0.0, -20.0, 0.0]), np.array([0.0, 20.0, 0.0]), hole - CLOSE)
    assert (whole.solid ^ free).volume() == pytest.approx(0.0, abs=1e-6)
    shell = thickened(drawn).shell
    assert shell is not None
    assert shell.at == pytest.approx((0.0, OFFSET))
    # Below the hole there is the shell's radius less the offset and the hole's radius.
    below = (shell.od / 2 - OFFSET) / 6 - hole
    assert below >= drawn.wall("bottom_bracket") - 1e-6
    (first, *_) = walls(whole.solid, np.array([0.0, 0.0, -30.0]), np.array([0.0, 0.0, 1.0]))
    assert first == pytest.approx(below, abs=2 * CLOSE)
