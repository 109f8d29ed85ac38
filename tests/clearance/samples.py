"""Random tubes and shapes of every class, of the sizes that bicycles have."""

from __future__ import annotations

import numpy as np

from frame3d.bodies.motion.mounts import CIRCLE, FRAME, SHIFT, SWING, TURN, Mount, Step
from frame3d.bodies.motion.swing import Swing, tabled
from frame3d.bodies.shapes import (
    PlacedShape,
    Ring,
    Shape,
    Torus,
    Tubular,
    box,
    capsule,
    cylinder,
    disc,
    prism,
    ring,
)
from frame3d.clearance.certify.motion import Range
from frame3d.clearance.certify.records import CUTTER, Records
from frame3d.geometry.arrays import Array
from frame3d.geometry.centreline import Centreline
from frame3d.geometry.section import Section
from frame3d.geometry.vector import Vector, point

TRAVEL = 150.0
TUBES = ("straight", "tapered", "bent", "oval", "bent and tapered", "bent, oval and tapered")
SHAPES = ("torus", "ring", "disc", "cylinder", "box", "rounded box", "capsule", "cone", "prism")


def a_tube(kind: str, random: np.random.Generator, mount: Mount = FRAME) -> Tubular:
    """A tube of a class, somewhere about the origin."""
    start = random.uniform(-60, 60, 3)
    end = start + direction(random) * random.uniform(150, 400)
    if "bent" in kind:
        middle = (start + end) / 2 + direction(random) * random.uniform(20, 70)
        along = np.linalg.norm(middle - start), np.linalg.norm(end - middle)
        before, after = (middle - start) / along[0], (end - middle) / along[1]
        turn = float(np.arccos(before @ after))
        radius = min(random.uniform(80, 250), 0.9 * min(along) / np.tan(turn / 2))
        axis = Centreline.through((point(start), point(middle), point(end)), (radius,))
    else:
        axis = Centreline.through((point(start), point(end)), ())
    ends = random.uniform(12, 36, 2) if "tapered" in kind else np.full(2, random.uniform(12, 36))
    across = ends * random.uniform(0.5, 0.9) if "oval" in kind else ends
    if random.random() < 0.5:
        ends, across = across, ends
    return Tubular(kind, axis, plain(axis.length, ends, across), mount)


def plain(length: float, height: Vector, width: Vector) -> Section:
    """A section that runs evenly from start to end."""
    (h, k), (w, x) = height, width
    return Section((0.0, length), (h, k), (w, x), (0.0, 0.0))


def a_shape(kind: str, random: np.random.Generator) -> Shape:  # noqa: PLR0911
    """A shape of a class."""
    if kind == "torus":
        return Torus(random.uniform(60, 350), random.uniform(5, 35))
    if kind == "ring":
        r, w, y = random.uniform(60, 300), random.uniform(10, 40), random.uniform(5, 20)
        return ring([(r, -y), (r + w, -y / 2), (r + w, y / 3), (r + w / 2, y)])
    if kind == "disc":
        r, y = random.uniform(30, 110), random.uniform(3, 20)
        return disc([(0, -y), (r * 0.8, -y), (r, -y / 3), (r * 0.9, y), (0, y * 1.2)])
    if kind == "prism":
        turn = np.sort(random.uniform(0, 2 * np.pi, 3)) + np.array([0.0, 0.4, 0.8])
        turn = np.append(turn, turn[-1] + 0.5)
        size = random.uniform(15, 60)
        corners = size * np.stack([np.cos(turn), np.sin(turn)], axis=1) + random.uniform(-20, 20, 2)
        corners = corners[np.argsort(np.arctan2(*(corners - corners.mean(axis=0)).T[::-1]))]
        return prism([(float(x), float(y)) for x, y in corners], random.uniform(2, 30))
    if kind == "cylinder":
        return cylinder(random.uniform(2, 100), -2.0, random.uniform(0, 60))
    if kind == "box":
        return box(*random.uniform(5, 120, 3))
    if kind == "rounded box":
        size = random.uniform(20, 120, 3)
        return box(*size, rounding=random.uniform(1, 9))
    if kind == "capsule":
        return capsule(random.uniform(10, 200), random.uniform(2, 40))
    radius = random.uniform(5, 40)
    return capsule(random.uniform(50, 200), radius, radius * random.uniform(0.1, 0.9))


