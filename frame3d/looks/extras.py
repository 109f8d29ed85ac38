"""Looks of bottles and shocks: a bottle with its cap and cage, a can, a coil, eyes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import lru_cache

import numpy as np

from frame3d.bodies.body import Body
from frame3d.bodies.motion.pose import own_matrix
from frame3d.bodies.placement import Placement
from frame3d.bodies.shapes import Disc
from frame3d.looks.forms import bent, revolved, rod
from frame3d.looks.piece import BLACK, GREY, Named, piece, rod_sizes
from frame3d.looks.surfaces import Surface, joined


def bottles(bodies: Mapping[str, Body], place: Placement) -> Iterator[Named]:
    """Yield the pieces of bottles, with what holds them on their tubes."""
    tubes = {tube.name: tube for tube in place.bike.tubes}
    for name, body in bodies.items():
        on = body.shapes[0] if body.shapes else None
        if not body.family.startswith("bottle_") or on is None or not isinstance(on.shape, Disc):
            continue
        radius, length = rod_sizes(on)
        yield name, piece(flask, radius, length, on=on, colour=body.colour, finish="soft")
        yield name, piece(cap, radius, length, on=on, colour=BLACK, finish="soft")
        tube = next((tubes[t] for t in body.touches if t in tubes), None)
        if tube is not None:
            middle = np.array(on.origin) + length / 2 * np.array(on.axes[1])
            foot = tube.axis.at(float(tube.axis.nearest(middle[None])[0]))
            x, _, z = (np.linalg.inv(own_matrix(on))[:3, :3] @ (foot - middle)).tolist()
            yield (
                name,
                piece(cage, radius, length, x, z, on=on, colour=BLACK, finish="alloy", joins=True),
            )


@lru_cache(maxsize=16)
def flask(radius: float, length: float) -> Surface:
    """Return a bottle along y, without its cap."""
    return revolved(
        [
            (0.0, 0.5), (radius - 6.0, 0.5), (radius - 1.5, 3.0), (radius, 8.0), (radius, 0.5 * length),
            (radius - 3.5, 0.54 * length), (radius - 3.5, 0.6 * length), (radius, 0.64 * length),
            (radius, 0.76 * length), (0.86 * radius, 0.82 * length), (0.0, 0.82 * length),
        ],
        20,
    )  # fmt: skip


@lru_cache(maxsize=16)
def cap(radius: float, length: float) -> Surface:
    """Return a bottle's cap, with what one drinks from."""
    return revolved(
        [
            (0.0, 0.8 * length), (0.92 * radius, 0.8 * length), (0.92 * radius, 0.86 * length),
            (0.7 * radius, 0.9 * length), (0.34 * radius, 0.91 * length), (0.3 * radius, 0.97 * length),
            (0.36 * radius, 0.975 * length), (0.34 * radius, length), (0.0, length),
        ],
        20,
    )  # fmt: skip


@lru_cache(maxsize=16)
def cage(radius: float, length: float, x: float, z: float) -> Surface:
    """Return a bottle's cage: a rail along the tube, its two bosses, a hoop.

    Args:
        radius: of the bottle [mm].
        length: of the bottle [mm].
        x: from the bottle's axis to the tube's, across the bottle [mm].
        z: likewise [mm].
    """
    far = float(np.hypot(x, z))
    way = np.array([x, 0.0, z]) / far
    middle = np.array([0.0, length / 2, 0.0])
    low, high = ([0.0, share * length, 0.0] for share in (-0.46, 0.34))
    beside = middle + (radius + 2) * way
    made = [rod(beside + low, beside + high, 4.0)]
    made += [
        rod(
            middle + radius * way + [0, s * 32.0, 0],
            middle + (far - 6) * way + [0, s * 32.0, 0],
            5.0,
        )
        for s in (-1, 1)
    ]
    start = np.arctan2(z, x)
    turn = start + np.linspace(-2.2, 2.2, 19)
    around = np.stack(
        [(radius + 2) * np.cos(turn), 0.44 * length + 0 * turn, (radius + 2) * np.sin(turn)], axis=1
    )
    made.append(bent(around, 2.4, 8))
    return joined(made)


def shock(bodies: Mapping[str, Body]) -> Iterator[Named]:
    """Yield the pieces of the rear shock: `body.shapes` are an eye and a cylinder."""
    for name, make in (("shock_body", can), ("shock_coil", coil)):
        body = bodies.get(name)
        if body is None:
            continue
        eye, on = body.shapes
        own = (BLACK, "alloy") if make is can else (body.colour, "paint")
        for shape, form, (colour, finish) in ((eye, bush, (GREY, "alloy")), (on, make, own)):
            if isinstance(shape.shape, Disc):
                yield name, piece(form, *rod_sizes(shape), on=shape, colour=colour, finish=finish)


@lru_cache(maxsize=16)
def bush(radius: float, length: float) -> Surface:
    """Return a shock's eye along y."""
    return rod((0.0, 0.0, 0.0), (0.0, length, 0.0), radius, facets=24, lines=True)


@lru_cache(maxsize=16)
def can(radius: float, length: float) -> Surface:
    """Return a shock's body along y, from its eye to its seal head."""
    neck, head = min(16.0, 0.2 * length), length - min(14.0, 0.2 * length)
    return revolved(
        [
            (0.0, 0.0), (0.55 * radius, 0.0), (0.7 * radius, 0.5 * neck), (0.96 * radius, neck),
            (radius, neck + 2.0), (radius, neck + 10.0), (0.94 * radius, neck + 11.0),
            (0.94 * radius, head - 1.0), (radius, head), (radius, length - 3.0),
            (0.93 * radius, length), (0.0, length),
        ],
        20,
    )  # fmt: skip


@lru_cache(maxsize=16)
def coil(radius: float, length: float) -> Surface:
    """Return what of a spring shows along y, over a shock's shaft."""
    wire = min(5.5, 0.2 * radius, 0.2 * length)
    turns = max(1.0, (length - 2 * wire) / (2.6 * wire))
    turn = np.linspace(0.0, 2 * np.pi * turns, int(14 * turns) + 2)
    middle = radius - wire
    points = np.stack(
        [
            middle * np.cos(turn),
            np.linspace(wire, length - wire, len(turn)),
            middle * np.sin(turn),
        ],
        axis=1,
    )
    shaft = rod((0.0, 0.0, 0.0), (0.0, length, 0.0), min(7.0, 0.4 * radius), facets=16)
    return joined([bent(points, wire, 8), shaft])
