"""Looks of wheels: a tyre with tread, a rim with its section, spokes, a hub, a rotor."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import Final

import numpy as np

from frame3d.bodies.body import Body
from frame3d.bodies.parts.wheel import FLANGE
from frame3d.bodies.placement import End
from frame3d.bodies.shapes import Disc, PlacedShape, Ring, Torus
from frame3d.geometry.arrays import Array
from frame3d.looks.forms import circle, plate, revolved, rod
from frame3d.looks.piece import GREY, RUBBER, SILVER, STEEL, Named, piece
from frame3d.looks.surfaces import NO_EDGES, Surface, joined

AROUND: Final = 64
"""Facets around a wheel."""
SPOKES: Final = 32
KNOBBY: Final = 40.0
"""Tyres from this width on have knobs [mm]."""
KNOB: Final = 2.6
"""Height of knobs [mm]."""


def wheel(bodies: Mapping[str, Body], end: End) -> Iterator[Named]:
    """Yield the pieces of tyre, rim, hub and rotor, as far as there are outlines of them."""
    tyre, rim = _first(bodies, f"{end}_tyre", Torus), _first(bodies, f"{end}_rim", Ring)
    hub, rotor = _first(bodies, f"{end}_hub", Disc), _first(bodies, f"{end}_rotor", Disc)
    edges = _ring_sizes(rim)
    if tyre is not None and isinstance(tyre.shape, Torus) and edges is not None:
        centre, radius = tyre.shape.centre_radius, tyre.shape.tube_radius
        bead = min(edges[2] - FLANGE / 2, 0.8 * radius)
        yield (
            f"{end}_tyre",
            piece(casing, centre, radius, bead, on=tyre, colour=RUBBER, finish="rubber"),
        )
        if 2 * radius >= KNOBBY:
            knobs = piece(tread, centre, radius, on=tyre, colour=RUBBER, finish="rubber", fine=True)
            yield f"{end}_tyre", knobs
    if rim is not None and edges is not None:
        yield f"{end}_rim", piece(hoop, *edges, on=rim, colour=GREY, finish="alloy")
    if hub is not None and isinstance(hub.shape, Disc):
        half = max(y for _, y in hub.shape.profile)
        left, right = flanges(bodies, end, half)
        yield f"{end}_hub", piece(barrel, half, left, right, on=hub, colour=GREY, finish="alloy")
        if rim is not None and edges is not None:
            yield (
                f"{end}_rim",
                piece(
                    spokes, edges[0] + 1.0, left, right,
                    on=rim, colour=SILVER, finish="steel", joins=True,
                ),
            )  # fmt: skip
    if rotor is not None and isinstance(rotor.shape, Disc):
        (radius, half) = np.abs(np.array(rotor.shape.profile)).max(axis=0)
        yield (
            f"{end}_rotor",
            piece(brake_disc, radius, half, on=rotor, colour=STEEL, finish="steel"),
        )


def flanges(bodies: Mapping[str, Body], end: End, half: float) -> tuple[float, float]:
    """Return the y of a hub's left and right flange, beside rotor and cassette [mm]."""
    left, right = max(half - 24.0, 5.0), -max(half - 24.0, 5.0)
    rotor = bodies.get(f"{end}_rotor")
    if rotor is not None:
        left = max(min(left, rotor.shapes[0].origin[1] - 6.0), 5.0)
    cassette = bodies.get("cassette") if end == "rear" else None
    if cassette is not None:
        inner = max(
            y for s in cassette.shapes if isinstance(s.shape, Disc) for _, y in s.shape.profile
        )
        right = min(max(right, inner + 5.0), -5.0)
    return left, right


def _first(bodies: Mapping[str, Body], name: str, kind: type) -> PlacedShape | None:
    """Return a part's shape of a kind, the one in the middle of the bike where there are more."""
    body = bodies.get(name)
    found = [] if body is None else [s for s in body.shapes if isinstance(s.shape, kind)]
    return min(found, key=lambda s: abs(s.origin[1]), default=None)


def _ring_sizes(rim: PlacedShape | None) -> tuple[float, float, float] | None:
    """Return a rim's inner and outer radius and half its width [mm]."""
    if rim is None or not isinstance(rim.shape, Ring):
        return None
    corners = np.array(rim.shape.profile)
    return float(corners[:, 0].min()), float(corners[:, 0].max()), float(corners[:, 1].max())


