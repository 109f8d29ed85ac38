from __future__ import annotations

from dataclasses import replace
from itertools import islice, pairwise

import numpy as np
import pytest

from frame3d.geometry.vector import vector
from frame3d.mockup.fits import SPARE, Peg
from frame3d.mockup.model import ScaleModel
from frame3d.mockup.options import EDGE, KITS, PEG, Options
from frame3d.mockup.part import Joint, Limb, ModelPart
from frame3d.mockup.printing.bed_fit import Misfit, fits_somehow
from frame3d.mockup.printing.plane import DEPTH
from frame3d.mockup.printing.split import fitted, letters, split
from frame3d.mockup.solid import block, bounds, minus, rod, together
from tests.mockup.samples import HARDTAIL, RIGID, layout, made

X, Y, Z = np.eye(3)
SMALL = (80.0, 80.0, 80.0)
OPTIONS = Options(1.0, KITS, SMALL)


def bar(length: float = 100.0, radius: float = 4.0) -> ModelPart:
    solid = together(
        [rod(np.zeros(3), length * X, radius), block((-6, -6, -6), (4, 6, 6)),
         block((length - 4, -6, -6), (length + 6, 6, 6))]
    )  # fmt: skip
    x = np.linspace(4.0, length - 4.0, 93)
    return ModelPart("bar", "#112233", solid, (Limb(np.outer(x, X), np.full(93, radius)),))


def pieces_of(parts: list[ModelPart]) -> list[ModelPart]:
    return [p for p in parts if not p.name.startswith("peg_")]


def test_a_bar_in_two() -> None:
    assert not fits_somehow(bar(), SMALL)
    parts, joints = split(bar(), SMALL, OPTIONS, letters())
    assert [p.name for p in parts] == ["bar_1", "bar_2", "peg_a"]
    assert all(fits_somehow(p, SMALL) for p in parts)
    a, b = (bounds(p.solid) for p in parts[:2])
    assert a[1, 0] == pytest.approx(b[0, 0], abs=1e-9)
    assert 4 + DEPTH < a[1, 0] < 96 - DEPTH
    assert [(j.peg, j.hole, j.mark) for j in joints] == [
        ("peg_a", "bar_2", "A"),
        ("peg_a", "bar_1", "A"),
    ]
    assert all(j.clearance == OPTIONS.fit and j.depth == DEPTH for j in joints)
    # Nothing is lost but the peg's holes and the letters.
    hole = Peg(np.zeros(3), X, Y, PEG / 2).hole(-DEPTH - SPARE, DEPTH + SPARE, OPTIONS.fit).volume()
    lost = bar().solid.volume() - sum(p.solid.volume() for p in parts[:2])
    assert hole < lost < hole + 8.0


def test_pieces_go_together_one_way_only() -> None:
    """Turned about the peg by anything but a full turn, the peg's flat hits its hole's."""
    parts, _ = split(bar(), SMALL, OPTIONS, letters())
    near, far, peg = parts[0].solid, parts[1].solid, parts[2].solid
    assert (near ^ peg).volume() < 1e-9
    assert (far ^ peg).volume() < 1e-9
    cut = bounds(near)[1, 0]
    for angle in (45, 90, 180, 270):
        turned = far.translate((-cut, 0, 0)).rotate((angle, 0, 0)).translate((cut, 0, 0))
        assert (turned ^ peg).volume() > 0.5


def test_a_cut_is_marked_on_both_sides() -> None:
    parts, _ = split(bar(), SMALL, OPTIONS, letters())
    cut = bounds(parts[0].solid)[1, 0]
    for piece, side in ((parts[0].solid, -1.0), (parts[1].solid, 1.0)):
        skin = block((cut - 5.5, 3.0, -3), (cut + 5.5, 4.5, 3))
        engraved = (minus(bar().solid, [piece]) ^ skin).trim_by_plane((side, 0.0, 0.0), side * cut)
        assert engraved.volume() > 0.3, side
        box = bounds(engraved)
        assert np.ptp(box[:, 2]) >= 2.4 - 1.0
        assert abs(box.mean(axis=0)[0] - cut) < 4.5


def test_what_is_too_thin_for_a_peg_is_not_cut_alone() -> None:
    found = split(bar(radius=2.0), SMALL, OPTIONS, letters())
    assert isinstance(found, Misfit)
    assert (found.name, found.size) == ("bar", pytest.approx((112.0, 12.0, 12.0)))
    assert 0 < found.over <= 112.0 + 2 * EDGE - 80.0


def test_a_part_without_limbs_is_refused() -> None:
    plate = ModelPart("plate", "#000000", block((0, 0, 0), (90, 90, 3)))
    assert isinstance(split(plate, SMALL, OPTIONS, letters()), Misfit)


