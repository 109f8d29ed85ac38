"""Patches of rounded sections, and distances from them, against plain numpy (`geometry.rounded`)."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from frame3d.bodies.shapes import Tubular
from frame3d.clearance.certify.rounded_sections import misses, nearest, side
from frame3d.clearance.certify.search_input import pieces_of
from frame3d.geometry import rounded
from frame3d.geometry.arrays import Array
from frame3d.geometry.centreline import Centreline
from frame3d.geometry.section import Section

SECTIONS = {
    "wide": (28.0, 40.0, (5.0, 3.0, 7.0, 4.0)),
    "upright": (40.0, 28.0, (5.0, 3.0, 7.0, 4.0)),
    "low D": (30.0, 40.0, (20.0, 5.0, 5.0, 20.0)),
}


def piece(kind: str) -> tuple[Any, Tubular]:
    h, w, r = SECTIONS[kind]
    axis = Centreline.through(((0, 0, 0), (100, 20, 30)), ())
    section = Section((0.0, axis.length), (h, h), (w, w), (0.0, 0.0), (r, r))
    tube = Tubular(kind, axis, section)
    return pieces_of(tube)[0][0], tube


def inside(kind: str, at: Array) -> Array:
    """Level of places given along M and N [mm]."""
    row, tube = piece(kind)
    up, across = tube.axis.frame(0.0)
    minor = np.cross(row["tangent"], row["major"])
    p = at[:, :1] * row["major"] + at[:, 1:] * minor
    h, w, r = SECTIONS[kind]
    n = len(at)
    return rounded.level(
        p @ up, p @ across, np.full(n, h / 2), np.full(n, w / 2), np.tile(r, (n, 1))
    )


@pytest.mark.parametrize("kind", SECTIONS)
def test_patches(kind: str) -> None:
    """None that is dropped holds a place; of the others the place is one of the section, and all of
    the section's places in the patch lie inwards of the rim there.
    """
    row, _ = piece(kind)
    half = np.array([float(row["a"]), float(row["b"])])
    random = np.random.default_rng(4)
    rim = np.zeros(2)
    dropped = on_rim = 0
    for i in range(600):
        h = 0.5 ** float(random.integers(1, 7))
        m = (random.integers(0, int(1 / h), 2) + 0.5) * h * 2 - 1
        if i % 2:  # near a corner
            m = random.choice([-1, 1], 2) * (1 - h * (1 + 2 * random.integers(0, 3, 2) * (h < 0.2)))
        fan = np.linspace(-1, 1, 41)
        u, v = (x.ravel() for x in np.meshgrid(m[0] + h * fan, m[1] + h * fan))
        held = inside(kind, np.column_stack([u, v]) * half) <= 0
        if misses(row, 0.0, 0.0, *m, h, h):
            dropped += 1
            assert not held.any()
            continue
        x = np.array(nearest(row, 0.0, 0.0, *m, h, h, rim)[:2])
        assert inside(kind, (x * half)[None])[0] <= 1e-9
        if rim.any():
            on_rim += 1
            assert np.hypot(*rim) == pytest.approx(1.0)
            off = (np.column_stack([u, v]) - x) @ rim
            assert off[held].max(initial=-1.0) <= 1e-9
    assert dropped > 10
    assert on_rim > 50


@pytest.mark.parametrize("kind", SECTIONS)
def test_distances(kind: str) -> None:
    """As geometry has them; their gradients change no faster than is said."""
    row, _ = piece(kind)
    a, b = float(row["a"]), float(row["b"])
    random = np.random.default_rng(6)
    gradient, other = np.zeros(2), np.zeros(2)
    for p in random.uniform(-1.6, 1.6, (400, 2)) * (a, b):
        f, even, _ = side(row, 0.0, *p, gradient)
        assert f == pytest.approx(inside(kind, p[None])[0], abs=1e-9)
        if even <= 0.2:
            continue
        for share in (0.1, 0.6):
            e = share * even
            turn = random.uniform(0, 2 * np.pi)
            there = p + e * np.array([np.cos(turn), np.sin(turn)])
            side(row, 0.0, *there, other)
            assert np.hypot(*(other - gradient)) <= e / (even - e) + 1e-9
