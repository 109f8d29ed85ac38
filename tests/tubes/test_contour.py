"""Contours on an unrolled tube against curves that are known: edges, holes, corners, pieces."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.geometry.arrays import Array
from frame3d.tubes.cuts.contour import Field, contours

GRID = np.linspace(0.0, 60.0, 121)


def below(edge: Field) -> Field:
    """A field that takes away all that lies below an edge."""
    return lambda phi, s: edge(phi, s) - s


def wave(height: float, swing: float, top: float = 0.0) -> Field:
    return lambda phi, _: height + swing * np.cos(np.radians(phi - top))


def disc(phi0: float, s0: float, radius: float) -> Field:
    """A round hole; a degree around counts as half a millimetre."""

    def field(phi: Array, s: Array) -> Array:
        around = (phi - phi0 + 180.0) % 360.0 - 180.0
        return np.asarray(radius - np.hypot(around / 2, s - s0))

    return field


def test_an_edge_around_the_tube() -> None:
    ((phi, s, active, around),) = contours([below(wave(20, 7))], GRID, -1)
    assert around
    assert phi[-1] - phi[0] == pytest.approx(360) or phi[0] - phi[-1] == pytest.approx(360)
    assert np.abs(np.diff(phi)).max() <= 1.0 + 1e-9
    assert s == pytest.approx(20 + 7 * np.cos(np.radians(phi)), abs=1e-9)
    assert (active == 0).all()
    assert (s.min(), s.max()) == pytest.approx((13, 27), abs=1e-9)


@pytest.mark.parametrize("phi0", [0.0, 100.0, 359.7])
def test_a_hole_is_a_closed_curve_wherever_it_lies(phi0: float) -> None:
    """Also across the line where the turn begins; phi runs on without a jump."""
    found = contours([disc(phi0, 30.0, 9.0)], GRID, -1)
    ((phi, s, _, around),) = found
    assert not around
    assert np.abs(np.diff(phi)).max() < 2
    assert (phi[0], s[0]) == pytest.approx((phi[-1], s[-1]))
    off = (phi - phi0 + 180) % 360 - 180
    assert np.hypot(off / 2, s - 30) == pytest.approx(np.full(len(s), 9.0), abs=1e-9)
    area = abs(np.sum((phi[1:] + phi[:-1]) / 2 * np.diff(s))) / 2
    assert area == pytest.approx(np.pi * 81, rel=2e-3)


def test_corners_are_where_two_fields_are_nothing() -> None:
    """Two waves cross at 90.3 and 270.3 degrees, between lines of the grid, at 20 mm."""
    fields = [below(wave(20, 5, 0.3)), below(wave(20, -5, 0.3))]
    ((phi, s, active, around),) = contours(fields, GRID, -1)
    assert around
    assert s == pytest.approx(20 + 5 * np.abs(np.cos(np.radians(phi - 0.3))), abs=1e-9)
    assert set(active.tolist()) == {0, 1}
    corners = phi[np.abs(s - 20) < 1e-8] % 360
    assert sorted(corners) == pytest.approx([90.3, 270.3], abs=1e-6)


def test_an_edge_and_holes_beside_it() -> None:
    fields = [below(wave(10, 3)), disc(60.0, 40.0, 6.0), disc(200.0, 35.0, 8.0)]
    found = contours(fields, GRID, -1)
    assert sorted(around for *_, around in found) == [False, False, True]
    by_field = {int(active[0]): s for _, s, active, _ in found}
    assert (by_field[1].min(), by_field[1].max()) == pytest.approx((34, 46), abs=0.05)
    assert (by_field[2].min(), by_field[2].max()) == pytest.approx((27, 43), abs=0.05)


def test_a_hole_that_runs_into_the_edge_makes_one_of_both() -> None:
    ((phi, s, active, around),) = contours([below(wave(20, 0)), disc(90.0, 20.0, 8.0)], GRID, -1)
    assert around
    off = (phi - 90 + 180) % 360 - 180
    arc = 20 + np.sqrt(np.maximum(64 - (off / 2) ** 2, 0))
    assert s == pytest.approx(np.where(np.abs(off) < 16, arc, 20), abs=1e-6)
    corners = np.sort(phi[:-1][np.diff(active) != 0] % 360)
    assert corners == pytest.approx([74, 106], abs=1.01)


def band(low: float, high: float) -> Field:
    """A field that takes away a ring all around."""
    return lambda phi, s: np.minimum(s - low, high - s) + 0 * phi


@pytest.mark.parametrize(
    ("border", "edge"),
    [(-1, 30.0), (0, 20.0), (None, 30.0)],
    ids=["the upper piece", "the lower piece", "the larger piece"],
)
def test_one_piece_is_followed(border: int | None, edge: float) -> None:
    """A ring from 20 to 30 mm cuts the tube in two, and holes in the other piece are not told."""
    other = disc(100.0, 45.0, 4.0) if edge == 20.0 else disc(100.0, 10.0, 4.0)
    found = contours([band(20.0, 30.0), other], GRID, border)
    ((_, s, _, around),) = found
    assert around
    assert s == pytest.approx(np.full(len(s), edge), abs=1e-9)


def test_where_nothing_is_cut_there_is_no_contour() -> None:
    assert contours([lambda phi, s: -1 - 0 * phi * s], GRID, -1) == []
    assert contours([lambda phi, s: 1 + 0 * phi * s], GRID, -1) == []
