"""Outlines of chainrings, cogs, and the chain in every gear."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product
from typing import NamedTuple

import numpy as np

from frame3d.bodies.body import PRACTICE, Absent, Body
from frame3d.bodies.forms import slab, wheel
from frame3d.bodies.motion.mounts import FRAME, Mount, link_mount
from frame3d.bodies.motion.tensioned import run_mount
from frame3d.bodies.parts.wheel import first_cog_of
from frame3d.bodies.placement import Placement
from frame3d.bodies.shapes import PlacedShape, cylinder
from frame3d.errors import SpecError
from frame3d.geometry.vector import Point, cross, point, unit, vector
from frame3d.parameters.sizes.chains import PITCH, pitch_radius

ROLLER = 7.75
"""Roller diameter of cycle chains (ISO 606 nos. 081 to 084, from memory) [mm]; others say 7.77, 7.92
and 7.9375, which takes as much off the tip."""
PLATE = 4.3
"""Half the height of a chain's plates [mm]; common practice, no source."""
COG = 1.6
"""Thickness of a cog [mm]; common practice, no source."""
GUARD = 3.0
"""Thickness of a guard ring [mm]; common practice, no source."""
CHAIN_WIDTHS = {12: 5.25, 11: 5.5, 10: 5.9, 9: 6.6, 8: 7.1, 7: 7.3, 6: 7.3, 5: 7.8}
"""Width over the pins, by the number of cogs [mm]: trade pages for eight to ten, else common
practice, no source."""
SPACINGS = {12: 3.65, 11: 3.8, 10: 3.95, 9: 4.35, 8: 4.8, 7: 5.0, 6: 5.5, 5: 5.5}
"""Distance from cog to cog, by their number [mm]; common practice, no source."""
WIDE_CHAIN = 9.0
"""Width of a 1/8 in chain over its pins [mm]; common practice, no source."""
STEEL = "#8b9097"


def tip_radius(teeth: int) -> float:
    """Return half the largest tip diameter, d + 1.25 p - d1 [mm] (ISO 606, from memory)."""
    return pitch_radius(teeth) + (1.25 * PITCH - ROLLER) / 2


def drivetrain(place: Placement) -> Iterator[Body | Absent]:
    """Yield chainrings with guard, cassette, and chain."""
    rings, cogs = _rings(place), _cogs(place)
    yield from _chainrings(place, rings)
    yield from _cassette(place, cogs)
    yield from _chain(place, rings, cogs)


def _rings(place: Placement) -> list[tuple[int, float]]:
    """Return teeth and y of each chainring, outer one first [mm]."""
    spec, crank = place.build.chainring, place.build.crank
    if spec is None or crank is None or crank.chainline is None:
        return []
    if spec.inner_teeth is None:
        return [(spec.teeth, -crank.chainline)]
    half = spec.spacing / 2
    return [(spec.teeth, -crank.chainline - half), (spec.inner_teeth, -crank.chainline + half)]


def _cogs(place: Placement) -> list[tuple[int, float]]:
    """Return teeth and y of each cog, smallest first [mm].

    Raises:
        SpecError: the cogs reach to less than 5 mm from the centre plane.
    """
    spec, hub, first = place.build.cassette, place.hub("rear"), first_cog_of(place)
    if spec is None or hub is None or first is None:
        return []
    count = len(spec.cogs)
    spacing = SPACINGS.get(count, 3.65 if count > 12 else 5.5)
    if spec.spacing is not None:
        spacing = spec.spacing
    last = first - (count - 1) * spacing
    if last < 5:
        raise SpecError(
            place.bike.spec.fault(
                "inconsistent",
                "build.cassette",
                f"{count} cogs {spacing:g} mm apart reach to {last:.1f} mm from the centre plane of a "
                f"{hub[0]:g} mm hub",
                "fewer cogs, a smaller spacing or inset, or a wider hub",
            )
        )
    return [(teeth, -(first - i * spacing)) for i, teeth in enumerate(spec.cogs)]


def _stretch(place: Placement) -> float:
    """Return the largest radius of an oval ring over that of a round one with its teeth."""
    spec = place.build.chainring
    return 1.0 if spec is None else 2 * (1 + spec.ovality) / (2 + spec.ovality)


