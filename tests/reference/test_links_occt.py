"""Moving links against each other, by OCCT on the frame's finished solids at places of the travel."""

from __future__ import annotations

from functools import cache
from itertools import combinations

import numpy as np
import pytest
from OCP.BRepBuilderAPI import BRepBuilderAPI_Transform
from OCP.gp import gp_Trsf
from OCP.TopoDS import TopoDS_Shape

from frame3d.bodies.motion.mounts import Mount
from frame3d.bodies.motion.pose import Pose, matrix
from frame3d.clearance.certify.motion import Range
from frame3d.clearance.check import run_checks
from frame3d.clearance.lines import least
from frame3d.clearance.scene import Scene, scene_of
from tests.frames import demo, demo_solids
from tests.reference import occt
from tests.sampling import first, sample

BIKES = ("trail_full_140", "enduro_170_mixed")
STOOD_IN = 0.15
"""By how much an outline may hold more than the metal: bends as chords, tapers as steps [mm]."""
ENDS = 0.1
"""By how much the metal of a tube's end may come nearer than its outline, which is round there [mm]."""
LINKS = frozenset({"links_to_links", "links_on_axle", "links_to_frame"})


@cache
def bike(name: str) -> tuple[Scene, dict[str, TopoDS_Shape]]:
    return scene_of(demo(name)), {part.name: part.shape for part in demo_solids(name).parts}


def stood(shape: TopoDS_Shape, mount: Mount, pose: Pose) -> TopoDS_Shape:
    move = gp_Trsf()
    move.SetValues(*(float(x) for x in matrix(mount, pose)[:3].ravel()))
    return BRepBuilderAPI_Transform(shape, move, True).Shape()


def pairs(name: str) -> list[tuple[str, str]]:
    """The tightest pairs of frame parts on different links."""
    scene, solids = bike(name)
    results = run_checks(scene, names=LINKS).results
    found = [r.between for r in results if r.between and set(r.between) <= set(solids)]
    return sample([pair for pair in found if pair is not None][:10], 2)


@pytest.mark.parametrize("name", first(1, BIKES))
def test_gaps_of_links_over_the_travel(name: str) -> None:
    """Over the travel no gap is above OCCT's, and where metal faces metal it is the same."""
    scene, solids = bike(name)
    (travel,) = scene.ranges(("rear",))
    close = compared = 0
    for i, (a, b) in enumerate(pairs(name)):
        bodies = tuple(body for n in (a, b) if (body := scene.body(n)) is not None)
        assert len(bodies) == 2
        places = np.linspace(0.0, travel.high, 5)
        for rear in sample(np.roll(places, i).tolist(), 5):
            compared += 1
            held = (Range("rear", float(rear), float(rear)),)
            (found,) = least([[(bodies[0], bodies[1])]], [held], 0.01)
            assert found is not None
            gap, _ = found
            one, other = (stood(solids[body.name], body.mount, Pose(rear=rear)) for body in bodies)
            theirs = occt.distance([one], other)
            is_tube = not all(body.shapes for body in bodies)
            above = gap.gap - gap.error - theirs
            assert above <= (ENDS if is_tube else 0.01), (a, b, rear)
            close += abs(gap.gap - theirs) <= STOOD_IN
    assert compared >= 5
    assert close >= compared / 2


@pytest.mark.parametrize("name", first(1, BIKES))
def test_no_link_runs_into_another(name: str) -> None:
    """At full travel, where the rocker's plates once stood 6.2 mm³ deep in the lugs."""
    scene, solids = bike(name)
    (travel,) = scene.ranges(("rear",))
    moved = {
        body.name: stood(solids[body.name], body.mount, Pose(rear=travel.high))
        for body in scene.kinds["link"]
        if body.name.endswith("_left")
    }
    links = [body for body in scene.kinds["link"] if body.name in moved]
    beside = 0
    for a, b in combinations(links, 2):
        mounts = [body.mount for body in (a, b)]
        if set(a.axles) & set(b.axles) and mounts[0] != mounts[1]:
            beside += 1
            assert occt.common([moved[a.name]], moved[b.name]) < 1e-6, (a.name, b.name)
    assert beside
