"""Decide what each part is made of and what cuts it; no CAD kernel yet."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.errors import SolidError
from frame3d.geometry.vector import point, vector
from frame3d.parameters.models.frame import FrameSpec, MaterialSpec
from frame3d.parameters.sizes.standards import material
from frame3d.solids.body import BREAK_THROUGH, SolidBody, SolidCut, skin
from frame3d.solids.dropout import dropout_holes, dropout_metal
from frame3d.solids.features import blocks, bosses, standing, with_features
from frame3d.solids.pivots import cuts_of, drills, inset_housings, other_hardware
from frame3d.solids.plates import plates
from frame3d.solids.sweep import Sweep, rod, straight
from frame3d.tubes.cuts.edge import bodies_of
from frame3d.tubes.cuts.shadow import shadows
from frame3d.tubes.cuts.vents import vents
from frame3d.tubes.hardware import FORK_DROPOUT
from frame3d.tubes.tube import Bore, Dropout, Shell, Tube

LEDGE = 0.02
"""Length beyond the end of a tube over which the core of a cut is still slim [mm]. So a later tube
that hangs over that end has metal there to be fused with: enough that no two faces coincide, too
little to see."""
BOTTOM_BRACKET = "bottom_bracket"


def bodies(bike: Bike) -> tuple[SolidBody, ...]:
    """Return all parts: shell, housings, bosses, tubes, dropouts, hardware, plates, features.

    Raises:
        SolidError: a bore that leaves no wall.
    """
    tubes = {tube.name: tube for tube in bike.tubes}
    dropouts = {dropout.name: dropout for dropout in bike.dropouts}
    made: dict[str, SolidBody] = {}
    ends = bodies_of(bike.frame)
    for body in outsides(bike):
        cuts: tuple[SolidCut, ...]
        if body.name in tubes:
            tube = tubes[body.name]
            behind = {
                shadow.target: straight(
                    shadow.axis.start, shadow.axis.end, shadow.height, shadow.width, box=True
                )
                for shadow in shadows(tube, ends)
            }
            cuts = tuple(
                _cut(tube, made[name], behind.get(name)) for name in tube.cut_by if name in made
            )
        elif body.name in dropouts:
            stays = dropouts[body.name].stays
            cuts = tuple(SolidCut(name, made[name].metal, ()) for name, _ in stays)
        elif body.path.startswith(("tubes.", "build.dropout.")) or body.key == FORK_DROPOUT:
            # `with_features` has the cuts of a feature; a blade is slotted for its dropout
            cuts = ()
        else:
            cuts = cuts_of(body, made.values())
        made[body.name] = replace(body, cuts=cuts)
    made = with_features(bike, made)
    for tube in bike.tubes:
        plate = made.get(tube.end.target or "")
        if plate is not None and plate.key == FORK_DROPOUT:
            slot = SolidCut(plate.name, plate.metal, ())
            made[tube.name] = replace(made[tube.name], cuts=(*made[tube.name].cuts, slot))
    for hole, names in drills(bike):
        for name in names:
            made[name] = replace(made[name], drills=(*made[name].drills, hole))
    for vent in vents(bike.frame):
        axis, size = vent.hole.axis, vent.hole.diameter
        drill = straight(axis.start, axis.end, (size, size))
        for name in vent.bodies:
            made[name] = replace(made[name], drills=(*made[name].drills, drill))
    return tuple(made.values())


def outsides(bike: Bike) -> tuple[SolidBody, ...]:
    """Return the same without cuts and drillings through several parts: found much sooner.

    Raises:
        SolidError: a bore that leaves no wall.
    """
    frame_material, density = _frame_material(bike.spec)
    paint = (bike.spec.colour, frame_material, density)
    tubes = {tube.name: tube for tube in bike.tubes}
    shell = bike.shell
    return (
        *(() if shell is None else (_shell(shell, bike.spec, frame_material, density),)),
        *inset_housings(bike, paint),
        *bosses(bike),
        *(_tube(bike, tube) for tube in bike.tubes),
        *(
            _dropout(dropout, tubes, bike.spec, frame_material, density)
            for dropout in bike.dropouts
        ),
        *other_hardware(bike, paint),
        *standing(bike),
        *blocks(bike, paint),
        *plates(bike),
    )


def _frame_material(spec: FrameSpec) -> tuple[str, float]:
    """Return name and density [g/cm³] of the frame's material."""
    if isinstance(spec.material, MaterialSpec):
        return spec.material.name, spec.material.density_g_cm3
    found = material(spec.material)
    return found.name, found.density


