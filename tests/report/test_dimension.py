"""Dimensions of the side view: as long as their figures, and inside the picture."""

from __future__ import annotations

import math

import numpy as np
import pytest

from frame3d.parameters.models.figures import FIGURES, unit
from frame3d.report.drawing.dimension import dimension
from frame3d.report.drawing.sheet import SvgDrawing
from tests.report.drawn import lines
from tests.report.samples import hardtail_side

SIDE = hardtail_side()


@pytest.mark.parametrize("figure", FIGURES)
def test_dimensions_are_as_long_as_their_figures(figure: str) -> None:
    """To what a tenth of a millimetre leaves: a length's line is as long, an angle's arc spans it."""
    value = SIDE.figure(figure)
    assert value is not None
    sheet = SvgDrawing(20.0)
    dimension(sheet, SIDE, figure, "x")
    first = lines(sheet.marks, "dim")[0]
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
