"""Side view: every demo is drawn, links through their points, definitions inside their pictures."""

from __future__ import annotations

import re

import pytest

from frame3d.bike.solve import solve
from frame3d.bodies import bodies_of
from frame3d.looks.rider import figure_of
from frame3d.parameters.models.figures import FIGURES
from frame3d.parameters.reading.reader import load
from frame3d.report.drawing.dimension import window
from frame3d.report.drawing.side_view import bike_symbol, definition, drawing
from frame3d.report.drawing.silhouette import corners
from frame3d.report.page import stylesheet
from frame3d.report.side import Side
from frame3d.report.texts import texts
from tests.report.drawn import numbers
from tests.report.samples import CONFIGS, four_link_layout, hardtail_side


@pytest.mark.parametrize("figure", FIGURES)
def test_definitions_show_their_dimension(figure: str) -> None:
    """Lines and text lie within what the picture shows."""
    low, high = window(hardtail_side(), figure)
    made = definition(hardtail_side(), figure, texts())
    dims = re.findall(r'<path d="([^"]*)" class="(?:dim|arrow)">', made)
    assert dims
    for data in dims:
        x = numbers(data)
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
    reach = max(y for d in re.findall(r'd="([^"]*)" class="part"', bike) for y in numbers(d)[1::2])
    assert reach == pytest.approx(layout.chart["bb_height"], abs=0.5)


@pytest.mark.parametrize("config", [path.stem for path in sorted(CONFIGS.glob("*.yaml"))])
def test_nothing_of_a_drawing_is_cut_off(config: str) -> None:
    """Every line, and the middle of every text with room for its letters, lies in the picture."""
    layout = solve(load(CONFIGS / f"{config}.yaml"))
    made = drawing(Side(layout, bodies_of(layout)), texts())
    left, top, width, height = numbers(re.findall(r'viewBox="([^"]*)"', made)[0])
    points = [
        point
        for data in re.findall(r'<path d="([^"]*)"', made)
        for point in zip(numbers(data)[::2], numbers(data)[1::2], strict=True)
    ]
    named = re.findall(r'<text x="([-\d.]+)" y="([-\d.]+)"[^>]*>([^<]*)<', made)
    points += [(float(x), float(y)) for x, y, _ in named]
    assert len(points) > 100
    for x, y in points:
        assert left + 10 < x < left + width - 10
        assert top + 10 < y < top + height - 10


def test_links_are_drawn_through_their_points() -> None:
    layout = four_link_layout()
    bike = bike_symbol(Side(layout, bodies_of(layout)))
    assert layout.linkage is not None
    assert bike.count('class="link"') == 1  # the others are made, as plates
    x, z = layout.linkage.drawn["rocker_pivot"]
    assert f'cx="{x:.1f}" cy="{-z:.1f}"' in bike


def test_the_rider_is_in_the_drawing_only_where_the_style_shows_it() -> None:
    """All of it in groups that are hidden until the box is ticked, on screen and paper."""
    figure = figure_of(hardtail_side().bike)
    assert figure is not None
    plain, ridden = (drawing(hardtail_side(), texts(), who) for who in (None, figure))
    assert "ridden" not in plain
    without = re.sub(r'<g class="ridden">.*?</g>', "", ridden)
    assert re.sub(r'<svg class="sheet headroom".*?</svg>', "", without) == plain
    hides = "#drawing:not(:has(#drawing-rider:checked)) :is(.ridden, .headroom) { display: none; }"
    assert hides in stylesheet()
    assert "#drawing .choice" in stylesheet()


def test_the_room_over_the_drawing_is_the_riders_head() -> None:
    figure = figure_of(hardtail_side().bike)
    assert figure is not None
    made = drawing(hardtail_side(), texts(), figure)
    room, view = [list(map(float, v.split())) for v in re.findall(r'viewBox="([^"]*)"', made)]
    assert room[2] == pytest.approx(view[2], abs=0.6)
    top = corners(figure, figure.poses[0])[1][1]
    assert -view[1] < top < -view[1] + room[3]
