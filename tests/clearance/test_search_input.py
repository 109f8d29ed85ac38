"""Tubes as records: the same points, sections and turning as the centreline's own."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.bodies.shapes import Tubular
from frame3d.clearance.certify.positions import axis
from frame3d.clearance.certify.records import FRAME
from frame3d.clearance.certify.search_input import edges_of, numbers_of, pieces_of
from frame3d.geometry.centreline import Centreline
from frame3d.geometry.section import Section
from frame3d.geometry.vector import point
from tests.clearance import brute
from tests.clearance.samples import SHAPES, TUBES, a_shape, a_tube, axes, placed


def at(piece: np.void, s: float) -> np.void:
    """The section's frame at a place along a piece."""
    frame = np.zeros(1, FRAME)[0]
    axis(piece, s, frame)
    return frame


@pytest.mark.parametrize("kind", TUBES)
def test_rows_are_the_tube(kind: str) -> None:
    random = np.random.default_rng(TUBES.index(kind))
    for _ in range(8):
        tube = a_tube(kind, random)
        rows, _ = pieces_of(tube)
        assert rows["length"].sum() == pytest.approx(tube.axis.length, abs=1e-9)
        before = 0.0
        for row in rows:
            for s in np.linspace(0, row["length"], 7):
                here = at(row, float(s))
                points, height, width = tube.axis.frames(np.array([before + s]))
                assert here["point"] == pytest.approx(points[0], abs=1e-9)
                assert here["tangent"] == pytest.approx(np.cross(width[0], height[0]), abs=1e-9)
                assert abs(here["tangent"] @ here["major"]) < 1e-9
                h, w = (float(x[0]) for x in tube.section.radii_at(np.array([before + s])))
                assert row["a"] + s * row["a_slope"] == pytest.approx(max(h, w), abs=1e-9)
                assert row["b"] + s * row["b_slope"] == pytest.approx(min(h, w), abs=1e-9)
                if row["is_oval"]:
                    major = width[0] if w >= h else height[0]
                    assert abs(here["major"] @ major) == pytest.approx(1.0, abs=1e-9)
            assert row["before"] == pytest.approx(before, abs=1e-9)
            before += row["length"]
            assert row["after"] == pytest.approx(tube.axis.length - before, abs=1e-9)


@pytest.mark.parametrize("kind", TUBES)
def test_turning_by_finite_differences(kind: str) -> None:
    """M' = w × M and T' = w × T; |w| and |w'| within their bounds over the piece."""
    random = np.random.default_rng([1, TUBES.index(kind)])
    for _ in range(12):
        for row in pieces_of(a_tube(kind, random))[0]:
            step = 1e-5
            turning = []
            for s in np.linspace(step, row["length"] - step, 15):
                here, ahead, behind = (at(row, float(s + d)) for d in (0.0, step, -step))
                spin = here["spin"][0]
                for name in ("tangent", "major", "minor"):
                    slope = (ahead[name] - behind[name]) / (2 * step)
                    assert np.cross(spin, here[name]) == pytest.approx(slope, abs=1e-7)
                assert np.linalg.norm(spin) <= row["turn"] + 1e-12
                change = ahead["spin"][0] - behind["spin"][0]
                turning.append(np.linalg.norm(change) / (2 * step))
            # w' along an arc: its own change less that of the axes it is written in, which w leaves still.
            assert max(turning) <= np.hypot(row["turn_rate"], row["turn"] ** 2) + 1e-7


def test_no_piece_changes_which_half_width_is_larger() -> None:
    section = Section((0.0, 100.0, 300.0), (40.0, 30.0, 12.0), (20.0, 26.0, 30.0), (0.0,) * 3)
    line = Centreline.through(((0.0, 0.0, 0.0), (300.0, 0.0, 0.0)), ())
    rows, _ = pieces_of(Tubular("oval", line, section))
    # 100 mm on by 4 of 22 mm, over 200 mm
    assert rows["length"] == pytest.approx([100, 200 * 4 / 22, 200 * 18 / 22])
    larger, smaller = (rows[x] + rows["length"] * rows[f"{x}_slope"] for x in ("a", "b"))
    assert (rows["a"] >= rows["b"] - 1e-9).all()
    assert (larger >= smaller - 1e-9).all()


