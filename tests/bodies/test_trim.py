"""Hardware's outlines where they are welded to tubes and dropouts: nothing outside of those is lost."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

import frame3d
from frame3d.bike.bike import Bike
from frame3d.bodies import bodies_of
from frame3d.bodies.body import Body
from frame3d.bodies.forms import Form, rod, slab
from frame3d.bodies.frame import pivots
from frame3d.bodies.frame.trim import Solids, trimmed
from frame3d.bodies.shapes import Array, Box
from frame3d.pivots.sockets import socket
from frame3d.solids.bodies import bodies as solid_bodies
from frame3d.solids.body_meshes import part_mesh
from frame3d.tubes.hardware import Lug
from frame3d.tubes.tube import Dropout, Tube
from tests.bodies.distance import union
from tests.frames import bar, context
from tests.linked import OWN, OWN_TUBES, ROCKER, ROCKER_TUBES, layout

CONFIGS = Path(__file__).parents[2] / "configs"
BIKES: dict[str, Callable[[], Bike]] = {
    "rocker": lambda: layout(ROCKER_TUBES, ROCKER),
    "own": lambda: layout(OWN_TUBES, OWN),
    "four links": lambda: frame3d.solve(frame3d.load(CONFIGS / "trail_full_140.yaml")),
    "one pivot": lambda: frame3d.solve(frame3d.load(CONFIGS / "enduro_170_mixed.yaml")),
}
LUG = Lug(
    name="lug",
    pivot="p",
    side="left",
    axle=(60.0, -5.0, 0.0),
    thickness=10.0,
    boss=20.0,
    bore=8.0,
    stays=(),
    link=None,
)


def in_tube(tube: Tube, points: Array) -> Array:
    """Whether points lie in a tube's sweep, by 4000 places of its axis: (n,)."""
    s = np.linspace(0.0, tube.axis.length, 4000)
    axis = tube.axis.points(s)
    found = np.zeros(len(points), dtype=bool)
    for i, p in enumerate(points):
        at = int(((axis - p) ** 2).sum(axis=1).argmin())
        up, across = tube.axis.frame(s[at])
        d = p - axis[at]
        a, b = (float(x) for x in tube.section.radii_at(s[at]))
        found[i] = (d @ up / a) ** 2 + (d @ across / b) ** 2 < (1 + 1e-3) ** 2
    return found


def in_dropout(dropout: Dropout, points: Array) -> Array:
    """Whether points lie within a boss's diameter, seen from the side: (n,)."""
    x, _, z = dropout.axle
    found: Array = np.hypot(points[:, 0] - x, points[:, 2] - z) < dropout.boss / 2 + 0.01
    return found


@pytest.mark.parametrize("name", BIKES)
def test_nothing_outside_of_tubes_and_dropouts_is_lost(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Random places all over the outline as it was: whatever is not in it any more is in a tube or in a
    dropout of the same link.
    """
    bike = BIKES[name]()
    names = {item.name: item for item in bike.pivots}
    after = {body.name: body for body in bodies_of(bike).bodies if body.name in names}
    monkeypatch.setattr(pivots, "trimmed", lambda forms, solids: forms)
    before = {body.name: body for body in bodies_of(bike).bodies if body.name in names}
    rng = np.random.default_rng(11)
    less = 0
    for key, body in before.items():
        points = _within(body, rng)
        lost = points[union(after[key].shapes, points) > 0.02]
        less += len(lost)
        inside = np.zeros(len(lost), dtype=bool)
        for tube in bike.tubes:
            if tube.link == names[key].link:
                inside |= in_tube(tube, lost)
        for dropout in bike.dropouts:
            if dropout.link == names[key].link:
                inside |= in_dropout(dropout, lost)
        assert inside.all(), (key, lost[~inside][:3])
    assert less > 100


def _within(body: Body, rng: np.random.Generator) -> Array:
    """Places in a body's boxes, their corners and edges among them: (n, 3) [mm]."""
    found = []
    for shape in body.shapes:
        if isinstance(shape.shape, Box):
            half = np.array(shape.shape.half)
            share = np.clip(rng.uniform(-1.3, 1.3, (400, 3)), -1, 1)
            found.append(np.array(shape.origin) + (share * half) @ np.array(shape.axes))
    return np.concatenate(found) if found else np.empty((0, 3))


@pytest.mark.parametrize("name", BIKES)
def test_a_socket_is_left_out_where_the_lug_has_none(name: str) -> None:
    """The mesh of a lug, of which only the largest piece is kept, reaches to the socket's far end just
    where the socket is said to be joined; the enduro demo has a stay that ends beside its lug's round.
    """
    bike = BIKES[name]()
    parts = {body.name: body for body in solid_bodies(bike)}
    said = []
    for lug in bike.pivots:
        if isinstance(lug, Lug) and lug.side == "left":
            for stay, which in lug.stays:
                end = socket(lug, bike.tube(stay), which)
                d = part_mesh(parts[lug.name]).vertices - np.array(end.front)
                along = np.array(end.front) - np.array(end.back)
                along /= np.linalg.norm(along)
                there = (np.abs(d @ along) < 0.1) & (np.linalg.norm(d, axis=1) < end.height)
                assert end.joined == bool(there.any()), lug.name
                said.append(end.joined)
    assert said.count(False) == (1 if name == "one pivot" else 0)


def test_a_web_ends_where_its_corners_go_in() -> None:
    """Into a round tube of 36 mm along z: corners 5 mm beside its middle, at sqrt(18^2 - 5^2)."""
    host = context({"host": bar(36.0, (0, 0, -200), (0, 0, 200), 2.0)})
    form = slab("web", (30.0, 0.0, 0.0), (60.0, 10.0, 8.0), 0.02)
    form += rod("round", (0.0, -5.0, 0.0), (0.0, 5.0, 0.0), 9.0)
    form += rod("beside", (0.0, -5.0, 0.0), (0.0, 18.5, 0.0), 9.0)
    solids = Solids(host).of(LUG)
    (left,) = trimmed([form], [solids])
    assert [shape.name for shape in left.shapes] == ["web", "beside"]
    (web, _) = left.shapes
    half = np.array(web.shape.half)
    assert half[1:] == pytest.approx([5.0, 4.0])
    low, high = web.origin[0] - half[0], web.origin[0] + half[0]
    assert high == pytest.approx(60.0)
    assert low == pytest.approx(np.sqrt(18.0**2 - 5.0**2), abs=1e-3)
    assert trimmed([Form(), form, form], [solids, (), solids]) == [Form(), form, left]
    assert trimmed([], []) == []
