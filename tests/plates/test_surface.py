"""The meeting of a plane and a tube's outside, and curves as few lines and arcs."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.geometry.closed_path import Path
from frame3d.plates.surface import CLOSE, fitted, heights
from frame3d.tubes.tube import Shell

SHELL = Shell("shell", 100.0, 40.0, 30.0)


def test_heights_above_an_axis_are_the_chords() -> None:
    x = np.linspace(-15, 15, 7)
    starts = np.stack([x, 0 * x, 0 * x], axis=1)
    found = heights(SHELL, starts, np.array([0.0, 0.0, 1.0]))
    assert found is not None
    assert found == pytest.approx(np.sqrt(400 - x**2), abs=1e-9)


def test_there_is_none_from_outside() -> None:
    assert heights(SHELL, np.array([[21.0, 0.0, 0.0]]), np.array([0.0, 0.0, 1.0])) is None


def test_points_on_a_line_are_one_line() -> None:
    x = np.linspace(0, 50, 20)
    assert fitted(np.stack([x, 0.1 * x], axis=1)) == [(0.0, 0.0, 0.0)]


@pytest.mark.parametrize("turn", [1.0, -1.0])
def test_points_on_a_circle_are_one_arc(turn: float) -> None:
    at = turn * np.linspace(0.2, 1.8, 33)
    points = 30 * np.stack([np.cos(at), np.sin(at)], axis=1)
    ((x, y, bulge),) = fitted(points)
    assert (x, y) == pytest.approx(points[0])
    assert bulge == pytest.approx(turn * np.tan(1.6 / 4))


def test_other_curves_are_lines_within_the_tolerance() -> None:
    x = np.linspace(-20, 20, 81)
    points = np.stack([x, 0.002 * x**3], axis=1)
    found = fitted(points)
    assert 4 < len(found) < 81
    closed = Path((*found, (20.0, 16.0, 0.0), (20.0, 30.0, 0.0), (-20.0, 30.0, 0.0)))
    assert max(closed.distance((float(p[0]), float(p[1]))) for p in points) <= CLOSE + 1e-9


def test_a_bend_between_straights_is_a_line_an_arc_and_a_line() -> None:
    """With up to one short piece more at either end of the bend, where the arc is not yet its own."""
    turn = np.linspace(-np.pi / 2, -np.pi / 4, 40)
    bend = np.stack([30 + 80 * np.cos(turn), 80 + 80 * np.sin(turn)], axis=1)
    before = np.stack([np.linspace(0, 29, 30), np.zeros(30)], axis=1)
    after = bend[-1] + np.linspace(1, 30, 30)[:, None] * np.array([1, 1]) / np.sqrt(2)
    points = np.concatenate([before, bend, after])
    found = fitted(points)
    assert 3 <= len(found) <= 5
    arcs = [vertex for vertex in found if vertex[2] != 0.0]
    closed = Path((*found, (*map(float, points[-1]), 0.0), (0.0, 200.0, 0.0)))
    assert max(closed.distance((float(p[0]), float(p[1]))) for p in points) <= CLOSE + 1e-9
    assert any(edge.is_arc and abs(edge.radius - 80) < 8 for edge in closed.edges)
    assert len(arcs) <= 3