@lru_cache(maxsize=16)
def casing(centre: float, radius: float, bead: float) -> Surface:
    """Return a hollow tyre, open between its beads.

    Args:
        centre: radius of the circle about the axle on which the section's middle lies [mm].
        radius: of the section [mm].
        bead: half the distance between the beads [mm].
    """
    outside = radius - (KNOB if 2 * radius >= KNOBBY else 0.3)
    inside = outside - max(1.6, 0.06 * radius)
    opening = np.arcsin(min(bead / radius, 0.9))
    turn = np.linspace(np.pi + opening, 3 * np.pi - opening, 11)
    inner = np.linspace(np.pi + opening, 3 * np.pi - opening, 7)
    out = np.stack([centre + outside * np.cos(turn), outside * np.sin(turn)], axis=1)
    back = np.stack([centre + inside * np.cos(inner), inside * np.sin(inner)], axis=1)[::-1]
    # The beads stay as wide as the outline's.
    out[0] = centre - radius * np.cos(opening), -radius * np.sin(opening)
    out[-1] = centre - radius * np.cos(opening), radius * np.sin(opening)
    return revolved([(r, y) for r, y in np.vstack([out, back]).tolist()], AROUND, lines=False)


@lru_cache(maxsize=16)
def tread(centre: float, radius: float) -> Surface:
    """Return the knobs of a tyre, which end at its outline."""
    count = round(2 * np.pi * (centre + radius) / 40.0)
    rows = ((0.0, 0.0, 0.16, 0.3), (0.42, 0.5, 0.15, 0.3), (0.92, 0.0, 0.13, 0.3))
    knobs = []
    for across, shift, wide, long in rows:
        for side in (1.0,) if across == 0 else (1.0, -1.0):
            knobs.append(_knobs(centre, radius, side * across, shift, wide, long, count))
    points, normals = (np.concatenate([k[i] for k in knobs]) for i in (0, 1))
    starts = 8 * np.arange(len(points) // 8)[:, None, None]
    return Surface(points, normals, (starts + CUBE).reshape(-1, 3), NO_EDGES)


CUBE: Final = np.array(
    [[0, 3, 1], [0, 2, 3], [4, 7, 6], [4, 5, 7], [0, 5, 4], [0, 1, 5], [2, 7, 3], [2, 6, 7],
     [0, 6, 2], [0, 4, 6], [1, 7, 5], [1, 3, 7]]
)  # fmt: skip
"""Triangles of a block whose corners are numbered by low and high: around, across, outward."""


def _knobs(
    centre: float, radius: float, across: float, shift: float, wide: float, long: float, count: int
) -> tuple[Array, Array]:
    """Return corners and normals of a row of knobs: two (8 count, 3).

    Args:
        centre: as in `casing`.
        radius: as in `casing`.
        across: angle in the section of their middles, from straight out [radians].
        shift: along the row, as a share of the distance from one to the next.
        wide: half their width [radians].
        long: half their length, as a share of the distance from one to the next.
        count: around the wheel.
    """
    low_high = np.array([-1.0, 1.0])
    a, b, c = (x.ravel() for x in np.meshgrid(low_high, low_high, low_high, indexing="ij"))
    along = 2 * np.pi * (np.arange(count)[:, None] + shift + long * a * (1 - 0.1 * c)) / count
    side = across + wide * b * (1 - 0.12 * c) + 0 * along
    out = np.where(c > 0, radius, radius - KNOB - 0.4) + 0 * along

    def at(depth: Array) -> Array:
        r, y = centre + depth * np.cos(side), depth * np.sin(side)
        return np.stack([r * np.cos(along), y, r * np.sin(along)], axis=2)

    points = at(out)
    # Rounded by their normals: outward, and a little away from the knob's own middle.
    outward = at(out + 1.0) - points
    from_middle = points - points.mean(axis=1, keepdims=True)
    from_middle /= np.linalg.norm(from_middle, axis=2, keepdims=True)
    normals = outward + 0.9 * from_middle
    normals /= np.linalg.norm(normals, axis=2, keepdims=True)
    return points.reshape(-1, 3), normals.reshape(-1, 3)


@lru_cache(maxsize=16)
def hoop(inner: float, outer: float, half: float) -> Surface:
    """Return a rim: edges over a bed for the tyre, hollow below.

    Args:
        inner: radius at the spokes [mm].
        outer: radius of its edges [mm].
        half: of its width [mm].
    """
    seat, wall = outer - FLANGE, 2.2
    depth = seat - inner
    bed, low = seat - min(0.3 * depth, 6.0), seat - depth / 2
    within = half - FLANGE / 2
    side = [
        (inner, half / 2), (low, half), (outer - 1.0, half), (outer, half - 0.8),
        (outer, within + 0.6), (seat, within), (bed, 0.55 * within),
    ]  # fmt: skip
    profile = [(r, -y) for r, y in side] + side[::-1]
    made = revolved(profile, AROUND)
    if bed - wall > low + 1.0:
        space = [
            (inner + wall, half / 2 - wall / 2),
            (low, half - wall - 0.6),
            (bed - wall, half - wall - 1.2),
        ]
        hole = [(r, -y) for r, y in space] + space[::-1]
        made = joined([made, _inside_out(revolved(hole, AROUND, lines=False))])
    return made


def _inside_out(surface: Surface) -> Surface:
    return Surface(surface.points, -surface.normals, surface.corners[:, ::-1], surface.edges)


@lru_cache(maxsize=16)
def spokes(radius: float, left: float, right: float) -> Surface:
    """Return spokes from a hub's flanges to the rim, each crossing others of its side.

    Args:
        radius: at the rim [mm].
        left: y of the left flange [mm].
        right: y of the right flange [mm].
    """
    made = []
    for k in range(SPOKES):
        turn = 2 * np.pi * k / SPOKES
        y, way = (left, right)[k % 2], (1.0, -1.0)[k // 2 % 2]
        at = turn + way * 6 * 2 * np.pi / SPOKES
        foot = (25.0 * np.cos(at), y + way * 1.2, 25.0 * np.sin(at))
        head = (radius * np.cos(turn), np.sign(y) * 2.0, radius * np.sin(turn))
        made.append(rod(foot, head, 1.0, facets=3))
    return joined(made)


@lru_cache(maxsize=16)
def barrel(half: float, left: float, right: float) -> Surface:
    """Return a hub: ends for the dropouts, two flanges, a waist.

    Args:
        half: of its width between the dropouts [mm].
        left: y of the left flange [mm].
        right: y of the right flange [mm].
    """
    waist = min(13.0, 0.1 * (left - right) + 8.0)
    profile = [(0.0, -half), (9.0, -half), (9.0, 7.0 - half), (14.0, 10.0 - half)]
    if right - 3.0 > 12.0 - half:
        profile.append((14.0, right - 3.0))
    profile += [
        (27.5, right - 1.5), (28.0, right), (27.5, right + 1.5), (waist + 2, right + 3.5),
        (waist, (left + right) / 2), (waist + 2, left - 3.5), (27.5, left - 1.5), (28.0, left),
        (27.5, left + 1.5),
    ]  # fmt: skip
    if left + 3.0 < half - 12.0:
        profile.append((14.0, left + 3.0))
    profile += [(14.0, half - 10.0), (9.0, half - 7.0), (9.0, half), (0.0, half)]
    return revolved(profile, 22)


@lru_cache(maxsize=16)
def brake_disc(radius: float, half: float) -> Surface:
    """Return a rotor: a braking track on six arms."""
    count = 160
    turn = 2 * np.pi * np.arange(count) / count
    wave = 0.9 * np.cos(20 * turn)
    unit = circle(1.0, count)
    track = plate(
        (radius - 0.9 + wave)[:, None] * unit, -half, half, (radius - 16.0 + wave)[:, None] * unit
    )
    carrier = plate(circle(26.0, 24), -half, half, circle(17.0, 24))
    arms = []
    for k in range(6):
        a, b = np.pi * k / 3, np.pi * k / 3 + 0.55
        low, high = (
            r * np.array([np.cos(t), np.sin(t)]) for r, t in ((24.0, a), (radius - 15.0, b))
        )
        across = np.array([low[1] - high[1], high[0] - low[0]])
        across *= 3.2 / np.linalg.norm(across)
        arms.append(
            plate(
                np.array([low - across, low + across, high + across, high - across]),
                -half,
                half,
                lines=False,
            )
        )
    return joined([track, carrier, *arms])
