"""Pairs of checks: shared by bikes that differ in sizes alone, made anew where more differs."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest

from frame3d.bodies import Body
from frame3d.bodies.motion.mounts import CRANK
from frame3d.bodies.shapes import PlacedShape
from frame3d.clearance.certify.broad_phase import can_meet
from frame3d.clearance.pair_lists import PairLists, joined
from frame3d.clearance.pairs import PAIRS, REST, PairCheck
from frame3d.clearance.scene import Scene
from frame3d.clearance.table import kind_of


def test_pairs_are_all_two_bodies_of_the_kinds_that_are_not_joined(scene: Scene) -> None:
    """Counted over every two bodies of the bike, each in at most one check."""
    wanted: dict[str, set[frozenset[str]]] = {check.name: set() for check in PAIRS}
    for a, b in combinations(scene.bodies, 2):
        if can_meet(a, b) and not joined(a, b) and set(a.axles).isdisjoint(b.axles):
            kinds = kind_of(a), kind_of(b)
            for check in PAIRS:
                if not check.axle and (kinds in check.kinds() or kinds[::-1] in check.kinds()):
                    wanted[check.name].add(frozenset((a.name, b.name)))
    for check in PAIRS:
        found = scene.listed.of(check.kinds(), scene.bodies, on_axle=check.axle)
        names = [frozenset(scene.bodies[i].name for i in pair) for pair in found.both.tolist()]
        assert len(names) == len(set(names)) == len(found.lines)
        assert set(names) == wanted[check.name], check.name


def test_bikes_that_differ_in_sizes_share_one_list(scene: Scene) -> None:
    longer = scene.redesigned({"geometry.reach": 470})
    assert longer.listed is scene.listed
    assert longer.bodies != scene.bodies
    bare = scene.with_parts({"build.saddle": None})
    assert bare.listed is not scene.listed
    assert "saddle" not in bare.kinds


def changed(body: Body, shape: PlacedShape) -> list[Body]:
    """The body, otherwise in what its pairs depend on: one thing each."""
    (tube,) = body.tubes
    return [
        replace(body, name="other"),
        replace(body, family="other"),
        replace(body, part="build.bodies.other"),
        replace(body, touches=("stem",)),
        replace(body, axles=("main_pivot",)),
        replace(body, hull=(shape,)),
        replace(body, tubes=(replace(tube, mount=CRANK),)),
    ]


def test_what_pairs_depend_on_is_told_apart(scene: Scene) -> None:
    lists, bodies = PairLists(), scene.bodies
    at = next(i for i, body in enumerate(bodies) if body.name == "down_tube")
    assert lists.of(bodies) is lists.of(tuple(bodies))
    known = [lists.of(bodies)]
    shape = next(body.shapes[0] for body in bodies if body.shapes)
    for other in changed(bodies[at], shape):
        known.append(lists.of((*bodies[:at], other, *bodies[at + 1 :])))
    assert len({id(one) for one in known}) == len(known)


@pytest.mark.parametrize("check", [PAIRS[0], REST], ids=lambda check: check.name)
def test_places_of_pairs_either_way_round(scene: Scene, check: PairCheck) -> None:
    found = scene.listed.of(check.kinds(), scene.bodies, on_axle=False)
    every = list(range(len(found.both)))
    assert found.places(found.both).tolist() == every
    assert found.places(found.both[:, ::-1]).tolist() == every
    absent = np.array([[-1, -1], [-1, 3], [0, 0]])
    assert found.places(absent).tolist() == [-1, -1, -1]
