"""Looks of cranks, pedals, chainrings, cassette and chain: arms, cages, teeth, links."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import Final

import numpy as np

from frame3d.bodies.body import Body
from frame3d.bodies.parts.drivetrain import PLATE, tip_radius
from frame3d.bodies.placement import Placement
from frame3d.bodies.shapes import Box, Disc, PlacedShape
from frame3d.geometry.arrays import Array
from frame3d.looks.forms import block, circle, lofted, plate, rod, shifted
from frame3d.looks.piece import BLACK, GREY, SILVER, STEEL, Named, piece
from frame3d.looks.surfaces import Surface, joined
from frame3d.parameters.sizes.chains import PITCH, pitch_radius

DEEP: Final = 5.2
"""How far teeth stand out [mm]."""
DARKER: Final = "#6c7178"
SPINDLE: Final = 12.0
"""Radius of a crank's spindle [mm]."""
STUB: Final = 5.0
"""Radius of a pedal's axle [mm]."""


def drivetrain(bodies: Mapping[str, Body], place: Placement) -> Iterator[Named]:
    """Yield the pieces of everything that is pedalled, as far as there are outlines of it."""
    for side, sign in (("left", 1.0), ("right", -1.0)):
        yield from _arm(bodies, place, side, sign)
        yield from _pedal(bodies, place, side, sign)
    for name in ("chainring", "chainring_inner"):
        if name in bodies:
            yield from _chainring(bodies[name], place, name)
    runs = _runs(bodies)
    if "cassette" in bodies:
        # Every other one a little darker, or from the side they look like one.
        every = bodies["cassette"].shapes
        for first, colour in enumerate((STEEL, DARKER)):
            sizes = tuple(_teeth(on) for on in every[first::2])
            if sizes:
                yield (
                    "cassette",
                    piece(cogs, sizes, on=every[0], colour=colour, finish="steel", fine=True),
                )
    for name, on in runs.items():
        assert isinstance(on.shape, Box)
        x, y, _ = on.shape.half
        yield name, piece(straight, 2 * x, 2 * y, on=on, colour=GREY, finish="steel", fine=True)
    yield from _wraps(bodies, runs)


def _arm(bodies: Mapping[str, Body], place: Placement, side: str, sign: float) -> Iterator[Named]:
    arm = bodies.get(f"crank_arm_{side}")
    if arm is None or not isinstance(arm.shapes[0].shape, Box):
        return
    on, (long, thick, boss) = arm.shapes[0], arm.shapes[0].shape.half
    yield (
        f"crank_arm_{side}",
        piece(crank, sign, long, thick, boss, on=on, colour=BLACK, finish="alloy"),
    )
    shell = place.bike.shell
    inner = 0.0 if shell is None else shell.width / 2
    outer = abs(on.origin[1]) - thick
    if outer > inner:
        yield (
            f"crank_arm_{side}",
            piece(spindle, sign, long - boss, thick, outer - inner,
                  on=on, colour=SILVER, finish="steel", joins=True),
        )  # fmt: skip


def _pedal(bodies: Mapping[str, Body], place: Placement, side: str, sign: float) -> Iterator[Named]:
    pedal, spec = bodies.get(f"pedal_{side}"), place.build.pedal
    if pedal is None or spec is None or not isinstance(pedal.shapes[0].shape, Box):
        return
    on, half = pedal.shapes[0], pedal.shapes[0].shape.half
    name = f"pedal_{side}"
    yield name, piece(cage, *half, on=on, colour=BLACK, finish="alloy")
    if spec.axle > half[1]:
        yield (
            name,
            piece(axle, sign, half[1], spec.axle, on=on, colour=STEEL, finish="steel", joins=True),
        )


@lru_cache(maxsize=16)
def crank(sign: float, long: float, thick: float, boss: float) -> Surface:
    """Return a crank arm along x: broad at the bottom bracket, slimmer at the pedal, edges broken.

    Args:
        sign: 1 where the pedal's end is ahead, -1 where it is behind.
        long: half its length with both ends' rounds [mm].
        thick: half its thickness [mm].
        boss: half its height at the bottom bracket [mm].
    """
    small = 0.84 * boss
    turn = np.linspace(-np.pi / 2, np.pi / 2, 11)

    def outline(less: float) -> Array:
        far = np.stack(
            [long - small + (small - less) * np.cos(turn), (small - less) * np.sin(turn)], axis=1
        )
        near = np.stack(
            [boss - long - (boss - less) * np.cos(turn), -(boss - less) * np.sin(turn)], axis=1
        )
        waist = 0.74 * boss - less
        between = np.array([(0.3 * long, waist), (-0.3 * long, 0.82 * boss - less)])
        return np.vstack([far, between, near, between[::-1] * (1, -1)])

    edge = min(0.42 * thick, 3.0)
    rings = []
    for y, less in ((-thick, edge), (edge - thick, 0.0), (thick - edge, 0.0), (thick, edge)):
        flat = outline(less)
        rings.append(np.stack([sign * flat[:, 0], np.full(len(flat), y), flat[:, 1]], axis=1))
    return lofted(np.array(rings))