def _shell(shell: Shell, spec: FrameSpec, name: str, density: float) -> SolidBody:
    (right, left), along = shell.faces, (0.0, 1.0, 0.0)
    outside = rod(shell.place, along, -right, left, shell.od)
    bore = rod(shell.place, along, -right, left, shell.bore)
    return SolidBody(
        name=BOTTOM_BRACKET,
        key=BOTTOM_BRACKET,
        path="build.bottom_bracket",
        side=None,
        colour=spec.colour,
        material=name,
        density=density,
        metal=(outside,),
        bore=bore,
        voids=(bore.extended(BREAK_THROUGH, BREAK_THROUGH),),
        holes=(),
        drills=(),
        cuts=(),
    )


def _tube(bike: Bike, tube: Tube) -> SolidBody:
    # Where a tube misses its target in part, its metal goes past the axis' end (see `End`).
    past = [
        max(-end.long_point, 0.0) if end.cut == "mitre" else 0.0 for end in (tube.start, tube.end)
    ]
    outside = Sweep.of(tube.axis, tube.section)
    bore, others = _bore(bike, tube)
    voids = others
    if bore is not None:
        bore = bore.extended(*past)
        # Square on a dropout, the end is closed; elsewhere it is open, or the bore is cut with it.
        before, after = (
            0.0 if end.cut == "square" and end.target is not None else BREAK_THROUGH
            for end in (tube.start, tube.end)
        )
        voids = (bore.extended(before, after), *others)
    return SolidBody(
        name=tube.name,
        key=tube.key,
        path=f"tubes.{tube.key}",
        side=tube.side,
        colour=tube.colour,
        material=tube.material,
        density=tube.density,
        metal=(outside.extended(*past),),
        bore=bore,
        voids=voids,
        holes=(),
        drills=(),
        cuts=(),
        link=tube.link,
    )


def _bore(bike: Bike, tube: Tube) -> tuple[Sweep | None, tuple[Sweep, ...]]:
    """Return the bore, and the bores for headset cups and seatpost that are not steps of it.

    A straight round bore gets the others as steps.
    """
    bores = [bore for bore in bike.bores if bore.tube == tube.name]
    for bore in bores:
        _check_bore(bike, tube, bore)
    section, length = tube.section, tube.axis.length
    if section.is_solid:
        return None, tuple(_bore_sweep(tube, bore) for bore in bores)
    void = Sweep.of(tube.axis, section.bore())
    if not void.is_turned:
        return void, tuple(_bore_sweep(tube, bore) for bore in bores)
    legs = [
        (s0, s1, d0, d1)
        for s0, s1, d0, d1 in zip(
            void.s[:-1], void.s[1:], void.height[:-1], void.height[1:], strict=True
        )
    ]
    for bore in bores:
        low, high = (0.0, bore.depth) if bore.at == "start" else (length - bore.depth, length)
        legs = [part for leg in legs for part in _widened(leg, low, high, bore.diameter)]
    s, sizes = _stations(legs)
    return replace(void, s=s, height=sizes, width=sizes), ()


Leg = tuple[float, float, float, float]
"""A stretch of a turned profile: s0, s1, diameter at s0, diameter at s1 [mm]."""


def _widened(leg: Leg, low: float, high: float, diameter: float) -> list[Leg]:
    """Return a leg in up to five legs, none narrower than `diameter` from `low` to `high`."""
    s0, s1, d0, d1 = leg
    marks = {s0, s1, *(x for x in (low, high) if s0 < x < s1)}
    if (d0 - diameter) * (d1 - diameter) < 0:
        crossing = s0 + (s1 - s0) * (diameter - d0) / (d1 - d0)
        marks.add(crossing)
    xs = sorted(marks)
    parts: list[Leg] = []
    for a, b in pairwise(xs):
        p, q = (float(d0 + (d1 - d0) * (x - s0) / (s1 - s0)) for x in (a, b))
        if low <= (a + b) / 2 <= high:
            p, q = max(p, diameter), max(q, diameter)
        parts.append((a, b, p, q))
    return parts


