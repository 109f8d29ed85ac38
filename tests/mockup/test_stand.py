from __future__ import annotations

import math

import numpy as np
import pytest
import trimesh

from frame3d.errors import MockupError
from frame3d.mockup.model import assembled, level
from frame3d.mockup.part import ModelPart
from frame3d.mockup.parts.nameplate import LEANS, plate
from frame3d.mockup.parts.stand import TIP, balance_of, mass_centre, stand
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
    found = balance_of((body, foot))
    assert found.centre == pytest.approx((20.0, 10.0, 30.0))
    assert found.margin == pytest.approx(10.0)
    assert found.tips == pytest.approx(math.degrees(math.atan(1 / 3)))
    out = ModelPart("bike", "#000000", block((60, 0, 10), (140, 20, 60)))
    assert balance_of((out, foot)).margin < 0


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
    assert float(v[2]) == pytest.approx(math.cos(math.radians(LEANS[0])))
    middle = joint.at
    for axis in (u, v, n):
        # Turned half round about any of its axes.
        turn = 2 * np.outer(axis, axis) - np.eye(3)
        about = np.column_stack([turn, middle - turn @ middle])
        assert (sign.transform(about) ^ stand).volume() > 1.0


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