@lru_cache(maxsize=16)
def spindle(sign: float, far: float, thick: float, length: float) -> Surface:
    """Return the spindle from an arm to the bottom bracket shell, in the arm's axes.

    Args:
        sign: 1 on the left, -1 on the right.
        far: of the bottom bracket's axis from the arm's middle [mm].
        thick: half the arm's thickness [mm].
        length: from the arm to the shell [mm].
    """
    x, y = -sign * far, -sign * thick
    end = (x, y - sign * length, 0.0)
    cup = (x, end[1] + sign * min(8.0, 0.6 * length), 0.0)
    return joined([
        rod((x, y, 0.0), end, SPINDLE, facets=20),
        rod(cup, end, 1.7 * SPINDLE, facets=24, lines=True),
    ])  # fmt: skip


@lru_cache(maxsize=16)
def cage(long: float, wide: float, high: float) -> Surface:
    """Return a flat pedal about its axle: a frame with bars, thinner than its outline at the axle."""
    bar, thin = 0.11 * long, 0.7 * high
    made = [
        block((2 * long - 12, 2 * bar, 2 * thin), (0.0, s * (wide - bar), 0.0), 2.5)
        for s in (-1, 1)
    ]
    for s in (-1, 1):
        made.append(
            block((2 * bar, 2 * wide - 12, 2 * high - 2.0), (s * (long - bar), 0.0, 0.0), 2.5)
        )
        made.append(
            block((1.4 * bar, 2 * wide - 4 * bar, 1.2 * thin), (s * 0.48 * long, 0.0, 0.0), 1.5)
        )
    made.append(rod((0.0, -wide + 1, 0.0), (0.0, wide - 1, 0.0), min(0.85 * high, 8.5), facets=16))
    return joined(made)


@lru_cache(maxsize=16)
def axle(sign: float, near: float, length: float) -> Surface:
    """Return a pedal's axle from its cage to the arm, in the pedal's axes."""
    return rod((0.0, -sign * near, 0.0), (0.0, -sign * length, 0.0), STUB, facets=14)


def _chainring(body: Body, place: Placement, name: str) -> Iterator[Named]:
    on, spec = body.shapes[0], place.build.chainring
    if spec is None or not isinstance(on.shape, Disc):
        return
    teeth = spec.teeth if name == "chainring" else spec.inner_teeth
    radius, _, low, high = _disc(on)
    if teeth is not None:
        yield name, piece(ring, teeth, radius, low, high, on=on, colour=SILVER, finish="alloy")
        yield name, piece(spider, radius, low, high, on=on, colour=BLACK, finish="alloy")


def _disc(on: PlacedShape) -> tuple[float, float, float, float]:
    """Return a flat disc's radius, the y of its middle, and of its faces."""
    assert isinstance(on.shape, Disc)
    corners = np.array(on.shape.profile)
    low, high = float(corners[:, 1].min()), float(corners[:, 1].max())
    return float(corners[:, 0].max()), (low + high) / 2, low, high


def _teeth(on: PlacedShape) -> tuple[int, float, float]:
    """Return a cog's number of teeth, as its outline has them, and the y of its faces."""
    radius, _, low, high = _disc(on)
    # From the pitch radius, PITCH / 2 / sin(180°/N); teeth stand as far out of it on every cog.
    pitch = radius - (tip_radius(20) - pitch_radius(20))
    return round(np.pi / float(np.arcsin(PITCH / 2 / pitch))), low, high


def toothed(teeth: int, radius: float, points: int) -> tuple[Array, Array]:
    """Return the outline of a ring's teeth, and a circle below them with as many points.

    Args:
        teeth: their number.
        radius: at their tips [mm].
        points: of the outline for each: 4 with flat tips, 2 with sharp ones.
    """
    tip = np.array([0.0, 1.0] if points == 2 else [0.0, 0.0, 1.0, 1.0])
    r = radius - DEEP * (1 - np.tile(tip, teeth))
    unit = circle(1.0, points * teeth)
    return r[:, None] * unit, unit


@lru_cache(maxsize=16)
def ring(teeth: int, radius: float, low: float, high: float) -> Surface:
    """Return a chainring without its middle."""
    outer, unit = toothed(teeth, radius, 4)
    return plate(outer, low, high, (radius - DEEP - 9.0) * unit, lines=False)


@lru_cache(maxsize=16)
def spider(radius: float, low: float, high: float) -> Surface:
    """Return what carries a chainring: five arms about the spindle."""
    edge = radius - DEEP - 8.0
    middle = min(23.0, 0.6 * edge)
    made = [plate(circle(middle, 32), low, high)]
    for k in range(5):
        turn = 2 * np.pi * (k + 0.25) / 5
        out = np.array([np.cos(turn), np.sin(turn)])
        side = np.array([-out[1], out[0]])
        ends = [(0.5 * middle, 0.45 * middle), (edge, 5.5)]
        near, far = ((r * out - w * side, r * out + w * side) for r, w in ends)
        made.append(plate(np.array([near[0], near[1], far[1], far[0]]), low, high))
    return joined(made)


