"""Tubes with stations, thick ends and dimples against OCCT: volume of their solids, distances to shapes."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import Any

import numpy as np
import pytest

from frame3d.bodies.shapes import Tubular
from frame3d.clearance.certify.distance import Gap, nearest
from frame3d.geometry.centreline import Arc, Centreline
from frame3d.geometry.section import Section
from frame3d.geometry.vector import point
from frame3d.parameters.models.tubes import TubeSpec
from frame3d.solids import occ
from frame3d.solids.sweep import Sweep
from frame3d.tubes.placing.stations import outside
from tests.clearance.samples import a_pair
from tests.reference import occt
from tests.sampling import diagonal

OUTSIDES: dict[str, dict[str, Any]] = {
    "bell": {"od": {"steps": [46, 34, 38], "lengths": [30, 20], "transition": 6}},
    "oval stations": {
        "od": {"stations": [[0, 24], [60, {"height": 30, "width": 18}], [-30, 20], [-5, 26]]}
    },
    "bi-oval": {
        "od": {
            "start": {"height": 36, "width": 24},
            "end": {"height": 24, "width": 34},
            "after": 50,
        }
    },
    "dimpled taper": {
        "od": {"start": 26, "end": 18, "after": 40, "over": 120},
        "dimples": [{"at": 150, "over": 30, "transition": 25, "width": 13}],
    },
}
STRAIGHT = Centreline.through(((0, 0, 0), (240, 60, 30)), ())
BENT = Centreline.through(((0, 0, 0), (130, 0, 0), (240, 60, 30)), (90,))


def tube(kind: str, axis: Centreline) -> Section:
    spec = TubeSpec.model_validate({"wall": "solid", **OUTSIDES[kind]})
    return outside(spec, axis, (0.0, 0.0))


@pytest.mark.parametrize("axis", [STRAIGHT, BENT], ids=["straight", "bent"])
@pytest.mark.parametrize("kind", OUTSIDES)
def test_solid_has_the_volume_of_its_sections(kind: str, axis: Centreline) -> None:
    """∫ π/4 h w ds, piecewise quadratic: Simpson's rule is exact; by Pappus in bends too."""
    shape = tube(kind, axis)
    area = shape.area_at
    expected = sum(
        (b - a) / 6 * float(area(a) + 4 * area((a + b) / 2) + area(b)) for a, b in pairwise(shape.s)
    )
    solid = occ.solid(Sweep(axis, shape.s, shape.height, shape.width))
    assert occt.volume(solid) == pytest.approx(expected, rel=1e-5 if axis is STRAIGHT else 2e-4)


@pytest.mark.parametrize(("kind", "line"), diagonal(2, list(OUTSIDES), ["straight", "bent"]))
def test_gaps_to_shapes(kind: str, line: str) -> None:
    """BRepExtrema on OCCT's own cones, lofts and pipes within 0.01 mm."""
    axis = BENT if line == "bent" else STRAIGHT
    random = np.random.default_rng([3, sorted(OUTSIDES).index(kind), len(axis.pieces)])
    shape = tube(kind, axis)
    assert (axis is BENT) == any(isinstance(piece, Arc) for piece in axis.pieces)
    # Short legs: between two ovals along a bend OCCT's pipe is up to 0.02 mm off the even sizes.
    s = np.unique([*shape.s, *np.arange(0.0, axis.length, 12.0)])
    height, width = (tuple(x.tolist()) for x in (shape.height_at(s), shape.width_at(s)))
    solid = occ.solid(Sweep(axis, tuple(s.tolist()), height, width))
    body = Tubular("tube", axis, shape)
    off = []
    for other in ("box", "capsule", "cylinder"):
        for _ in range(1 if axis is BENT else 2):
            from_, placed = a_pair("straight", other, random, spread=220)
            # Beside a random place of this tube instead of the drawn one's.
            move = axis.at(random.uniform(0, axis.length)) - from_.axis.at(from_.axis.length / 2)
            there = replace(placed, origin=point(np.add(placed.origin, move)))
            gap = nearest(body, there, tolerance=1e-3)
            assert isinstance(gap, Gap)
            if gap.gap > 0.05:
                theirs = occt.distance([solid], occt.placed(occt.shape(there.shape), there))
                off.append(abs(theirs - gap.gap))
    assert len(off) >= 2
    assert max(off) <= 0.01
