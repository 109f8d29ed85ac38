"""Looks of the fork: a crown with sockets, lowers that taper to the axle, a curved arch."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import lru_cache
from typing import Final

import numpy as np

from frame3d.bodies.body import Body
from frame3d.bodies.motion.pose import own_matrix
from frame3d.bodies.placement import Placement
from frame3d.bodies.shapes import Box, Capsule, PlacedShape
from frame3d.geometry.arrays import Array
from frame3d.geometry.vector import Vector, cross
from frame3d.looks.forms import bent, lofted, revolved, shifted
from frame3d.looks.piece import BLACK, Named, piece, rod_sizes
from frame3d.looks.surfaces import Surface, joined

WALL: Final = 4.6
"""Wall of the crown's sockets about the legs [mm]."""
BOSS: Final = 23.0
"""Radius of the crown about the steerer [mm]."""
CHAMFER: Final = 5.0
HEAD: Final = 22.0
"""How far below its top the arch meets a lower [mm]."""
UPRIGHT: Final = np.array([[1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, -1.0, 0.0]])
"""Turns rows of points so that y is z."""


def fork(bodies: Mapping[str, Body], place: Placement) -> Iterator[Named]:
    """Yield the pieces of the fork, as far as there are outlines of them."""
    legs = [
        bodies[name].shapes[0] for name in ("fork_leg_left", "fork_leg_right") if name in bodies
    ]
    crown = bodies.get("fork_crown")
    if crown is not None and len(legs) == 2:
        yield from _crown(crown, legs, place.node("crown_race"))
    for side in ("left", "right"):
        lower = bodies.get(f"fork_lower_{side}")
        if lower is not None:
            on = lower.shapes[0]
            radius, length = rod_sizes(on)
            yield (
                f"fork_lower_{side}",
                piece(lower_leg, radius, length, on=on, colour=BLACK, finish="paint"),
            )
        knob = bodies.get(f"fork_knob_{side}")
        if knob is not None and isinstance(knob.shapes[0].shape, Capsule):
            on, capsule = knob.shapes[0], knob.shapes[0].shape
            yield (
                f"fork_knob_{side}",
                piece(
                    dial, capsule.length, capsule.radius, on=on, colour=knob.colour, finish="alloy"
                ),
            )
    arch, lower = bodies.get("fork_arch"), bodies.get("fork_lower_left")
    if arch is not None and lower is not None:
        yield from _arch(arch.shapes[0], lower.shapes[0])


def _crown(crown: Body, legs: list[PlacedShape], race: Vector) -> Iterator[Named]:
    on = crown.shapes[0]
    if not isinstance(on.shape, Box):
        return
    into = np.linalg.inv(own_matrix(on))
    sockets = []
    for leg in legs:
        x, y, _, _ = (into @ [*leg.origin, 1.0]).tolist()
        sockets.append((x, y, rod_sizes(leg)[0] + WALL))
    axis = float((into @ [*race, 1.0])[0])
    height = 2 * on.shape.half[2]
    yield (
        "fork_crown",
        piece(bridge, height, axis, tuple(sockets), on=on, colour=BLACK, finish="paint"),
    )


def _arch(arch: PlacedShape, lower: PlacedShape) -> Iterator[Named]:
    """Yield the arch, with the struts that carry it from the lowers' heads."""
    thick, wide = rod_sizes(arch)
    _, length = rod_sizes(lower)
    # The lower's head in the arch's own axes, where y runs from leg to leg.
    head = np.array([0.0, length - HEAD, 0.0, 1.0])
    x, _, z, _ = (np.linalg.inv(own_matrix(arch)) @ own_matrix(lower) @ head).tolist()
    yield "fork_arch", piece(bow, thick, wide, on=arch, colour=BLACK, finish="paint")
    struts = piece(props, thick, wide, x, z, on=arch, colour=BLACK, finish="paint", joins=True)
    yield "fork_arch", struts


@lru_cache(maxsize=16)
def bridge(height: float, axis: float, sockets: tuple[tuple[float, float, float], ...]) -> Surface:
    """Return a crown: a boss about the steerer, a socket about each leg, an arm to each.

    Args:
        height: of all of it [mm].
        axis: x of the steering axis [mm].
        sockets: x, y and radius of each leg's [mm].
    """
    half = height / 2
    made = [shifted(_drum(BOSS, half), (axis, 0.0, 0.0))]
    for x, y, radius in sockets:
        made.append(shifted(_drum(radius, half), (x, y, 0.0)))
        share = np.linspace(0.05, 1.0, 7)[:, None]
        points = (1 - share) * [axis, 0.0, 0.0] + share * [x, y, 0.0]
        # Slimmer midway, and lower there, so that light catches it.
        waist = 1 - 0.55 * np.sin(np.pi * share[:, 0])
        made.append(
            _arm(points, (0.62 + 0.38 * waist) * (radius - 3), half * (0.72 + 0.14 * waist))
        )
    return joined(made)