@lru_cache(maxsize=16)
def cogs(sizes: tuple[tuple[int, float, float], ...]) -> Surface:
    """Return cogs: their teeth, and y of both faces of each [mm]."""
    return joined([
        plate(toothed(teeth, tip_radius(teeth), 2)[0], low, high, lines=False)
        for teeth, low, high in sizes
    ])  # fmt: skip


def _runs(bodies: Mapping[str, Body]) -> dict[str, PlacedShape]:
    """Return the two straight runs of chain that are drawn."""
    return {
        name: body.shapes[0]
        for name, body in bodies.items()
        if body.drawn and name.startswith(("chain_upper_", "chain_lower_"))
        and isinstance(body.shapes[0].shape, Box)
    }  # fmt: skip


def _wraps(bodies: Mapping[str, Body], runs: Mapping[str, PlacedShape]) -> Iterator[Named]:
    """Yield the chain around chainring and cog, between the ends of its straight runs."""
    ring_body, cassette = bodies.get("chainring"), bodies.get("cassette")
    if ring_body is None or cassette is None or len(runs) != 2:
        return
    upper, lower = (
        next(s for n, s in runs.items() if n.startswith(p)) for p in ("chain_upper", "chain_lower")
    )
    _, teeth, cog_teeth = next(iter(runs)).rsplit("_", 2)
    assert isinstance(upper.shape, Box)
    wide = 2 * upper.shape.half[1]
    # Ends of the runs on the ring; the other ends lie where the chain is longest.
    ends = [
        np.array(run.origin) - run.shape.half[0] * np.array(run.axes[0])
        for run in (upper, lower)
        if isinstance(run.shape, Box)
    ]
    up, down = (float(np.arctan2(end[2], end[0])) for end in ends)
    inner = bodies.get("chainring_inner")
    on = next(
        (b.shapes[0] for b in (ring_body, inner)
         if b is not None and abs(_disc(b.shapes[0])[1] - ends[0][1]) < 0.5),
        None,
    )  # fmt: skip
    if on is not None:
        front = (up - down) % (2 * np.pi)
        yield (
            "chainring" if on is ring_body.shapes[0] else "chainring_inner",
            piece(wrapped, _disc(on)[0] - tip_radius(int(teeth)) + pitch_radius(int(teeth)), down, front,
                  wide, _disc(on)[1], on=on, colour=GREY, finish="steel", fine=True),
        )  # fmt: skip
    for on in cassette.shapes:
        if _teeth(on)[0] == int(cog_teeth):
            back = (down - up) % (2 * np.pi)
            yield (
                "cassette",
                piece(wrapped, pitch_radius(int(cog_teeth)), up, back, wide, _disc(on)[1],
                      on=on, colour=GREY, finish="steel", fine=True),
            )  # fmt: skip


@lru_cache(maxsize=16)
def straight(length: float, wide: float) -> Surface:
    """Return a straight length of chain along x."""
    count = max(1, round(length / PITCH))
    pitch = length / count
    starts = pitch * (np.arange(count) + 0.5) - length / 2
    return joined(
        [
            shifted(_link(pitch, wide, k % 2 == 0), (x, 0.0, 0.0))
            for k, x in enumerate(starts.tolist())
        ]
    )


@lru_cache(maxsize=16)
def wrapped(radius: float, start: float, turn: float, wide: float, y: float) -> Surface:
    """Return chain around a wheel.

    Args:
        radius: of its pins about y [mm].
        start: angle of its first end, from x toward z [radians].
        turn: as far as it reaches [radians].
        wide: over its pins [mm].
        y: of its middle [mm].
    """
    count = max(1, round(radius * turn / PITCH))
    made = []
    for k in range(count):
        at = start + turn * (k + 0.5) / count
        link = _link(radius * turn / count, wide, k % 2 == 0)
        c, s = np.cos(at), np.sin(at)
        # x along the chain, z outward.
        axes = np.array([[-s, 0.0, c], [0.0, 1.0, 0.0], [c, 0.0, s]])
        axes[1] = np.cross(axes[2], axes[0])
        turned = Surface(link.points @ axes, link.normals @ axes, link.corners, link.edges)
        made.append(shifted(turned, (radius * c, y, radius * s)))
    return joined(made)


def _link(pitch: float, wide: float, is_outer: bool) -> Surface:
    """Return one link along x, every other one between those beside it."""
    half, high = pitch / 2 + 0.8, 0.92 * PLATE
    x = half * np.array([-1.0, -0.62, 0.62, 1.0])
    z = high * np.array([0.55, 1.0, 1.0, 0.55])
    outline = np.vstack([np.stack([x, -z], axis=1), np.stack([x, z], axis=1)[::-1]])
    side = (wide / 2 - 0.05) if is_outer else (wide / 2 - 1.1)
    return plate(outline, -side, side, lines=False)