def _chainrings(place: Placement, rings: list[tuple[int, float]]) -> Iterator[Body | Absent]:
    spec = place.build.chainring
    if spec is None or not rings:
        crank = place.build.crank
        lacking = ["build.chainring"] if spec is None else []
        if crank is None or crank.chainline is None:
            lacking.append("build.crank.chainline")
        yield Absent("chainring", " and ".join(lacking))
        return
    names = ("chainring", "chainring_inner")
    note = "largest tip circle (ISO 606)" + (", of an oval ring all round" if spec.ovality else "")
    for (teeth, y), name in zip(rings, names, strict=False):
        stretched = pitch_radius(teeth) * (_stretch(place) - 1)
        half = spec.thickness / 2
        yield _round(
            place,
            name,
            "build.chainring",
            tip_radius(teeth) + stretched,
            (y - half, y + half),
            note,
        )
    if spec.guard is not None:
        y = rings[0][1] - spec.thickness / 2
        if spec.guard / 2 < tip_radius(spec.teeth):
            raise SpecError(
                place.bike.spec.fault(
                    "inconsistent",
                    "build.chainring.guard",
                    f"smaller than the ring that it guards ({2 * tip_radius(spec.teeth):.1f} mm over "
                    "its teeth)",
                    f"at least {np.ceil(2 * tip_radius(spec.teeth)):g}",
                )
            )
        yield _round(
            place, "chainring_guard", "build.chainring.guard", spec.guard / 2, (y - GUARD, y),
            f"{GUARD:g} mm thick: {PRACTICE}",
        )  # fmt: skip


def _round(
    place: Placement,
    name: str,
    part: str,
    radius: float,
    across: tuple[float, float],
    note: str,
    drawn: bool = True,
) -> Body:
    """Return a flat disc about the bottom bracket's axis."""
    form = wheel(name, radius, *across, (0.0, 0.0, 0.0), place.spindle)
    return Body(
        name=name,
        part=part,
        family="drivetrain",
        shapes=form.shapes,
        tubes=form.tubes,
        colour=STEEL,
        drawn=drawn,
        note=note,
    )


def _cassette(place: Placement, cogs: list[tuple[int, float]]) -> Iterator[Body | Absent]:
    if not cogs:
        given = place.build.cassette is not None
        yield Absent("cassette", "build.rear_wheel.hub" if given else "build.cassette")
        return
    yield Body(
        name="cassette",
        part="build.cassette",
        family="drivetrain",
        shapes=tuple(
            PlacedShape(
                "cassette",
                cylinder(tip_radius(teeth), y - COG / 2, y + COG / 2),
                place.axle("rear"),
                place.rear,
            )
            for teeth, y in cogs
        ),
        tubes=(),
        colour=STEEL,
        touches=("rear_hub",),
        note=f"cogs' spacing and inset: {PRACTICE}, where the file does not give them",
    )  # fmt: skip


def _chain(
    place: Placement, rings: list[tuple[int, float]], cogs: list[tuple[int, float]]
) -> Iterator[Body | Absent]:
    spec, crank = place.build.cassette, place.build.crank
    if spec is None or not rings or not cogs:
        needs = [
            key
            for key, there in (
                ("build.chainring", place.build.chainring is not None),
                ("build.crank.chainline", crank is not None and crank.chainline is not None),
                ("build.cassette", spec is not None),
                ("build.rear_wheel.hub", bool(cogs) or spec is None),
            )
            if not there
        ]
        yield Absent("chain", " and ".join(needs))
        return
    width = CHAIN_WIDTHS.get(len(cogs), 5.25 if len(cogs) > 12 else WIDE_CHAIN)
    if spec.chain_width is not None:
        width = spec.chain_width
    note = f"chain {width:g} mm wide and {2 * PLATE:g} mm high: {PRACTICE}"
    stretch = _stretch(place)
    for teeth, y in rings:
        yield _round(
            place, f"chain_round_{teeth}", "build.cassette", pitch_radius(teeth) * stretch + PLATE,
            (y - width / 2, y + width / 2), note, drawn=False,
        )  # fmt: skip
    axle = place.axle("rear")
    yield Body(
        name="chain_round_cogs",
        part="build.cassette",
        family="drivetrain",
        shapes=tuple(
            PlacedShape(
                "chain_round_cogs",
                cylinder(pitch_radius(teeth) + PLATE, y - width / 2, y + width / 2),
                axle,
                place.rear,
            )
            for teeth, y in cogs
        ),
        tubes=(),
        colour=STEEL,
        drawn=False,
        touches=("rear_hub",),
        note=note,
    )
    straightest = min(product(rings, cogs), key=lambda g: abs(g[0][1] - g[1][1]))
    wanted: list[_Run] = []
    for ring, cog in product(rings, cogs):
        if place.drawn_only and (ring, cog) != straightest:
            continue
        for run, up in (("upper", 1.0), ("lower", -1.0)):
            name = _run_name(run, ring[0], cog[0])
            if place.is_wanted(name):
                radii = pitch_radius(ring[0]) * stretch, pitch_radius(cog[0])
                is_drawn = (ring, cog) == straightest
                wanted.append(_Run(name, radii, (ring[1], cog[1]), up, is_drawn))
    for one, (mount, longest) in zip(wanted, _motions_of_runs(place, wanted), strict=True):
        (ra, rb), (ya, yb) = one.radii, one.lateral
        a, b = tangent((0.0, ya, 0.0), ra, (axle[0], yb, axle[2]), rb, one.up)
        if longest is not None:
            along = np.array([b[0] - a[0], b[2] - a[2]])
            x, z = along * longest / float(np.hypot(*along))
            b = (a[0] + float(x), b[1], a[2] + float(z))
        yield Body(
            name=one.name,
            part="build.cassette",
            family="drivetrain",
            shapes=(_run(one.name, a, b, width, mount),),
            tubes=(),
            colour=STEEL,
            drawn=one.is_drawn,
            note=note,
        )


