"""Side view: outlines against meshes of the same bodies, and dimensions against the chart."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import numpy as np
import pytest

from frame3d.bike.solve import solve
from frame3d.bodies import bodies_of
from frame3d.bodies.body import Body
from frame3d.parameters.models.figures import FIGURES, unit
from frame3d.parameters.reading.reader import load
from frame3d.report.drawing.dimension import dimension, window
from frame3d.report.drawing.sheet import SvgDrawing
from frame3d.report.drawing.side_view import bike_symbol, definition, drawing
from frame3d.report.outline import hull, outlines
from frame3d.report.side import Side
from frame3d.report.texts import texts
from frame3d.solids.outline_mesh import body_mesh
from tests.report.samples import CONFIGS, HARDTAIL, four_link_layout

LAYOUT = solve(load(HARDTAIL))
BODIES = bodies_of(LAYOUT)
SIDE = Side(LAYOUT, BODIES)
OUTLINES = {o.name: o for o in outlines(BODIES)}
DRAWN = [b for b in BODIES.bodies if b.drawn]


@pytest.mark.parametrize("body", DRAWN, ids=lambda b: b.name)
def test_outlines_reach_as_far_as_the_meshes(body: Body) -> None:
    """In eight directions of the side view; the meshes are made by another way (manifold3d).

    The ends of mitred tubes are flat on drawings and lie under what they are mitred to.
    """
    flat = replace(body, tubes=tuple(replace(t, flat=(True, True)) for t in body.tubes))
    seen = body_mesh(flat, tolerance=0.05).vertices[:, [0, 2]]
    loops = np.concatenate([piece[0] for piece in OUTLINES[body.name].pieces])
    for turn in np.radians(np.arange(0, 360, 45)):
        way = np.array([np.cos(turn), np.sin(turn)])
        assert (loops @ way).max() == pytest.approx((seen @ way).max(), abs=0.8)


def test_tyres_have_a_hole() -> None:
    (piece,) = OUTLINES["front_tyre"].pieces
    outer, inner = (np.linalg.norm(loop - loop.mean(axis=0), axis=1) for loop in piece)
    assert outer == pytest.approx(372, abs=1e-6)
    assert inner == pytest.approx(311, abs=1e-6)  # 622 / 2: the bead seat, by the designation


def test_near_parts_cover_far_ones() -> None:
    order = list(OUTLINES)
    assert order.index("chainstay_left") < order.index("rear_tyre") < order.index("chainstay_right")
    assert order.index("seatstay_right") < order.index("seat_tube") < order.index("crank_arm_right")
    assert order.index("top_tube") < order.index("head_tube")


def test_hull_of_a_square_with_points_inside() -> None:
    rng = np.random.default_rng(1)
    corners = np.array([(0, 0), (2, 0), (2, 2), (0, 2)], dtype=float)
    inside = rng.uniform(0.1, 1.9, (50, 2))
    found = hull(np.concatenate([inside, corners]))
    assert sorted(map(tuple, found)) == sorted(map(tuple, corners))


def _numbers(data: str) -> list[float]:
    return [float(x) for x in re.findall(r"-?\d+(?:\.\d+)?", data)]


def _lines(sheet: SvgDrawing, class_: str) -> list[list[tuple[float, float]]]:
    found = []
    for mark in sheet.marks:
        match = re.fullmatch(rf'<path d="([^"]*)" class="{class_}"></path>', mark)
        if match is not None:
            x = _numbers(match.group(1))
            found.append(list(zip(x[::2], x[1::2], strict=True)))
    return found


@pytest.mark.parametrize("figure", FIGURES)
def test_dimensions_are_as_long_as_their_figures(figure: str) -> None:
    """To what a tenth of a millimetre leaves: a length's line is as long, an angle's arc spans it."""
    value = SIDE.figure(figure)
    assert value is not None
    sheet = SvgDrawing(20.0)
    dimension(sheet, SIDE, figure, "x")
    first = _lines(sheet, "dim")[0]
    if unit(figure) == "mm":
        (a, b), (c, d) = first
        assert math.hypot(c - a, d - b) == pytest.approx(abs(value), abs=0.15)
        return
    ends = [np.array(first[i]) for i in (0, len(first) // 2, -1)]
    # Centre of the circle through three points of the arc.
    m = 2 * np.array([ends[1] - ends[0], ends[2] - ends[0]])
    r = np.array([ends[1] @ ends[1] - ends[0] @ ends[0], ends[2] @ ends[2] - ends[0] @ ends[0]])
    centre = np.linalg.solve(m, r)
    u, v = ends[0] - centre, ends[2] - centre
    angle = np.degrees(np.arccos(u @ v / np.linalg.norm(u) / np.linalg.norm(v)))
    assert angle == pytest.approx(value, abs=0.2)


@pytest.mark.parametrize("figure", FIGURES)
def test_definitions_show_their_dimension(figure: str) -> None:
    """Lines and text lie within what the picture shows."""
    low, high = window(SIDE, figure)
    made = definition(SIDE, figure, texts())
    dims = re.findall(r'<path d="([^"]*)" class="(?:dim|arrow)">', made)
    assert dims
    for data in dims:
        x = _numbers(data)
        assert low[0] < min(x[::2]) <= max(x[::2]) < high[0]
        assert low[1] < -max(x[1::2]) <= -min(x[1::2]) < high[1]
    (x, y, size) = re.search(
        r'<text x="([-\d.]+)" y="([-\d.]+)" dy="[-\d.]+" font-size="([\d.]+)"', made
    ).groups()  # type: ignore[union-attr]
    assert low[0] + float(size) < float(x) < high[0] - float(size)
    assert low[1] + 0.5 * float(size) < -float(y) < high[1] - 0.5 * float(size)


@pytest.mark.parametrize("config", ["trail_hardtail_29", "adventure_rigid", "minimal"])
def test_every_demo_is_drawn(config: str) -> None:
    layout = solve(load(CONFIGS / f"{config}.yaml"))
    side = Side(layout, bodies_of(layout))
    made = drawing(side, texts())
    bike = bike_symbol(side)
    assert made.count('class="arrow"') >= 20
    assert bike.count('class="part') >= 2
    assert bike.count('class="frame') >= 5
    assert "nan" not in made + bike
    # The wheels, whatever describes them, reach the ground.
    reach = max(y for d in re.findall(r'd="([^"]*)" class="part"', bike) for y in _numbers(d)[1::2])
    assert reach == pytest.approx(layout.chart["bb_height"], abs=0.5)


def test_links_are_drawn_through_their_points() -> None:
    layout = four_link_layout()
    bike = bike_symbol(Side(layout, bodies_of(layout)))
    assert layout.linkage is not None
    assert bike.count('class="link"') == 1  # the others are made, as plates
    x, z = layout.linkage.drawn["rocker_pivot"]
    assert f'cx="{x:.1f}" cy="{-z:.1f}"' in bike
