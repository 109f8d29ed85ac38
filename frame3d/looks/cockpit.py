"""Looks of stem, handlebar and levers: spacers, a clamp, a bar with grips, curved levers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import Final

import numpy as np

from frame3d.bodies.body import Body
from frame3d.bodies.motion.pose import own_matrix
from frame3d.bodies.placement import Placement
from frame3d.bodies.shapes import Box, Capsule, Disc, PlacedShape
from frame3d.geometry.arrays import Array
from frame3d.looks.forms import bent, lofted, mirrored, revolved, rod
from frame3d.looks.piece import BLACK, GREY, RUBBER, Named, piece, rod_sizes
from frame3d.looks.surfaces import Surface, joined

BAR: Final = 11.2
"""Radius of the bar [mm]."""
MIDDLE: Final = 14.4
"""Radius of the bar in the stem's clamp [mm]."""
CLAMP: Final = 20.0
"""Half the width of the stem's clamp [mm]."""
GRIP: Final = 128.0
"""Length of a grip [mm]."""
TAPE: Final = 14.8
"""Radius of a taped bar [mm]."""
APART: Final = 0.05
"""Distance of a bar's halves from its middle: surfaces that touch are no closed ones [mm]."""
Side = tuple[tuple[float, float, float], ...]
"""Corners of one half of a bar's axis, from the middle outward [mm]."""
SLACK: Final = 4.0
"""How far a bend may lie beside the corner that the outline has [mm]."""


def cockpit(bodies: Mapping[str, Body], place: Placement) -> Iterator[Named]:
    """Yield the pieces of stem, handlebar and levers, as far as there are outlines of them."""
    stem, bar = bodies.get("stem"), bodies.get("handlebar")
    if stem is not None:
        yield from _stem(stem, place)
    is_dropped = place.build.handlebar is not None and place.build.handlebar.drop > 0
    if bar is not None:
        yield from _bar(bar, is_dropped)
    for side in ("left", "right"):
        lever = bodies.get(f"brake_lever_{side}")
        if lever is not None and isinstance(lever.shapes[0].shape, Box):
            on, half = lever.shapes[0], lever.shapes[0].shape.half
            make = hood if is_dropped else left_lever if side == "left" else right_lever
            yield (
                f"brake_lever_{side}",
                piece(make, *half, on=on, colour=RUBBER if is_dropped else GREY,
                      finish="rubber" if is_dropped else "alloy"),
            )  # fmt: skip


def _stem(stem: Body, place: Placement) -> Iterator[Named]:
    on, spec = stem.shapes[0], place.build.stem
    if spec is None or not isinstance(on.shape, Disc):
        return
    radius, top = rod_sizes(on)
    foot = top - spec.clamp_height
    yield (
        "stem",
        piece(spacers, radius, foot, foot - spec.spacers, on=on, colour=BLACK, finish="alloy"),
    )
    yield "stem", piece(steerer_clamp, radius, foot, top, on=on, colour=GREY, finish="alloy")
    if len(stem.shapes) > 1 and isinstance(stem.shapes[1].shape, Capsule):
        neck, capsule = stem.shapes[1], stem.shapes[1].shape
        # The bar's direction in the neck's own axes.
        y = tuple(float(v) for v in np.array(neck.axes) @ [0.0, 1.0, 0.0])
        yield (
            "stem",
            piece(
                neck_and_clamp,
                capsule.length,
                capsule.radius,
                y,
                on=neck,
                colour=GREY,
                finish="alloy",
            ),
        )


@lru_cache(maxsize=16)
def spacers(radius: float, top: float, foot: float) -> Surface:
    """Return a headset's cover and the spacers above it, along y.

    Args:
        radius: of the outline [mm].
        top: where the stem begins [mm].
        foot: where the spacers begin [mm].
    """
    profile = [(0.0, 0.0), (radius, 0.0), (radius, 0.5 * foot), (radius - 1.6, foot)]
    count = max(1, round((top - foot) / 10.0)) if top - foot > 2.0 else 0
    for k in range(count):
        low, high = (foot + (top - foot) * i / count for i in (k, k + 1))
        profile += [
            (radius - 2.6, low + 0.1), (radius - 2.6, low + 0.6), (radius - 1.6, low + 0.8),
            (radius - 1.6, high),
        ]  # fmt: skip
    return revolved([*profile, (0.0, top + 0.2)], 28)


