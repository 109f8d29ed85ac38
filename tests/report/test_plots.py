"""Plots: values where they belong, axes that read well, the same numbers for scripts."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest

from frame3d.report.drawing.labels import LETTER
from frame3d.report.drawing.plots import (
    BOTTOM,
    HIGH,
    LEFT,
    RIGHT,
    TOP,
    WIDE,
    Plot,
    Series,
    picture,
    plot_document,
)
from frame3d.report.drawing.plots import figure as shown
from frame3d.report.texts import texts

SAY = texts()


def plot(x: list[float], *curves: list[float], **more: object) -> Plot:
    series = tuple(Series(f"c{i}", tuple(c)) for i, c in enumerate(curves))
    return Plot(
        key="k",
        title="Title",
        says="Says.",
        x_name="X",
        x_unit="mm",
        x=tuple(x),
        y_name="Y",
        y_unit="N",
        series=series,
        **more,
    )  # type: ignore[arg-type]


def points(svg: str, curve: int = 0) -> np.ndarray:
    data = re.search(rf'<path d="M([^"]*)" class="curve c{curve}">', svg)
    assert data is not None
    return np.array([[float(v) for v in p.split()] for p in data.group(1).split("L")])


def test_values_lie_between_the_ticks_as_they_should() -> None:
    svg = picture(plot([0.0, 50.0, 100.0], [0.0, 20.0, 40.0]), SAY)
    found = points(svg)
    assert found[0] == pytest.approx([LEFT, HIGH - BOTTOM])
    assert found[-1] == pytest.approx([WIDE - RIGHT, TOP])
    assert found[1] == pytest.approx((found[0] + found[2]) / 2)
    ticks = re.findall(r'text-anchor="end" class="figure">([^<]*)<', svg)
    assert ticks == ["0", "10", "20", "30", "40"]


@pytest.mark.parametrize("scale", [1e-3, 0.07, 1.0, 33.0, 4e5])
def test_ticks_are_round_and_few_at_every_scale(scale: float) -> None:
    made = plot([0.0, 1.0], [0.31 * scale, 1.17 * scale], decimals=6)
    document = plot_document(made)
    low, high = document["yRange"]
    assert low <= 0.31 * scale < 1.17 * scale <= high
    assert high - low < 2.2 * 0.86 * scale
    svg = picture(made, SAY)
    assert 3 <= svg.count('class="grid"') <= 8


def test_a_level_curve_has_room() -> None:
    low, high = plot_document(plot([0.0, 1.0], [5.0, 5.0]))["yRange"]
    assert low < 5.0 < high


def test_what_is_not_finite_is_left_out() -> None:
    made = plot([0.0, 1.0, 2.0], [1.0, math.inf, 3.0])
    assert len(points(picture(made, SAY))) == 2
    assert plot_document(made)["series"][0]["y"] == [1.0, None, 3.0]
    assert "–" in shown(made, SAY)
    nothing = plot([0.0, 1.0], [math.nan, math.nan])
    assert "nan" not in picture(nothing, SAY).lower()


def test_maps_have_one_scale() -> None:
    document = plot_document(plot([0.0, 10.0], [0.0, 200.0], same_scale=True))
    (x0, x1), (y0, y1) = document["xRange"], document["yRange"]
    _, _, width, height = document["box"]
    assert (x1 - x0) / width == pytest.approx((y1 - y0) / height)


def test_names_of_curves_do_not_touch() -> None:
    made = plot([0.0, 1.0], [1.0, 10.0], [1.0, 10.1], [1.0, 10.2])
    found = re.findall(
        r'x="([\d.]+)" y="([\d.]+)" text-anchor="start" class="of', picture(made, SAY)
    )
    assert len(found) == 3
    for (xa, ya), (xb, yb) in combinations([(float(x), float(y)) for x, y in found], 2):
        assert abs(ya - yb) >= 14 or abs(xa - xb) >= 2 * LETTER


@pytest.mark.parametrize(
    ("values", "more", "expected"),
    [
        ([64.8, 65.0], {}, (62.4, 67.4)),
        ([1.0, 2.0], {}, (0.0, 5.0)),
        ([-1.0, -2.0], {}, (-5.0, 0.0)),
        ([-1.0, 1.0], {}, (-2.5, 2.5)),
        ([3.0, 4.0], {"from_zero": True}, (0.0, 5.0)),
        ([0.0, 40.0], {}, (0.0, 40.0)),
    ],
)
def test_an_axis_is_at_least_as_wide_as_asked(
    values: list[float], more: dict[str, bool], expected: tuple[float, float]
) -> None:
    low, high = plot_document(plot([0.0, 1.0], values, least_span=5.0, **more))["yRange"]
    assert low <= expected[0] + 1e-9
    assert high >= expected[1] - 1e-9
    assert high - low <= 2 * (expected[1] - expected[0])
    assert (low >= 0) == (min(values) >= 0)


def test_a_map_is_at_least_as_wide_as_asked() -> None:
    low, high = plot_document(plot([0.0, 1.0], [0.0, 1.0], same_scale=True, least_span=50.0))[
        "yRange"
    ]
    assert high - low == pytest.approx(50.0)


def test_scripts_get_the_same_places() -> None:
    made = plot([0.0, 50.0, 100.0], [1.0, 2.5, 4.0])
    d = plot_document(made)
    left, top, width, height = d["box"]
    (x0, x1), (y0, y1) = d["xRange"], d["yRange"]
    for (u, v), x, y in zip(points(picture(made, SAY)), d["x"], d["series"][0]["y"], strict=True):
        assert u == pytest.approx(left + (x - x0) / (x1 - x0) * width, abs=0.06)
        assert v == pytest.approx(top + height - (y - y0) / (y1 - y0) * height, abs=0.06)


def test_the_picture_is_said_in_words() -> None:
    svg = picture(plot([0.0, 1.0], [1.0, 2.0]), SAY)
    assert 'aria-label="Title. c0: from 1.0 N to 2.0 N."' in svg


def test_a_band_is_shaded_between_its_limits_and_within_the_axes() -> None:
    series = Series("", (10.0, 20.0, 30.0), band=((5.0, 14.0), (16.0, 24.0), (30.0, 40.0)))
    banded = replace(plot([0.0, 50.0, 100.0], [0.0, 0.0, 0.0]), series=(series,))
    svg = picture(banded, SAY)
    data = re.search(r'<path d="M([^"]*)Z" class="band c0">', svg)
    assert data is not None
    edge = np.array([[float(v) for v in p.split()] for p in data.group(1).split("L")])
    line = points(svg)
    # Down there and back above: limits at the same x, the curve in between, the top on the last tick.
    assert edge[:3, 0] == pytest.approx(edge[:2:-1, 0])
    assert (edge[:3, 1] >= line[:, 1]).all()
    assert (edge[:2:-1, 1] <= line[:, 1] + 0.1).all()
    assert edge[3] == pytest.approx([WIDE - RIGHT, TOP])
    assert "16 to 24" in shown(replace(banded, decimals=0), SAY)
