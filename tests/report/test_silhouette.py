"""Silhouettes against the shadows of the surfaces that they are the outlines of."""

from __future__ import annotations

import re
from itertools import pairwise

import numpy as np
import pytest
from shapely import MultiPoint, Polygon, unary_union

from frame3d.looks.rider import Bone, Figure, figure_of
from frame3d.report.drawing.silhouette import corners, drawn, outline, symbols
from tests.report.samples import hardtail_bike, minimal_bike


def figure() -> Figure:
    made = figure_of(hardtail_bike())
    assert made is not None
    return made


def rings(made: Figure, bone: Bone) -> np.ndarray:
    """Points of a segment's surface by rings: (n, m, 3)."""
    shape = made.shapes[bone.shape]
    start, end = np.array(bone.start), np.array(bone.end)
    axis = (end - start) / np.linalg.norm(end - start)
    front = np.array(bone.front) - (np.array(bone.front) @ axis) * axis
    front /= np.linalg.norm(front)
    left = np.cross(axis, front)
    turn = np.linspace(0, 2 * np.pi, 73)[:-1]
    power = 2 / shape.square
    x = np.sign(np.cos(turn)) * abs(np.cos(turn)) ** power
    y = np.sign(np.sin(turn)) * abs(np.sin(turn)) ** power
    return np.array([
        start + s * axis + np.outer(ahead + deep * x, front) + np.outer(across * y, left)
        for s, across, deep, ahead in shape.rings
    ])  # fmt: skip


@pytest.mark.parametrize("place", range(len(list(figure().poses[0].bones()))))
def test_an_outline_is_the_shadow_of_its_segment(place: int) -> None:
    """Shapely's union of the hulls of neighbouring rings, an independent way to the same."""
    made = figure()
    bone = list(made.poses[0].bones())[place]
    points = rings(made, bone)[:, :, [0, 2]]
    shadow = unary_union([
        MultiPoint(np.concatenate([a, b])).convex_hull
        for a, b in pairwise(points)
    ])  # fmt: skip
    drawn_as = Polygon(outline(made.shapes[bone.shape], bone)).buffer(0)
    assert drawn_as.symmetric_difference(shadow).area < 0.03 * shadow.area
    assert drawn_as.hausdorff_distance(shadow) < 12.0


@pytest.mark.parametrize("along", [0.0, 60.0, 150.0])
def test_a_segment_that_points_at_the_viewer_has_an_outline(along: float) -> None:
    """Of an arm on a very wide bar: the hull of its surface's points, nothing undefined."""
    made = figure()
    bone = Bone("forearm", "left", (0.0, 0.0, 0.0), (along, 250.0, 0.0), (0.0, 0.0, 1.0))
    shadow = MultiPoint(rings(made, bone)[:, :, [0, 2]].reshape(-1, 2)).convex_hull
    loop = outline(made.shapes["forearm"], bone)
    assert np.isfinite(loop).all()
    assert Polygon(loop).symmetric_difference(shadow).area < 0.02 * shadow.area


def test_the_whole_figure_is_one_piece_with_grips_and_pedals_in_reach() -> None:
    made = figure()
    for pose in made.poses:
        whole = unary_union(
            [Polygon(outline(made.shapes[b.shape], b)).buffer(0) for b in pose.bones()]
        )
        assert whole.geom_type == "Polygon", "no gap at any joint"
        (x0, z0), (x1, z1) = corners(made, pose)
        assert whole.bounds == pytest.approx((x0, z0, x1, z1))
        assert 1300 < z1 - z0 < 1800


def test_symbols_hold_every_layer_once_and_drawings_use_them() -> None:
    made = symbols(figure())
    assert made is not None
    ids = re.findall(r'<g id="([\w-]+)"', made)
    assert len(set(ids)) == len(ids) == 3 * len(figure().poses)
    assert made.count('class="bone"') == sum(len(list(p.bones())) for p in figure().poses)
    used = drawn("seated", ("far", "body", "arm"), 1.5, "ridden")
    assert set(re.findall(r'href="#([\w-]+)"', used)) <= set(ids)
    assert used.count("<use") == 6
    assert symbols(figure_of(minimal_bike())) is None
