"""Marking templates wrapped back onto the solids: every edge of a hole within 0.02 mm, and the middles."""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
import pytest

from frame3d.bike.bike import Bike
from frame3d.fabrication.on_tubes.marking import marking_of
from frame3d.fabrication.on_tubes.marks import marks_of
from frame3d.fabrication.tube_facts import TubeFacts, facts_of
from frame3d.solids import FrameModel, make
from frame3d.tubes.cuts.edge import Cutting, bodies_of
from tests.featured import featured, one_tube
from tests.reference.test_mitre_templates import apart, on_the_tube, solid_edges, wrapped


@cache
def built() -> FrameModel:
    return make(featured())


def facts(bike: Bike) -> list[TubeFacts]:
    bodies = bodies_of(bike.frame)
    return [facts_of(tube, bodies, Cutting(tube, bodies)) for tube in bike.tubes]


def gaps(model: FrameModel, name: str) -> list[float]:
    """Largest distance between each edge on a tube's marking templates and the tube's solid."""
    bike = model.bike
    every = facts(bike)
    one = next(one for one in every if one.tube.name == name)
    own = [mark for mark in marks_of(bike, every) if mark.tube.name == name]
    marking = marking_of(one, own)
    assert not marking.without
    chords = solid_edges(next(part.shape for part in model.parts if part.name == name))
    found = []
    for panel in marking.panels:
        for edge in panel.outer:
            phi, s = wrapped(panel, one.tube, edge[:: max(1, len(edge) // 60)])
            found.append(float(apart(on_the_tube(one.tube, phi, s), chords).max()))
        for _, x, y in panel.crosses:  # on the outside, at the middle of the feature
            phi, s = wrapped(panel, one.tube, np.array([[x, y]]))
            at = on_the_tube(one.tube, phi, s)
            assert min(np.linalg.norm(at - mark.spot.foot) for mark in own) < 5e-3
    return found


@pytest.mark.parametrize("name", ["down_tube", "seat_tube", "chainstay_left", "chainstay_right"])
def test_wrapped_back_every_hole_lies_on_its_solids_edge(name: str) -> None:
    found = gaps(built(), name)
    assert found
    assert max(found) < 0.02


def test_a_bridge_with_a_threaded_boss_has_its_hole_where_the_paper_has_it() -> None:
    """For a mudguard, forward out of the middle of the seatstay bridge, across the bike."""
    bike = featured()
    bridge = bike.tube("seatstay_bridge")
    middle = (bridge.start.long_point + bridge.axis.length - bridge.end.long_point) / 2
    guard = {"kind": "boss", "from_start": middle, "count": 1, "angle": 90, "diameter": 9}
    model = make(featured({"seatstay_bridge": {"guard": guard | {"depth": 9}}}))
    (gap,) = gaps(model, "seatstay_bridge")
    assert gap < 0.02
    (boss,) = [part for part in model.parts if part.name == "seatstay_bridge-guard"]
    # Turned of a bar of 9, bored 5, with what stands out and reaches in.
    assert boss.volume == pytest.approx(np.pi / 4 * (9**2 - 5**2) * (1.5 + 9), rel=1e-3)


def test_a_flat_mount_s_holes_are_marked_on_both_sides_of_its_stay() -> None:
    model = make(featured({"chainstay": {"brake": {"kind": "flat_mount", "from_end": 70}}}))
    found = gaps(model, "chainstay_left")
    assert len(found) == 4
    assert max(found) < 0.02
    grams = model.bike.frame.masses.parts
    for part in model.parts:
        if part.name in ("chainstay_left", "chainstay-brake-1_left"):
            assert part.volume * part.density * 1e-3 == pytest.approx(grams[part.name], rel=2e-3)


PORT = {"kind": "port", "from_start": 210, "width": 8, "length": 16}


@pytest.mark.parametrize(
    ("od", "port"),
    [
        ({"height": 50, "width": 30}, {"angle": 55, "lean": 30, "turn": 20}),
        ({"height": 30, "width": 46}, {"angle": 180}),
        ({"start": 44, "end": 32}, {"angle": -70, "turn": 90, "lean": -20}),
    ],
    ids=["oval", "wide oval below", "cone"],
)
def test_a_port_in_an_oval_or_a_cone_does_too(od: Any, port: dict[str, Any]) -> None:
    (gap,) = gaps(make(one_tube(PORT | port, od=od)), "beam")
    assert gap < 0.02