@lru_cache(maxsize=16)
def steerer_clamp(radius: float, foot: float, top: float) -> Surface:
    """Return the stem's round about the steerer, along y, with the cap on it."""
    return revolved(
        [
            (0.0, foot), (radius - 0.8, foot), (radius, foot + 1.0), (radius, top - 4.0),
            (radius - 1.2, top - 2.6), (radius - 1.8, top - 2.6), (radius - 1.8, top - 0.8),
            (radius - 3.0, top), (0.0, top),
        ],
        28,
    )  # fmt: skip


@lru_cache(maxsize=16)
def neck_and_clamp(length: float, radius: float, across: tuple[float, float, float]) -> Surface:
    """Return a stem's neck along z and its clamp about the bar.

    Args:
        length: from the steerer's axis to the bar's [mm].
        radius: of the outline [mm].
        across: direction of the bar.
    """
    side = np.array(across)
    other = np.cross([0.0, 0.0, 1.0], side)
    turn = 2 * np.pi * np.arange(20) / 20
    c, s = np.cos(turn), np.sin(turn)
    share = np.linspace(0.0, 1.0, 6)
    waist = 1 - 0.16 * np.sin(np.pi * share)
    rings = (
        (length * share)[:, None, None] * np.array([0.0, 0.0, 1.0])
        + (0.97 * radius * waist[:, None] * c)[:, :, None] * side
        + (0.84 * radius * waist[:, None] * s)[:, :, None] * other
    )
    end = np.array([0.0, 0.0, length])
    made = [lofted(rings)]
    # Two halves with a gap between them, where the bar shows.
    for low, high in ((-CLAMP, -3.0), (3.0, CLAMP)):
        made.append(rod(end + low * side, end + high * side, radius - 0.2, facets=28, lines=True))
    return joined(made)


def _bar(bar: Body, is_dropped: bool) -> Iterator[Named]:
    """Yield the two halves of a bar: `body.shapes` are its legs from the middle outward, left first."""
    legs = [s for s in bar.shapes if isinstance(s.shape, Capsule)]
    halves = len(legs) // 2
    on = legs[0]
    sides = tuple(_corners(half, on) for half in (legs[:halves], legs[halves:]))
    if is_dropped:
        yield "handlebar", piece(tube, sides, TAPE, on=on, colour=RUBBER, finish="rubber")
    else:
        yield "handlebar", piece(tube, sides, BAR, on=on, colour=BLACK, finish="alloy")
        yield "handlebar", piece(grips, sides, on=on, colour=RUBBER, finish="rubber")
    yield "handlebar", piece(bulge, sides, on=on, colour=BLACK, finish="alloy")


def _corners(legs: list[PlacedShape], on: PlacedShape) -> Side:
    """Return the corners of a bar's half from the middle outward, in the axes of one of its legs."""
    into = np.linalg.inv(own_matrix(on))
    ends = [legs[0].origin]
    for leg in legs:
        assert isinstance(leg.shape, Capsule)
        ends.append(tuple(np.array(leg.origin) + leg.shape.length * np.array(leg.axes[2])))
    found = [(into @ [*end, 1.0])[:3].tolist() for end in ends]
    return tuple((x, y, z) for x, y, z in found)


@lru_cache(maxsize=16)
def tube(sides: tuple[Side, ...], radius: float) -> Surface:
    """Return a bar.

    Args:
        sides: corners of the axis of each half, from the middle outward [mm].
        radius: of the bar [mm].
    """
    made = []
    for corners in sides:
        line = rounded(np.array(corners), SLACK)
        line[0] += APART * _way(line[:2])
        made.append(bent(np.vstack([line, line[-1] + 5.0 * _way(line)]), radius, 12))
    return joined(made)


@lru_cache(maxsize=16)
def grips(sides: tuple[Side, ...]) -> Surface:
    """Return the grips on the ends of a bar; sides as in `tube`."""
    stations = np.array([
        (GRIP, 12.0), (GRIP - 1.0, 15.6), (GRIP - 6.0, 15.6), (GRIP - 7.0, 14.6), (64.0, 15.0),
        (4.0, 14.8), (3.0, 15.6), (-1.0, 14.6), (-2.0, 12.5),
    ])  # fmt: skip
    made = []
    for corners in sides:
        way = _way(np.array(corners))
        made.append(bent(corners[-1] + (6.0 - stations[:, :1]) * way, stations[:, 1], 16))
    return joined(made)