def test_a_part_is_cut_before_it_stands_on_end() -> None:
    """A long bar lies on its side in two; one that nothing can cut stands, where it may."""
    tall = (80.0, 80.0, 200.0)
    lying = replace(bar(), down=Z, upright=True)
    found = fitted(lying, tall, OPTIONS, letters())
    assert not isinstance(found, Misfit)
    assert [p.name for p in found[0]] == ["bar_1", "bar_2", "peg_a"]
    whole = replace(lying, limbs=())
    found = fitted(whole, tall, OPTIONS, letters())
    assert not isinstance(found, Misfit)
    assert [p.solid for p in found[0]] == [whole.solid]
    assert isinstance(fitted(replace(whole, upright=False), tall, OPTIONS, letters()), Misfit)


def test_marks() -> None:
    first = list(islice(letters(), 50))
    assert first[:3] == ["A", "B", "C"]
    assert len(set(first)) == 50


CUT = [(HARDTAIL, "120x120x120"), (RIGID, "110x110x110")]


@pytest.mark.parametrize(("file", "bed"), CUT, ids=["hardtail", "rigid"])
def test_demos_on_small_beds(file: object, bed: str) -> None:
    model: ScaleModel = made(file, bed=bed)  # type: ignore[arg-type]
    frame = [p for p in model.parts if p.name.startswith("frame_")]
    assert len(frame) >= 2
    room = tuple(float(side) for side in bed.split("x"))
    assert all(fits_somehow(p, room) for p in model.parts)  # type: ignore[arg-type]
    for part in model.parts:
        assert len(part.solid.decompose()) == 1, part.name
    names = {p.name for p in model.parts}
    assert all(j.peg in names and j.hole in names for j in model.joints)
    marks = [j.mark for j in model.joints if j.mark and j.peg.startswith("peg_")]
    assert all(marks.count(m) == 2 for m in marks)


def cuts(model: ScaleModel) -> list[Joint]:
    """Each cut of the frame once."""
    found = {j.mark: j for j in model.joints if j.mark and j.hole.startswith("frame_")}
    return list(found.values())


@pytest.mark.parametrize(("file", "bed"), CUT, ids=["hardtail", "rigid"])
def test_frames_are_cut_in_mid_tube(file: object, bed: str) -> None:
    """Never near a junction: no end of a tube, and no axle or shell, within reach of a cut."""
    model: ScaleModel = made(file, bed=bed)  # type: ignore[arg-type]
    bike, scale = layout(file), model.drawing.scale  # type: ignore[arg-type]
    ends = [vector(e.point) for t in bike.tubes for e in (t.start, t.end)]
    ends += [vector(bike.nodes[n]) for n in ("bottom_bracket", "rear_axle", "seat_tube_top")]
    assert cuts(model)
    for joint in cuts(model):
        assert min(float(np.linalg.norm(scale * end - joint.at)) for end in ends) > DEPTH + 2.0
        near = min(float(t.axis.approach(joint.at[None] / scale)[1][0]) for t in bike.tubes)
        assert near * scale < 2.0


def test_pegs_of_one_cut_run_the_same_way() -> None:
    """Else its pieces could not be slid together."""
    model = made(HARDTAIL, bed="120x120x120")
    by_pair: dict[tuple[str, ...], list[Joint]] = {}
    holes: dict[str, list[Joint]] = {}
    for joint in model.joints:
        if joint.mark and joint.depth:
            holes.setdefault(joint.peg, []).append(joint)
    for pair in holes.values():
        key = tuple(sorted(j.hole for j in pair))
        by_pair.setdefault(key, []).append(pair[0])
    assert any(len(joints) > 1 for joints in by_pair.values())
    for joints in by_pair.values():
        for a, b in pairwise(joints):
            assert abs(float(a.along @ b.along)) == pytest.approx(1.0, abs=1e-9)


def test_pieces_slide_apart_along_their_pegs() -> None:
    model = made(HARDTAIL, bed="120x120x120")
    parts = {p.name: p for p in model.parts}
    seen = set()
    for joint in (j for j in model.joints if j.mark and j.depth and j.hole.startswith("frame")):
        other = next(j for j in model.joints if j.peg == joint.peg and j.hole != joint.hole)
        if (joint.hole, other.hole) in seen:
            continue
        seen.add((joint.hole, other.hole))
        way = np.sign(float((joint.at - other.at) @ joint.along)) * joint.along
        fixed, peg = parts[other.hole].solid, parts[joint.peg].solid
        for step in (0.5, 2.0, 6.0, 12.0):
            moved = parts[joint.hole].solid.translate(tuple(step * way))
            assert (moved ^ fixed).volume() < 1e-3
            assert (moved ^ peg).volume() < 1e-3