def _drum(radius: float, half: float) -> Surface:
    """Return a cylinder about z with its edges broken."""
    edge = min(CHAMFER, half / 2, radius / 3)
    profile = [
        (0.0, -half), (radius - edge, -half), (radius, edge - half), (radius, half - edge),
        (radius - edge, half), (0.0, half),
    ]  # fmt: skip
    made = revolved(profile, 24)
    return replace(made, points=made.points @ UPRIGHT, normals=made.normals @ UPRIGHT)


def _arm(points: Array, wide: Array, high: Array) -> Surface:
    """Return an arm of rounded section along points, flat on the crown's top."""
    way = points[-1] - points[0]
    side = cross(np.array([0.0, 0.0, 1.0]), way / np.linalg.norm(way))
    turn = 2 * np.pi * np.arange(20) / 20
    c, s = np.cos(turn), np.sin(turn)
    across, up = np.sign(c) * np.abs(c) ** 0.55, np.sign(s) * np.abs(s) ** 0.55
    return lofted(
        points[:, None]
        + (wide[:, None] * across)[:, :, None] * side
        + (high[:, None] * up)[:, :, None] * np.array([0.0, 0.0, 1.0])
    )


@lru_cache(maxsize=16)
def lower_leg(radius: float, length: float) -> Surface:
    """Return a lower: a foot about the axle, a slender leg, a head with the seal."""
    foot, neck = min(60.0, length / 4), length - min(70.0, length / 4)
    return revolved(
        [
            (0.0, 0.0), (0.52 * radius, 0.0), (0.62 * radius, 3.0), (0.8 * radius, 12.0),
            (0.86 * radius, foot), (0.84 * radius, (foot + neck) / 2), (0.88 * radius, neck),
            (0.97 * radius, length - 34.0), (radius, length - 26.0), (radius, length - 9.0),
            (0.95 * radius, length - 8.0), (0.93 * radius, length - 2.0), (0.9 * radius, length),
            (0.0, length),
        ],
        22,
    )  # fmt: skip


@lru_cache(maxsize=16)
def dial(length: float, radius: float) -> Surface:
    """Return an adjuster along z, within a bar with round ends."""
    top = length + radius
    profile = [
        (0.0, 0.0), (0.8 * radius, 0.0), (0.92 * radius, 1.0), (0.92 * radius, length + 0.3 * radius),
        (0.72 * radius, length + 0.62 * radius), (0.45 * radius, length + 0.66 * radius),
        (0.4 * radius, top - 0.12 * radius), (0.0, top - 0.12 * radius),
    ]  # fmt: skip
    made = revolved(profile, 18)
    return replace(made, points=made.points @ UPRIGHT, normals=made.normals @ UPRIGHT)


@lru_cache(maxsize=16)
def bow(radius: float, length: float) -> Surface:
    """Return the arch's span over the tyre, along y, a little slimmer in its middle."""
    share = np.linspace(0.0, 1.0, 9)
    points = np.stack([0 * share, length * share, 0 * share], axis=1)
    return bent(points, radius * (0.98 - 0.22 * np.sin(np.pi * share)), 14)


@lru_cache(maxsize=16)
def props(radius: float, length: float, x: float, z: float) -> Surface:
    """Return what carries the arch's span: a strut at either end, from the head of a lower.

    Args:
        radius: of the span [mm].
        length: of the span, from leg to leg [mm].
        x: of the head, in the span's own axes [mm].
        z: of the head [mm].
    """
    made = []
    for end, inward in ((0.0, 1.0), (length, -1.0)):
        points = np.array([
            (x, end, z), (0.55 * x, end, 0.55 * z), (0.12 * x, end + inward * 0.02 * length, 0.12 * z),
            (0.0, end + inward * 0.08 * length, 0.0), (0.0, end + inward * 0.2 * length, 0.0),
        ])  # fmt: skip
        made.append(bent(points, radius * np.array([1.0, 0.9, 0.9, 0.88, 0.8]), 14))
    return joined(made)
