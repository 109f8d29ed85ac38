from __future__ import annotations

import math

import numpy as np
import pytest
import trimesh

from frame3d.errors import MockupError
from frame3d.mockup.model import assembled, level
from frame3d.mockup.part import ModelPart
from frame3d.mockup.parts.letters import written
from frame3d.mockup.parts.nameplate import DEEP, KEY, LEANS, LEAST, THICK, _rows, lying, plate
from frame3d.mockup.parts.stand import TIP, _balance, mass_centre, stand
from frame3d.mockup.printing.check import meshed
from frame3d.mockup.solid import block, bounds, rod, together
from tests.mockup.samples import RIGID, drawing, laid, layout, made

X, Y, Z = np.eye(3)


def test_centre_of_mass_of_a_cone() -> None:
    """A quarter of the height above its base."""
    volume, centre = mass_centre(
        rod(np.array([5.0, -2.0, 1.0]), np.array([5.0, -2.0, 13.0]), 6.0, 0.001)
    )
    assert volume == pytest.approx(math.pi * 36 * 12 / 3, rel=0.01)
    assert centre == pytest.approx([5.0, -2.0, 4.0], abs=1e-3)


def test_balance_of_a_block() -> None:
    """A block 40 x 20 x 60 on its foot of the same outline tips over at atan(10 / 30)."""
    foot = ModelPart("stand", "#000000", block((0, 0, 0), (40, 20, 10)), role="stand")
    body = ModelPart("bike", "#000000", block((0, 0, 10), (40, 20, 60)))
    found = _balance((body, foot))
    assert found.centre == pytest.approx((20.0, 10.0, 30.0))
    assert found.margin == pytest.approx(10.0)
    assert found.tips == pytest.approx(math.degrees(math.atan(1 / 3)))
    out = ModelPart("bike", "#000000", block((60, 0, 10), (140, 20, 60)))
    assert _balance((out, foot)).margin < 0


MODELS = {
    "whole": made(),
    "rigid": made(RIGID),
    "frame": made(kits="frame"),
    "frame, fork, cockpit": made(kits="fork,cockpit"),
    "small": made(scale="1:10"),
}


@pytest.mark.parametrize("name", MODELS)
def test_models_stand(name: str) -> None:
    model = MODELS[name]
    balance = model.balance
    assert balance is not None
    assert balance.tips >= TIP
    # By trimesh: the centre of mass of all parts, over the hull of what touches the table.
    bodies = [meshed(p.solid) for p in model.parts]
    meshes = [trimesh.Trimesh(m.vertices, m.triangles, process=False) for m in bodies]
    total = sum(m.volume for m in meshes)
    centre = sum(m.volume * m.center_mass for m in meshes) / total
    assert centre == pytest.approx(balance.centre, abs=0.02)
    floor = min(m.bounds[0, 2] for m in meshes)
    touching = np.vstack([m.vertices[m.vertices[:, 2] < floor + 0.05][:, :2] for m in meshes])
    hull = trimesh.convex.hull_points(
        np.column_stack([np.vstack([touching, touching]), np.repeat([0, 1], len(touching))])
    )
    assert np.ptp(hull[:, 0]) == pytest.approx(np.ptp(np.array(balance.base)[:, 0]), abs=0.05)
    # Only the stand touches the table.
    low = {p.name: bounds(p.solid)[0, 2] for p in model.parts}
    assert min(v for n, v in low.items() if n != "stand") > floor + 1.0


def test_tyres_stand_on_the_base_and_lift_out() -> None:
    model = made()
    parts = {p.name: p for p in model.parts}
    stand = parts["stand"].solid
    for end in ("front", "rear"):
        tyre = parts[f"{end}_tyre"].solid
        assert (tyre.translate((0, 0, -0.05)) ^ stand).volume() > 0.01
        for up in (0.0, 1.0, 5.0, 20.0):
            assert (tyre.translate((0, 0, up)) ^ stand).volume() < 1e-6
        # It leans no further than a few degrees to either side.
        low = bounds(tyre)[0, 2]
        for lean in (-5.0, 5.0):
            tipped = tyre.translate((0, 0, -low)).rotate((lean, 0, 0)).translate((0, 0, low))
            assert (tipped ^ stand).volume() > 0.01


def test_a_frame_alone_is_lowered_onto_its_posts() -> None:
    model = made(kits="frame")
    frame, stand = (next(p.solid for p in model.parts if p.name == n) for n in ("frame", "stand"))
    for up in (0.0, 1.0, 4.0, 30.0):
        assert (frame.translate((0, 0, up)) ^ stand).volume() < 1e-6
    # It rests there: down, ahead, behind or to a side, something is in the way.
    for way in (-Z, X, -X, Y, -Y):
        assert (frame.translate(tuple(1.5 * way)) ^ stand).volume() > 0.01


def test_name_plate() -> None:
    made_plate = plate("Trail hardtail 29", "1:6", 120.0)
    assert made_plate is not None
    assert made_plate.missing == ""
    box = bounds(made_plate.solid)
    assert box[:, 0] == pytest.approx([-made_plate.width / 2, made_plate.width / 2], abs=1e-6)
    assert box[1] == pytest.approx([made_plate.width / 2, made_plate.height, THICK], abs=1e-6)
    assert made_plate.width <= 120.0
    # Engraved, not through: the back is whole, the front is not.
    back = float(made_plate.solid.slice(THICK - DEEP - 0.01).area())
    front = float(made_plate.solid.slice(THICK - 0.01).area())
    assert back == pytest.approx(made_plate.width * made_plate.height - KEY**2 / 2, rel=0.01)
    assert 0.02 * back < back - front < 0.3 * back