def a_pair(
    tube: str, shape: str, random: np.random.Generator, spread: float = 160.0
) -> tuple[Tubular, PlacedShape]:
    """A tube and a shape: near each other, often touching."""
    solid = a_shape(shape, random)
    frame = axes(random)
    body = a_tube(tube, random)
    # A point of the shape's own neighbourhood goes to a point of the tube's.
    on_axis = body.axis.at(random.uniform(0, body.axis.length))
    there = on_axis + direction(random) * random.uniform(0, spread)
    out = 0.0
    if isinstance(solid, Torus):
        out = solid.centre_radius
    elif isinstance(solid, Ring):
        out = solid.profile[0][0]
    turn = random.uniform(0, 2 * np.pi)
    origin = there - np.array([out * np.cos(turn), 0.0, out * np.sin(turn)]) @ frame
    return body, PlacedShape(shape, solid, point(origin), FRAME, rows(frame))


def a_swing(random: np.random.Generator) -> Swing:
    """A link that turns and shifts as a cubic does, exactly: up to about half a turn."""
    turn = random.uniform(-1, 1, 3) * (60.0, 40.0, 20.0)
    x, z = random.uniform(-1, 1, (2, 3)) * (80.0, 40.0, 20.0)
    u = np.linspace(0.0, 1.0, 9)
    at = [c[0] * u + c[1] * u**2 + c[2] * u**3 for c in (x, z, turn)]
    rate = [(c[0] + 2 * c[1] * u + 3 * c[2] * u**2) / TRAVEL for c in (x, z, turn)]
    return tabled(TRAVEL, Swing(TRAVEL, np.stack((*at, *rate), axis=1)).over)


def direction(random: np.random.Generator) -> Vector:
    """Any unit vector."""
    v = random.normal(size=3)
    return np.asarray(v / np.linalg.norm(v))


def axes(random: np.random.Generator) -> np.ndarray:
    """Any right-handed axes, as rows."""
    q, _ = np.linalg.qr(random.normal(size=(3, 3)))
    return np.asarray(q * np.linalg.det(q))


def rows(frame: np.ndarray) -> tuple[tuple[float, float, float], ...]:
    """Axes as points."""
    a, b, c = frame
    return point(a), point(b), point(c)


def mounts(random: np.random.Generator) -> tuple[tuple[Mount, Mount], list[Range]]:
    """Mounts of a tube and a shape with one to three motions between them, and their limits."""
    turn = Step(TURN, "steer", point(random.uniform(-80, 80, 3)), point(direction(random)))
    shift = Step(SHIFT, "fork", axis=point(direction(random)))
    circle = Step(CIRCLE, "crank", (random.uniform(-170, 170), 0.0, 0.0))
    swing = Step(TURN, "heel", point(random.uniform(-80, 80, 3)), point(direction(random)))
    link, other = (Step(SWING, "rear", swing=a_swing(random)) for _ in range(2))
    limits = {
        "rear": Range("rear", *sorted(random.uniform(0, TRAVEL, 2))),
        "steer": Range("steer", -random.uniform(0, 60), random.uniform(0, 60)),
        "fork": Range("fork", 0.0, random.uniform(0, 120)),
        "crank": Range("crank", 0.0, 360.0),
        "heel": Range("heel", -random.uniform(0, 20), random.uniform(0, 20)),
    }
    chains: list[tuple[tuple[Step, ...], tuple[Step, ...]]] = [
        ((turn,), ()),
        ((), (shift, turn)),
        ((turn,), (shift, turn)),
        ((shift,), (circle,)),
        ((), (swing, circle)),
        ((swing, circle), (turn,)),
        ((link,), ()),
        ((), (link,)),
        ((link,), (other,)),
        ((shift, turn), (link,)),
        ((link,), (swing, circle)),
    ]
    of_tube, of_shape = chains[random.integers(len(chains))]
    names = {s.name for s in (*of_tube, *of_shape)}
    pair = Mount("tube's", of_tube), Mount("shape's", of_shape)
    return pair, [limits[name] for name in limits if name in names]


def placed(pieces: Records, origin: Vector, axes: Array) -> Records:
    """Return pieces of a tube, or of cutters, in other axes.

    Args:
        pieces: (n,) `records.Piece` or `records.CutterPiece`.
        origin: (3,) float [mm].
        axes: (3, 3) float, the axes as rows.
    """
    out = pieces.copy()
    own = out["piece"] if out.dtype == CUTTER else out
    own["origin"] = (own["origin"] - origin) @ axes.T
    for name in ("out", "tangent", "major", "held"):
        own[name] = own[name] @ axes.T
    return out
