"""Meshes of solids without the CAD kernel: volumes, closeness to the true surface, closed surfaces."""

from __future__ import annotations

import math

import numpy as np
import pytest

from frame3d.formats.stl import is_closed
from frame3d.geometry.centreline import Centreline
from frame3d.solids.mesh import Grazed, facets, sweep_mesh
from frame3d.solids.sweep import Sweep, straight

BEND = Centreline.through(((0, 0, 0), (100, 0, 0), (100, 0, 100)), (90,))


@pytest.mark.parametrize("tolerance", [0.5, 0.05, 0.005])
@pytest.mark.parametrize("size", [8.0, 34.9, 62.0])
def test_cylinder_has_its_volume_and_stays_close(size: float, tolerance: float) -> None:
    sweep = straight((0, 0, 0), (0, 0, 100), (size, size))
    mesh = sweep_mesh(sweep, facets(size, tolerance), tolerance)
    assert is_closed(mesh.triangles)
    assert mesh.volume == pytest.approx(math.pi / 4 * size**2 * 100, rel=1e-12)
    ring = mesh.vertices[np.abs(mesh.vertices[:, 2]) < 1e-9][:-1, :2]
    ring = ring[np.linalg.norm(ring, axis=1) > 1e-9]
    middles = (ring + np.roll(ring, 1, axis=0)) / 2
    radii = np.linalg.norm(np.vstack([ring, middles]), axis=1)
    assert np.abs(radii - size / 2).max() <= tolerance


def test_bend_stays_close_to_its_torus() -> None:
    sweep = Sweep(BEND, (0.0, BEND.length), (20, 20), (20, 20))
    mesh = sweep_mesh(sweep, facets(20, 0.05), 0.05)
    assert is_closed(mesh.triangles)
    assert mesh.volume == pytest.approx(sweep.volume, rel=1e-3)
    middles = mesh.vertices[mesh.triangles].mean(axis=1)
    s, away = BEND.approach(middles)
    side = (s > 1e-3) & (s < BEND.length - 1e-3)
    assert side.sum() > 100
    assert np.abs(away[side] - 10).max() < 0.05  # around the tube and along the bend together


@pytest.mark.parametrize("low", [-1.0, 0.0, 99.0, 180.0])
def test_finer_where_it_is_grazed(low: float) -> None:
    """Rings there and the next ones beyond have more points; the volume is the bend's all the same."""
    sweep = Sweep(BEND, (0.0, BEND.length), (20, 20), (20, 16))
    parts = (1,) * 9 + (2, 5, 5, 1) + (1,) * 11
    plain = sweep_mesh(sweep, 24, 0.05)
    mesh = sweep_mesh(sweep, 24, 0.05, Grazed(parts, low, low + 5.0))
    assert is_closed(mesh.triangles)
    assert len(plain.triangles) < len(mesh.triangles) < 2 * len(plain.triangles)
    assert mesh.volume == pytest.approx(plain.volume, rel=2e-4)
    whole = sweep_mesh(sweep, 24, 0.05, Grazed(parts, 0.0, BEND.length))
    assert is_closed(whole.triangles)
    assert whole.volume == pytest.approx(plain.volume, rel=2e-4)


def test_a_grazed_cylinder_is_closer_where_it_is_finer() -> None:
    sweep = straight((0, 0, 0), (0, 0, 100), (30, 30))
    mesh = sweep_mesh(sweep, 36, 0.05, Grazed((1,) * 12 + (8,) * 6 + (1,) * 18, 0.0, 100.0))
    assert mesh.volume == pytest.approx(math.pi * 15**2 * 100, rel=1e-12)
    ring = mesh.vertices[np.abs(mesh.vertices[:, 2]) < 1e-9][:-1, :2]
    ring = ring[np.linalg.norm(ring, axis=1) > 1e-9]
    middles = (ring + np.roll(ring, 1, axis=0)) / 2
    away = np.abs(np.linalg.norm(middles, axis=1) - 15)
    fine = np.linalg.norm(ring - np.roll(ring, 1, axis=0), axis=1).min() * 1.5
    short = np.linalg.norm(ring - np.roll(ring, 1, axis=0), axis=1) < fine
    assert short.sum() == 48
    assert (
        away.max() <= 15 * (2 * math.pi / 36) ** 2 / 12
    )  # as far as corners of the coarse steps stand out
    assert np.sort(away)[:40].max() < 1e-3
