"""Strokes at wheel travels, of many linkages."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.explore.linkages.batch import followed, strokes_at
from tests.explore.linkages.linkages import linkage_of, moved_points, program_for


def test_strokes_at_travels() -> None:
    linkage = linkage_of("trail_full_140")
    program = program_for(linkage)
    points = moved_points(program, linkage, 0.0, 4)
    strokes = np.tile(linkage.stroke, (4, 1))
    known = followed(program, points, strokes)
    travels = np.array([0.0, 33.3, 101.0, linkage.full_travel])
    found = strokes_at(program, points, known, strokes, travels)
    assert found == pytest.approx(linkage.strokes_at(travels), abs=1e-9)
    known.clean[1] = False
    again = strokes_at(program, points, known, strokes, travels)
    assert again[[0, 2, 3]] == pytest.approx(found[[0, 2, 3]], abs=1e-12)
