"""Volume and centre of features, and what they take out of their tubes; no CAD kernel."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.geometry.centreline import Centreline, Line
from frame3d.geometry.vector import Vector, point
from frame3d.tubes.cuts.drilled import lines
from frame3d.tubes.cuts.mitre import level
from frame3d.tubes.cuts.vents import Hole
from frame3d.tubes.features.feature import Feature
from frame3d.tubes.features.forms import Form, forms
from frame3d.tubes.features.holes import holes
from frame3d.tubes.features.patches import patches
from frame3d.tubes.features.patches import weighed as weighed_patch
from frame3d.tubes.features.towers import towers
from frame3d.tubes.features.towers import weighed as weighed_tower
from frame3d.tubes.tube import Tube

RINGS, SPOKES = 40, 96
"""Lines through a piece that its tube cuts: rings, and lines on each."""


def taken(feature: Feature, tube: Tube) -> tuple[Hole, ...]:
    """Return all that a feature takes out of its tube: its holes, and what it fills itself."""
    filled = (
        Hole(_line(form.start, form.end), form.diameter)
        for form in forms(feature, tube)
        if form.set_in
    )
    return (*holes(feature, tube), *filled)


def weighed(feature: Feature, tube: Tube) -> Iterator[tuple[str, float, Array]]:
    """Yield name, volume [mm³] and first moment (3,) [mm⁴] of each piece of metal."""
    for form in forms(feature, tube):
        whole = _rod(form, tube, form.start, form.end, form.diameter)
        gone = [_rod(form, tube, *one) for one in _bores(form)]
        volume = whole[0] - sum(v for v, _ in gone)
        yield form.name, volume, np.asarray(whole[1] - sum((m for _, m in gone), np.zeros(3)))
    for tower in towers(feature, tube):
        yield (tower.name, *weighed_tower(tower, tube))
    for patch in patches(feature, tube):
        yield (patch.name, *weighed_patch(patch))


def _bores(form: Form) -> Sequence[tuple[Vector, Vector, float]]:
    """Return the bores without what they have in common: start, end, diameter."""
    blind = [b for b in form.bores if not b.through]
    found = [(form.start, b.end, b.diameter) for b in blind]
    first = blind[0].end if blind else form.start
    return [*found, *((first, form.end, b.diameter) for b in form.bores if b.through)]


def _rod(
    form: Form, tube: Tube, start: Vector, end: Vector, diameter: float
) -> tuple[float, Array]:
    """Return volume and first moment of a round bar; of what stands, outside of its tube."""
    length = float(np.linalg.norm(end - start))
    if form.set_in:
        volume = float(np.pi / 4 * diameter**2 * length)
        return volume, volume * (start + end) / 2
    points, area = lines(Hole(_line(start, end), diameter), RINGS, SPOKES)
    middle = (points[:, 1:] + points[:, :-1]) / 2
    outside, _ = level(tube, middle.reshape(-1, 3))
    metal = (outside.reshape(middle.shape[:2]) > 0) * area[:, None]
    metal = metal * length / middle.shape[1]
    return float(metal.sum()), np.asarray(np.einsum("ij,ijk->k", metal, middle))


def _line(start: Vector, end: Vector) -> Centreline:
    return Centreline((Line(point(start), point(end)),))
