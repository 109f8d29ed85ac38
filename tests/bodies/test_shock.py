"""The rear shock between its eyes: body, shaft or coil, reservoir."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.bike.solve import solve
from frame3d.bodies import Bodies, bodies_of
from frame3d.bodies.motion.pose import Pose
from frame3d.bodies.parts.shock import BODY, BUMPER, COIL, SHAFT, SLIMMER
from frame3d.parameters.reading.reader import loads
from tests.bike.single import MINIMAL, SINGLE
from tests.bodies.bike import bodies
from tests.bodies.distance import signed, union

START, END = np.array([150.0, 0.0, 240.0]), np.array([-60.0, 0.0, 210.0])
ALONG = (END - START) / np.linalg.norm(END - START)
EYE = 26.0 / 2  # unless the file says otherwise
LENGTH, STROKE = float(np.linalg.norm(END - START)), 60.0
SQUARE = np.array([-ALONG[2], 0.0, ALONG[0]])
AIR = ("spring: {coil: {}}", "spring: {air: {piston: 40, volume_cm3: 130}}")


def shock(*changes: tuple[str, str]) -> Bodies:
    text = SINGLE
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return bodies_of(solve(loads(MINIMAL + text)))


def test_a_hardtail_has_none() -> None:
    assert not any("shock" in body.name for body in bodies().bodies)


def test_body_and_coil_share_the_length_at_full_extension() -> None:
    found = shock()
    body, coil = found.body("shock_body"), found.body("shock_coil")
    far = LENGTH - STROKE - EYE - BUMPER
    for share in (0.2, 0.5, 0.9):
        inside = START + (EYE + share * (far - EYE)) * ALONG
        beside = (inside + COIL / 2 * SQUARE)[None]
        assert union(body.shapes, beside) == pytest.approx(0, abs=1e-3)
        inside = START + (far + share * (LENGTH - EYE - far)) * ALONG
        beside = (inside + (COIL / 2 - SLIMMER) * SQUARE)[None]
        assert union(coil.shapes, beside) == pytest.approx(0, abs=1e-3)
    assert (body.axles, coil.axles) == (("shock_front",), ("shock_rear",))


def test_an_air_shock_has_a_thinner_body_and_a_shaft() -> None:
    found = shock(AIR)
    assert {b.name for b in found.bodies if b.family == "shock"} == {"shock_body", "shock_shaft"}
    middle = (START + 60 * ALONG + BODY / 2 * SQUARE)[None]
    assert union(found.body("shock_body").shapes, middle) == pytest.approx(0, abs=1e-3)
    shaft = (END - 40 * ALONG + SHAFT / 2 * SQUARE)[None]
    assert union(found.body("shock_shaft").shapes, shaft) == pytest.approx(0, abs=1e-3)
    own = shock(AIR, ("stroke: 60}", "stroke: 60, diameter: 44}"))
    middle = (START + 60 * ALONG + 22 * SQUARE)[None]
    assert union(own.body("shock_body").shapes, middle) == pytest.approx(0, abs=1e-3)


def test_at_the_end_of_the_stroke_the_bumper_is_left() -> None:
    """Body's end and the other eye come as near as `BUMPER`, measured between their flat ends."""
    text = MINIMAL + SINGLE
    bike = solve(loads(text))
    assert bike.linkage is not None
    found = bodies_of(bike)
    pose = Pose(rear=bike.linkage.full_travel)
    there = bike.linkage.pose_at(travel=bike.linkage.full_travel).points
    a, b = (np.array([there[n][0], 0.0, there[n][1]]) for n in ("shock_front", "shock_rear"))
    along = (b - a) / np.linalg.norm(b - a)
    eye, body = found.body("shock_coil").shapes[0], found.body("shock_body").shapes[1]
    edge = a + (np.linalg.norm(b - a) - EYE - BUMPER) * along
    assert signed(body, edge[None], pose)[0] == pytest.approx(0, abs=1e-3)
    assert signed(eye, edge[None], pose)[0] == pytest.approx(BUMPER, abs=1e-3)


@pytest.mark.parametrize("turned", [False, True])
def test_a_reservoir_lies_above_the_shock_whichever_way_it_points(turned: bool) -> None:
    more = "stroke: 60, reservoir: {along: 30, length: 90, diameter: 38, offset: 50}}"
    changes = [("stroke: 60}", more)]
    if turned:
        changes.append(
            ("start: shock_front, end: shock_rear", "start: shock_rear, end: shock_front")
        )
    (shape,) = shock(*changes).body("shock_reservoir").shapes
    start, along = (END, -ALONG) if turned else (START, ALONG)
    up = SQUARE if SQUARE[2] > 0 else -SQUARE
    middle = start + (30 + 45) * along + 50 * up
    assert signed(shape, (middle + 19 * up)[None]) == pytest.approx(0, abs=1e-3)
    ends = [middle + 45 * along, middle - 45 * along]
    assert signed(shape, np.array(ends)) == pytest.approx(0, abs=1e-3)