def test_the_turning_is_bounded_by_the_steepest_place_of_a_piece() -> None:
    """κ/√(1 - (e·T)²) at the place where the tangent T leans most to the direction e that the section
    is held by, wherever along the piece that is: sampled at 2001 places.
    """
    random = np.random.default_rng(2)
    inside = 0
    for _ in range(60):
        tube = a_tube("bent, oval and tapered", random)
        _, held = tube.axis.held
        for piece in pieces_of(tube)[0]:
            if not (piece["curvature"] > 0 and piece["is_oval"]):
                continue
            s = piece["before"] + np.linspace(0, piece["length"], 2001)
            _, height, width = tube.axis.frames(s)
            lean = np.abs(np.cross(width, height) @ held)
            inside += 0 < int(lean.argmax()) < 2000
            wanted = piece["curvature"] / np.sqrt(1 - lean.max() ** 2)
            assert piece["turn"] >= wanted - 1e-12
            assert piece["turn"] == pytest.approx(wanted, rel=1e-5)
    assert inside > 3


def test_rows_in_other_axes() -> None:
    random = np.random.default_rng(3)
    for kind in TUBES:
        tube = a_tube(kind, random)
        frame, origin = axes(random), random.normal(size=3) * 100
        rows, _ = pieces_of(tube)
        for row, other in zip(rows, placed(rows, origin, frame), strict=True):
            here, there = at(row, row["length"] / 3), at(other, row["length"] / 3)
            assert there["point"] == pytest.approx(frame @ (here["point"] - origin), abs=1e-9)
            for name in ("rate", "spin", "tangent", "major", "minor"):
                assert there[name] == pytest.approx(here[name] @ frame.T, abs=1e-9)


def test_rounded_ends_are_told() -> None:
    random = np.random.default_rng(4)
    tube = a_tube("bent", random)
    rows, _ = pieces_of(Tubular("pill", tube.axis, tube.section, tube.mount, (False, False)))
    assert (np.minimum(rows["before"], rows["after"]) > 1e299).all()


def test_kept_rows_cannot_be_changed() -> None:
    rows, _ = pieces_of(a_tube("straight", np.random.default_rng(5)))
    with pytest.raises(ValueError, match="read-only"):
        rows["length"] = 1.0


def test_a_tube_of_no_length_is_refused() -> None:
    here = point(np.zeros(3))
    line = Centreline.through((here, (1e-5, 0.0, 0.0)), ())
    short = Centreline((type(line.pieces[0])(here, (1e-12, 0.0, 0.0)),))
    section = Section((0.0, 1e-12), (10.0, 10.0), (10.0, 10.0), (0.0, 0.0))
    with pytest.raises(ValueError, match="length"):
        pieces_of(Tubular("dot", short, section))


@pytest.mark.parametrize("kind", ["ring", "disc", "cylinder"])
def test_edges_of_a_profile(kind: str) -> None:
    """Unit normals, outward, lengths that close the outline."""
    shape = a_shape(kind, np.random.default_rng(6))
    edges = edges_of(shape)
    starts = np.column_stack((edges["radius"], edges["y"]))
    normals = np.column_stack((edges["normal_radius"], edges["normal_y"]))
    assert np.linalg.norm(normals, axis=1) == pytest.approx(np.ones(len(edges)))
    inside = np.mean(shape.profile, axis=0)
    assert (((inside - starts) * normals).sum(axis=1) < 0).all()
    ends = starts + edges["length"][:, None] * np.stack((-normals[:, 1], normals[:, 0]), axis=1)
    assert (ends[:, 0].max(), starts[:, 0].max()) == pytest.approx((starts[:, 0].max(),) * 2)


@pytest.mark.parametrize("kind", SHAPES)
def test_no_ball_in_a_shape_is_larger_than_its_inradius(kind: str) -> None:
    """And one as large is there: the least signed distance on a fine grid of the profile or the box."""
    random = np.random.default_rng([7, SHAPES.index(kind)])
    shape = a_shape(kind, random)
    inradius = float(numbers_of(shape)["inradius"][0])
    points = random.uniform(-90.0, 90.0, size=(4000, 3))
    values = brute.signed(shape, points)
    for size in (30.0, 10.0, 3.0, 1.0, 0.3, 0.1, 0.03, 0.01):  # closes in on the deepest point
        best = points[np.argsort(values)[:8]]
        points = np.concatenate([best, *(p + random.normal(size=(500, 3)) * size for p in best)])
        values = brute.signed(shape, points)
    assert values.min() >= -inradius - 1e-6
    assert values.min() == pytest.approx(-inradius, abs=0.05)
