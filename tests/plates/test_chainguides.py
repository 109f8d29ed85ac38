"""The plate of a chainguide: against shapely's union of its rounds and ring, and the solid kernel."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
import shapely
from pydantic import ValidationError

import frame3d
from frame3d.clearance.check import run_checks
from frame3d.clearance.scene import scene_of
from frame3d.errors import TubeError
from frame3d.parameters.models.flat_parts.plates import ChainguideSpec
from frame3d.parameters.models.frame import FrameSpec
from frame3d.plates.chainguides import edges_of, outline_of
from frame3d.plates.flat_parts import flat_parts_of
from frame3d.solids.build_parts import make
from frame3d.tubes.tube import Shell
from tests.bikes import hardtail_data
from tests.plates.parts import bike, plate

GUIDE: dict[str, Any] = {"kind": "chainguide", "thickness": 6}
SHELL = Shell("threaded-73", 73.0, 40.0, 33.65)


def at(angle: float, radius: float) -> tuple[float, float]:
    return radius * math.cos(math.radians(angle)), radius * math.sin(math.radians(angle))


def test_its_area_is_that_of_rounds_ring_and_tangents() -> None:
    """From the first hole to the last the rounds' hulls with the ring (shapely), less the shell; beyond
    them a quarter of a round, and a strip down to the shell.
    """
    angles, r, c, inner = (-120.0, -5.0, 110.0), 7.0, 28.0, 20.0
    spec = ChainguideSpec.model_validate(GUIDE | {"angles": angles, "radius": r, "ring": 29})
    ring = shapely.Point(0, 0).buffer(29, quad_segs=1024)
    rounds = [shapely.Point(at(a, c)).buffer(r, quad_segs=1024) for a in angles]
    whole = shapely.union_all([ring.union(one).convex_hull for one in rounds])
    turns = np.linspace(angles[0], angles[-1], 24)
    sector = shapely.Polygon([(0, 0), *(at(x, 80) for x in turns)])
    between = whole.intersection(sector).area - math.pi * inner**2 * (angles[-1] - angles[0]) / 360
    under = (r * math.sqrt(inner**2 - r**2) + inner**2 * math.asin(r / inner)) / 2
    end = math.pi * r**2 / 4 + r * c - under
    assert edges_of(spec, SHELL).fitted.area == pytest.approx(between + 2 * end, rel=1e-5)


def test_the_holes_lie_on_the_circle_and_the_face_beside_the_shell_s() -> None:
    made = plate(GUIDE)
    for hole, angle in zip(made.outline.holes, (-130, -10, 110), strict=True):
        assert (hole.x, hole.y) == pytest.approx(at(angle, 28))
        assert (hole.diameter, hole.thread) == (6.0, "M6")
    faces = sorted(made.plane.at((0.0, 0.0), height)[1] for height in (made.low, made.high))
    assert faces == pytest.approx([-36.5 + 2.5, -36.5 + 8.5])
    assert made.on[0] == "bottom_bracket"
    (part,) = [one for one in flat_parts_of(bike(guide=GUIDE).frame) if one.name == "guide"]
    assert (part.kind, part.count) == ("chainguide", 1)
    assert outline_of(ChainguideSpec.model_validate(GUIDE), part.outline.outer) == part.outline


def test_its_solid_weighs_the_same_and_it_is_checked_against_ring_and_chain() -> None:
    data = hardtail_data() | {"plates": {"guide": GUIDE}}
    data["tubes"] = {key: data["tubes"][key] for key in ("head_tube", "seat_tube")}
    data["build"] |= {
        "chainring": {"teeth": 32},
        "crank": {"length": 170, "q_factor": 176, "chainline": 52},
    }
    found = frame3d.solve(FrameSpec.model_validate(data))
    (part,) = [one for one in make(found).parts if one.name == "guide"]
    assert part.volume == pytest.approx(found.plates[0].volume, rel=1e-3)
    report = run_checks(scene_of(found), names=frozenset({"chainring_to_frame"}))
    (gap,) = [r.least for r in report.results if "guide" in (r.between or ())]
    # Between the guide's face, 34 mm from the centre plane, and the ring's inner side (chainline 52).
    assert gap == pytest.approx(52 - 34 - 2, abs=0.5)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"radius": 18}, "as wide as the shell"),
        ({"circle": 44}, "reach into the shell of 40 mm"),
        ({"ring": 20.5}, "does not run between the shell and the rounds"),
        ({"ring": 36}, "does not run between the shell and the rounds"),
        ({"angles": [-60, 0, 60]}, "60° apart leave no ring"),
        ({"inset": 60, "thickness": 20}, "beside the shell, which is 73 mm wide"),
    ],
)
def test_what_does_not_fit_is_told(changes: dict[str, Any], words: str) -> None:
    with pytest.raises(TubeError, match=words):
        plate(GUIDE, **changes)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"angles": [0, 120, 110]}, "not each more than the one before"),
        ({"angles": [0, 120, 360]}, "not each more than the one before"),
        ({"radius": 4, "thread": "M8"}, "no metal around M8"),
    ],
)
def test_what_contradicts_itself_is_refused(changes: dict[str, Any], words: str) -> None:
    with pytest.raises(ValidationError, match=words):
        ChainguideSpec.model_validate(GUIDE | changes)


def test_none_beside_an_eccentric_insert() -> None:
    data = hardtail_data()
    insert = {"offset": 6, "angle": -90}
    data["build"]["bottom_bracket"] = {"shell": "eccentric-73", "eccentric": insert}
    data["plates"] = {"guide": GUIDE}
    with pytest.raises(TubeError, match="which an eccentric insert moves"):
        frame3d.solve(FrameSpec.model_validate(data))