def _stations(legs: list[Leg]) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return legs in a row as stations: s and diameter, two at one s where the diameter steps."""
    s, d = [legs[0][0]], [legs[0][2]]
    for s0, s1, d0, d1 in legs:
        if abs(d0 - d[-1]) > 1e-9:
            s.append(s0)
            d.append(d0)
        level = len(d) > 1 and d[-2] == d[-1] == d1
        if level:
            s[-1] = s1
        else:
            s.append(s1)
            d.append(d1)
    return tuple(s), tuple(d)


def _bore_sweep(tube: Tube, bore: Bore) -> Sweep:
    """Return a bore as a cylinder that starts a little outside of the tube's end."""
    s = 0.0 if bore.at == "start" else tube.axis.length
    into = tube.axis.tangent(s) if bore.at == "start" else -tube.axis.tangent(s)
    return rod(point(tube.axis.at(s)), point(into), BREAK_THROUGH, bore.depth, bore.diameter)


def _check_bore(bike: Bike, tube: Tube, bore: Bore) -> None:
    """Fault if a bore leaves no wall."""
    length = tube.axis.length
    depth = min(bore.depth, length)
    s = np.linspace(0.0, depth, 50) if bore.at == "start" else length - np.linspace(0, depth, 50)
    thinnest = float(np.minimum(tube.section.height_at(s), tube.section.width_at(s)).min())
    if bore.diameter >= thinnest - 0.1:
        raise SolidError(
            bike.spec.fault(
                "solid",
                f"tubes.{tube.key}.od",
                f"the bore {bore.code} ({bore.diameter:g} mm) leaves no wall: the tube is only "
                f"{thinnest:g} mm across there",
                "make the tube wider there, or choose a smaller bore",
            )
        )


def _cut(tube: Tube, other: SolidBody, shadow: Sweep | None) -> SolidCut:
    """Return how `other` cuts `tube`: extended beyond an end that `tube` sits close to.

    What lies behind it, in its `shadow`, goes with it.
    """
    ends = [e for e in (tube.start, tube.end) if e.target == other.name and e.cut == "mitre"]
    reach = 1.5 * 2 * tube.section.furthest
    thin = skin(other)
    tool: list[Sweep] = []
    core: list[Sweep] = []
    for sweep in other.metal:
        assert isinstance(sweep, Sweep)  # tubes, shells and housings are turned or swept
        near = [
            any(float(np.linalg.norm(vector(e.point) - vector(tip))) < reach for e in ends)
            for tip in (sweep.axis.start, sweep.axis.end)
        ]
        longer = sweep.extended(2 * reach if near[0] else 0.0, 2 * reach if near[1] else 0.0)
        tool.append(longer)
        core.append(_core(sweep, longer, near, 2 * reach, thin))
    if shadow is not None:
        tool.append(shadow)
        core.append(shadow)
    return SolidCut(other.name, tuple(tool), tuple(core))


def _core(sweep: Sweep, longer: Sweep, near: list[bool], reach: float, thin: float) -> Sweep:
    """Return `sweep` slimmer by `thin` across, but of full size where it is extended beyond its ends."""
    slim = sweep.resized(-thin)
    s, h, w = list(slim.s), list(slim.height), list(slim.width)
    full, rounds = list(sweep.rounds), list(slim.rounds)
    if near[0]:
        s = [0.0, reach - LEDGE, reach - LEDGE / 2, *(x + reach for x in s)]
        h, w = ([size[0] + thin] * 2 + [size[0]] + size for size in (h, w))
        rounds = full[:1] * 2 + rounds[:1] + rounds
    if near[1]:
        end = s[-1]
        s = [*s, end + LEDGE / 2, end + LEDGE, end + reach]
        h, w = (size + [size[-1]] + [size[-1] + thin] * 2 for size in (h, w))
        rounds = rounds + rounds[-1:] + full[-1:] * 2
    return Sweep(longer.axis, tuple(s), tuple(h), tuple(w), sweep.box, tuple(rounds))


def _dropout(
    dropout: Dropout,
    tubes: dict[str, Tube],
    spec: FrameSpec,
    material_name: str,
    density: float,
) -> SolidBody:
    return SolidBody(
        name=dropout.name,
        key="rear_dropout",
        path="build.dropout",
        side=dropout.side,
        colour=spec.colour,
        material=material_name,
        density=density,
        metal=dropout_metal(dropout, tubes),
        bore=None,
        voids=(),
        holes=dropout_holes(dropout),
        drills=(),
        cuts=(),
        link=dropout.link,
    )
