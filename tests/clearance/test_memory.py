"""Results taken from memory: what a search would find, and only where nothing has changed."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from frame3d.bike.solve import solve
from frame3d.bodies.motion.mounts import FRAME, SWING, Mount, Step
from frame3d.bodies.motion.swing import Swing
from frame3d.bodies.shapes import Torus
from frame3d.clearance.certify.motion import Range
from frame3d.clearance.check import run_checks
from frame3d.clearance.memory import MOST, PairMemory, fingerprint, key_of
from frame3d.clearance.scene import scene_of
from frame3d.parameters.reading.reader import load

DEMO = "configs/trail_hardtail_29.yaml"


def test_the_report_is_the_same_with_it() -> None:
    memory = PairMemory()
    bike = solve(load(DEMO))
    assert run_checks(scene_of(bike, memory=memory)) == run_checks(scene_of(bike))
    assert memory.hits == 0
    assert run_checks(scene_of(bike, memory=memory)) == run_checks(scene_of(bike))
    assert memory.hits > 50
    memory.hits = 0
    other = solve(load(DEMO, ["tubes.down_tube.od=38.0"]))
    assert run_checks(scene_of(other, memory=memory)) == run_checks(scene_of(other))
    assert memory.hits > 50


def test_a_fingerprint_tells_everything_that_a_gap_depends_on() -> None:
    body = next(b for b in scene_of(solve(load(DEMO))).bodies if b.name == "rear_tyre")
    assert fingerprint(body) == fingerprint(replace(body, colour="#000000"))
    (shape,) = body.shapes
    assert isinstance(shape.shape, Torus)
    swing = Swing(10.0, np.zeros((33, 6)))
    bent = Swing(10.0, np.full((33, 6), 1e-15))
    moved = [
        replace(shape, mount=Mount(FRAME.name, (Step(SWING, "rear", swing=one),)))
        for one in (swing, bent)
    ]
    wider = replace(shape, shape=replace(shape.shape, tube_radius=np.nextafter(30.0, 31.0)))
    bodies = [replace(body, shapes=(one,)) for one in (shape, wider, *moved)]
    digests = {fingerprint(one) for one in (*bodies, replace(body, name="other"))}
    assert len(digests) == 5
    again = replace(moved[0], mount=Mount(FRAME.name, (Step(SWING, "rear", swing=replace(swing)),)))
    assert fingerprint(replace(body, shapes=(again,))) == fingerprint(bodies[2])


def test_a_key_tells_limits_tolerance_cutoff_and_order() -> None:
    rear, pair = Range("rear", 0.0, 10.0), (b"a", b"b")
    keys = {
        key_of([pair], [rear], 0.01, 6.0),
        key_of([pair], [replace(rear, high=11.0)], 0.01, 6.0),
        key_of([pair], [rear], 0.02, 6.0),
        key_of([pair], [rear], 0.01, None),
        key_of([pair, (b"a", b"c")], [rear], 0.01, 6.0),
        key_of([(b"a", b"c"), pair], [rear], 0.01, 6.0),
    }
    assert len(keys) == 6


def test_the_oldest_goes_first() -> None:
    memory = PairMemory()
    for i in range(MOST + 1):
        memory.keep(i.to_bytes(4, "big"), None)
    assert (0).to_bytes(4, "big") not in memory
    assert (1).to_bytes(4, "big") in memory
    assert memory.found(MOST.to_bytes(4, "big")) is None


def test_what_has_no_numbers_has_no_fingerprint() -> None:
    body = scene_of(solve(load(DEMO))).bodies[0]
    with pytest.raises(TypeError, match="set has no fingerprint"):
        fingerprint(replace(body, name={1}))  # type: ignore[arg-type]


def test_keys_are_made_only_when_another_bike_comes() -> None:
    memory = PairMemory()
    asked: list[str] = []

    def keys() -> list[bytes]:
        asked.append("keys")
        return [b"first"]

    assert memory.is_new_to("one")
    memory.keep_for_later("one", [None], keys)
    assert memory.is_new_to("one")
    assert not memory.is_new_to("other")
    assert not asked
    assert b"first" in memory
    assert b"second" not in memory
    assert asked == ["keys"]
    assert not memory.is_new_to("one")