class _Run(NamedTuple):
    """A straight run of chain."""

    name: str
    radii: tuple[float, float]
    """Pitch radii of ring and cog [mm]."""
    lateral: tuple[float, float]
    """Their y [mm]."""
    up: float
    """1 for the upper run, -1 for the lower one."""
    is_drawn: bool


def run_names(place: Placement) -> frozenset[str]:
    """Return the names of all straight runs of chain."""
    spec = place.build.cassette
    cogs = () if spec is None else spec.cogs
    return frozenset(
        _run_name(run, teeth, cog)
        for run in ("upper", "lower")
        for teeth, _ in _rings(place)
        for cog in cogs
    )


def _run_name(run: str, ring: int, cog: int) -> str:
    return f"chain_{run}_{ring}_{cog}"


def _motions_of_runs(place: Placement, runs: Sequence[_Run]) -> list[tuple[Mount, float | None]]:
    """Return what each run of chain moves with, and the greatest length that it ever has [mm]; None if
    it keeps the one that it is drawn with.
    """
    linkage = place.bike.linkage
    if not runs:
        return []
    if linkage is None:
        x, _, z = place.axle("rear")
        tension = place.insert, place.slots, place.spindle, complex(x, z)
        found = (run_mount(*tension, run.radii, run.up) for run in runs)
        return [(FRAME, None) if one is None else one for one in found]
    from frame3d.bodies.motion.linked import chain_swings, longest_run

    swings = chain_swings(linkage, [(*run.radii, run.up) for run in runs])
    return [
        (link_mount("chain run", swing), longest_run(linkage, *run.radii))
        for run, swing in zip(runs, swings, strict=True)
    ]


def tangent(a: Point, ra: float, b: Point, rb: float, up: float) -> tuple[Point, Point]:
    """Return the ends of the straight run of chain over or under two wheels in the side view [mm].

    ::

                 n ^        upper run
                _.-*-------------------*-._
              .'   | rb             ra |   `.
             (   b +                   + a   )     unit normal n: n·(b - a) = ra - rb
              `._                         _.'

    Args:
        a: centre of one wheel; the run goes from its y to the other's.
        ra: radius of that wheel.
        b: centre of the other.
        rb: radius of the other.
        up: 1 for the upper run, -1 for the lower one.
    """
    d = np.array([b[0] - a[0], b[2] - a[2]])
    size = float(np.hypot(*d))
    e = d / size
    across = np.array([-e[1], e[0]])
    if across[1] < 0:
        across = -across
    k = (ra - rb) / size
    n = k * e + up * np.sqrt(1 - k * k) * across
    return (
        (float(a[0] + ra * n[0]), a[1], float(a[2] + ra * n[1])),
        (float(b[0] + rb * n[0]), b[1], float(b[2] + rb * n[1])),
    )


def _run(name: str, a: Point, b: Point, width: float, mount: Mount) -> PlacedShape:
    """Return a straight length of chain as a box."""
    along = vector(b) - vector(a)
    x = unit(along)
    z = unit(cross(x, np.array([0.0, 1.0, 0.0])))
    axes = (point(x), point(cross(z, x)), point(z))
    middle = point((vector(a) + vector(b)) / 2)
    size = (float(np.linalg.norm(along)), width, 2 * PLATE)
    return slab(name, middle, size, 0.5, mount, axes).shapes[0]