def test_names_that_are_long_or_cannot_be_engraved() -> None:
    short, long = (
        plate("Hardtail", "1:6", 60.0),
        plate("A very long name of a bicycle", "1:6", 60.0),
    )
    assert short is not None
    assert long is not None
    assert long.width <= 60.0 + 1e-6
    assert long.height > short.height
    assert (short.left, long.left) == ("", "")
    assert plate("山地", "1:6", 100.0) is None
    assert plate("", "1:6", 100.0) is None
    partly = plate("Ω 29", "1:6", 100.0)
    assert partly is not None
    assert partly.missing == "Ω"


@pytest.mark.parametrize(
    "name",
    ["x" * 5000, "many words " * 400, "Supercalifragilisticexpialidocious 29 in black and silver"],
)
def test_a_name_that_is_too_long_stays_readable(name: str) -> None:
    """As much as three lines hold, in capitals of 4 mm at least; the rest is told."""
    made_plate = plate(name, "1:6", 60.0)
    assert made_plate is not None
    assert made_plate.width <= 60.0 + 1e-6
    assert name.strip().endswith(made_plate.left[-20:])
    assert 0 < len(made_plate.left) < len(name)
    # Strokes side by side leave free what is between them: engraved areas are many, not one blot.
    engraved = made_plate.outline - made_plate.solid.slice(THICK - 0.01)
    box = np.array([piece.bounds() for piece in engraved.decompose()])
    assert np.ptp(box[:, [1, 3]], axis=1).max() >= LEAST
    assert len(box) > 15


def test_names_break_between_words_and_evenly() -> None:
    room = written("black and silver").width + 1.0
    assert _rows("Hardtail in black and silver", room) == (["Hardtail in", "black and silver"], "")
    assert _rows("  one\nline\t", room) == (["one line"], "")
    found, left = _rows("a b c d e f g h i j k", written("a b").width)
    assert (found, left) == (["a b", "c d", "e f"], "g h i j k")


@pytest.mark.parametrize("kits", ["frame", None])
def test_a_long_name_is_told_and_leaves_room_for_the_bike(kits: str | None) -> None:
    """In three lines with accents; in two lines that could be larger."""
    notes = made(kits=kits, name="Ő" * 300).notes
    (note,) = (n for n in notes if "no room" in n)
    assert "--name takes a shorter one" in note
    assert not made(kits=kits, name="Customer's own hardtail of the year in green").notes


def test_an_empty_name_asks_for_no_plate() -> None:
    for name, told in ((" ", 0), ("山地", 1)):
        model = made(kits="frame", name=name)
        assert "name_plate" not in {p.name for p in model.parts}
        assert len([n for n in model.notes if "no name plate" in n]) == told


def test_a_stand_that_does_not_hold_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("frame3d.mockup.parts.stand.TIP", 89.0)
    drawn = drawing(("saddle",))
    with pytest.raises(MockupError, match="falls off its stand when tipped by") as caught:
        stand(drawn, assembled(drawn).parts, level(drawn))
    assert "--no-stand" in caught.value.faults[0].hint


def test_the_plate_goes_into_its_pocket_one_way_only() -> None:
    model = made()
    stand, sign = (
        next(p.solid for p in model.parts if p.name == n) for n in ("stand", "name_plate")
    )
    assert (stand ^ sign).volume() < 1e-6
    found = plate(layout().spec.name, "1:6", 1000.0)
    assert found is not None
    joint = next(j for j in model.joints if j.peg == "name_plate")
    u, n = X, joint.along
    v = np.cross(n, u)
    assert float(v[2]) == pytest.approx(math.cos(math.radians(LEANS)))
    middle = joint.at
    for axis in (u, v, n):
        # Turned half round about any of its axes.
        turn = 2 * np.outer(axis, axis) - np.eye(3)
        about = np.column_stack([turn, middle - turn @ middle])
        assert (sign.transform(about) ^ stand).volume() > 1.0


def test_lying_faces_the_drive_side() -> None:
    motion = lying(np.zeros(3), 10.0)
    assert motion[:, 0] == pytest.approx(X)
    assert motion[1, 2] < -0.5
    assert motion[2, 2] > 0.5
    assert np.linalg.det(motion[:, :3]) == pytest.approx(1.0)


def test_the_sign_prints_face_up() -> None:
    item = next(p for p in laid().parts if p.part.name == "name_plate")
    assert item.part.face is not None
    assert float((item.pose.turn @ item.part.face)[2]) == pytest.approx(1.0, abs=1e-6)


def test_no_stand() -> None:
    model = made(stand=False)
    assert model.balance is None
    assert not {"stand", "name_plate"} & {p.name for p in model.parts}


def test_together_is_one_piece() -> None:
    for model in MODELS.values():
        assert len(together([p.solid for p in model.parts if p.name == "stand"]).decompose()) == 1