@lru_cache(maxsize=16)
def bulge(sides: tuple[Side, ...]) -> Surface:
    """Return the thicker middle of a bar, toward its first corners; sides as in `tube`."""
    made = []
    for corners in sides:
        toward = np.array(corners[1]) - corners[0]
        length = float(np.linalg.norm(toward))
        places = min(length, 75.0) * np.array([0.0, 0.55, 1.0])
        places[0] = APART
        line = np.array(corners[0]) + places[:, None] * toward / length
        made.append(bent(line, np.array([MIDDLE, MIDDLE, BAR - 0.5]), 16))
    return joined(made)


def _way(line: Array) -> Array:
    """Return the direction of the last leg of a line."""
    step = line[-1] - line[-2]
    return np.asarray(step / np.linalg.norm(step))


def rounded(corners: Array, slack: float) -> Array:
    """Return a line of points whose corners are rounded, by arcs no further than `slack` from them."""
    out = [corners[0]]
    for a, b, c in zip(corners, corners[1:], corners[2:], strict=False):
        back, on = a - b, c - b
        lengths = np.linalg.norm(back), np.linalg.norm(on)
        back, on = back / lengths[0], on / lengths[1]
        half = np.arccos(np.clip(back @ on, -1.0, 1.0)) / 2
        # An arc that touches both legs at d from the corner passes it at d (1 - sin h) / cos h.
        far = slack * np.cos(half) / max(1 - np.sin(half), 1e-9)
        d = min(far, 0.48 * lengths[0], 0.48 * lengths[1])
        p, q = b + d * back, b + d * on
        for t in np.linspace(0.0, 1.0, 6):
            # A quadratic curve keeps within the arc's distance of the corner's two legs.
            out.append((1 - t) ** 2 * p + 2 * t * (1 - t) * b + t**2 * q)
    return np.array([*out, corners[-1]])


@lru_cache(maxsize=16)
def left_lever(ahead: float, across: float, high: float) -> Surface:
    """Return a lever on the left: its body by the bar, a blade that curves outward.

    Args:
        ahead: half the outline's reach ahead of the bar [mm].
        across: half its span along the bar; the blade ends at its outer end [mm].
        high: half its thickness [mm].
    """
    thin = min(0.4 * high, 6.0)
    inner = -across + 0.12 * across
    body = bent(
        np.array([
            (-ahead + 9.0, inner + 6.0, 0.0), (-0.45 * ahead, inner + 8.0, 0.0),
            (0.1 * ahead, inner + 0.24 * across, 0.0), (0.42 * ahead, inner + 0.44 * across, 0.0),
        ]),
        np.array([0.52 * high, 0.62 * high, 0.6 * high, 0.4 * high]),
        14,
    )  # fmt: skip
    blade = bent(
        np.array([
            (0.3 * ahead, inner + 0.34 * across, 0.0), (0.62 * ahead, inner + 0.6 * across, 0.0),
            (0.72 * ahead, 0.0, 0.0), (0.66 * ahead, 0.4 * across, 0.0),
            (0.56 * ahead, 0.75 * across, 0.0), (0.56 * ahead, 0.94 * across, 0.0),
        ]),
        np.array([thin, thin, 0.85 * thin, 0.8 * thin, 0.85 * thin, 1.1 * thin]),
        12,
    )  # fmt: skip
    return joined([body, blade])


@lru_cache(maxsize=16)
def right_lever(ahead: float, across: float, high: float) -> Surface:
    """Return `left_lever` as it is on the right."""
    return mirrored(left_lever(ahead, across, high))


@lru_cache(maxsize=16)
def hood(ahead: float, across: float, high: float) -> Surface:
    """Return the hood of a lever on a drop bar."""
    x = ahead * np.array([-0.96, -0.8, -0.3, 0.3, 0.72, 0.93])
    size = np.array([0.5, 0.62, 0.6, 0.66, 0.72, 0.42])
    turn = 2 * np.pi * np.arange(18) / 18
    rings = np.stack(
        [
            np.repeat(x[:, None], 18, axis=1),
            (across * size)[:, None] * np.cos(turn),
            (high * size)[:, None] * np.sin(turn) + 0 * x[:, None],
        ],
        axis=2,
    )
    return lofted(rings)
