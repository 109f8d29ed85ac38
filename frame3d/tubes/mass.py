"""Volume, mass and centre of mass of each tube and of the frame, without a CAD kernel."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import chain, pairwise
from typing import Literal

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.geometry.centreline import Arc
from frame3d.geometry.vector import Point, mirrored, point
from frame3d.parameters.models.frame import FrameSpec, MaterialSpec
from frame3d.parameters.sizes import standards
from frame3d.tubes.cuts.drilled import drilled
from frame3d.tubes.cuts.mitre import MitreCut
from frame3d.tubes.cuts.overlap import Envelope, surface
from frame3d.tubes.cuts.pieces import loose
from frame3d.tubes.cuts.shadow import Shadow, shadows
from frame3d.tubes.cuts.tang_slot import TangSlot, tang_slots
from frame3d.tubes.cuts.vents import Hole, Vent, vents
from frame3d.tubes.features.feature import Feature
from frame3d.tubes.features.metal import taken, weighed
from frame3d.tubes.frame import Frame
from frame3d.tubes.hardware import SHELL, Housing, Lug
from frame3d.tubes.tube import Bore, End, Shell, Tube

Solid = Tube | Shell | Housing
Cutter = Envelope | Shadow | TangSlot
"""What takes metal from a tube's side or end."""
AROUND = 72
"""Generators around a wall."""
MANY = 288
"""The same where its mitre breaks off, at a generator or beside it."""
STRIP = 5.0
"""Longest strip of wall that is weighed by its middle [mm]."""
STEP = 1.0
"""Step along a tube where another body cuts into its side [mm]."""


@dataclass(frozen=True, slots=True)
class PartMass:
    """Mass of one part."""

    name: str
    volume: float
    """[mm³]"""
    grams: float
    centre: Point
    """Centre of mass [mm]."""


@dataclass(frozen=True, slots=True)
class Masses:
    """Masses of tubes, shell, plates, flat dropouts, and housings that tubes hold.

    Plain dropouts, lugs, link plates and webs get their shape, and so their mass, from the solids.
    """

    bodies: tuple[PartMass, ...]
    """Tubes in build order, features of tubes, the shell, housings, blocks of a brake mount on a
    dropout, flat dropouts, plates."""

    @property
    def parts(self) -> dict[str, float]:
        """Mass by name [g]."""
        return {body.name: body.grams for body in self.bodies}

    @property
    def total(self) -> float:
        """Sum of all [g]."""
        return sum(body.grams for body in self.bodies)

    @property
    def centre(self) -> Point | None:
        """Common centre of mass [mm]; None where there are no parts."""
        if not self.bodies:
            return None
        grams = np.array([body.grams for body in self.bodies])
        return point(grams @ np.array([body.centre for body in self.bodies]) / grams.sum())


def masses_of(frame: Frame) -> Masses:
    """Weigh every tube, the shell, every housing of which nothing is cut away, and every plate.

    Each tube is integrated along its axis between its long points. What is beyond its mitres is
    integrated over the wall, line by line around it, and taken off; so is what other bodies take from
    its side, what comes loose by that, vents and features. Within 0.2 % of the solids, part by part.
    """
    housings = [item for item in frame.pivots if isinstance(item, Housing) and item.inset]
    bodies: dict[str, Solid] = {tube.name: tube for tube in frame.tubes}
    bodies |= {housing.name: housing for housing in housings}
    if frame.shell is not None:
        bodies[SHELL] = frame.shell
    envelopes = {name: Envelope.of(body, name) for name, body in bodies.items()}
    holes = vents(frame)
    parts: list[PartMass] = []
    features = {
        tube.name: [f for f in frame.features if f.tube == tube.name] for tube in frame.tubes
    }
    for tube in frame.tubes:
        own = [f for f in features[tube.name] if not f.implied]
        if tube.side == "right" and _is_image(tube, bodies, features):
            left = next(part for part in parts if part.name == f"{tube.key}_left")
            parts.append(replace(left, name=tube.name, centre=mirrored(left.centre)))
            continue
        bores = [bore for bore in frame.bores if bore.tube == tube.name]
        behind = shadows(tube, bodies)
        cuts: list[Cutter] = [*behind, *tang_slots(tube, frame.plates)]
        volume, moment = _tube(tube, bodies, envelopes, bores, cuts)
        drillings = (
            *_through(holes, tube.name),
            *chain.from_iterable(taken(f, tube) for f in own),
        )
        cutters = _cutters(tube, bodies, envelopes, behind) if drillings else []
        for hole in drillings:
            v, m = drilled(hole, tube, bores, cutters)
            volume, moment = volume - v, moment - m
        parts.append(_part(tube.name, volume, moment, tube.density))
    for tube in frame.tubes:
        for feature in features[tube.name]:
            parts += [_part(*one, tube.density) for one in weighed(feature, tube)]
    density, shell = density_of(frame.spec), frame.shell
    if shell is not None:
        parts.append(_part(SHELL, *_bored_cylinder(shell, _through(holes, SHELL)), density))
    for housing in housings:
        reach = 0.0 if shell is None or housing.link is not None else (shell.od + housing.od) / 2
        middle = (0.0, 0.0) if shell is None else shell.at
        if np.hypot(housing.at[0] - middle[0], housing.at[2] - middle[1]) >= reach:
            bored = _bored_cylinder(housing, _through(holes, housing.name))
            parts.append(_part(housing.name, *bored, density))
    for mount in (dropout.mount for dropout in frame.dropouts):
        for one in () if mount is None else mount.blocks:
            parts.append(PartMass(one.name, one.volume, one.volume * density * 1e-3, one.centre))
    cut = [dropout.plate for dropout in frame.dropouts]
    cut += [item.plate for item in frame.pivots if isinstance(item, Lug)]
    for plate in (*(plate for plate in cut if plate is not None), *frame.plates):
        parts.append(PartMass(plate.name, plate.volume, plate.grams, plate.centre))
    return Masses(tuple(parts))


def density_of(spec: FrameSpec) -> float:
    """Return the density of the frame's material [g/cm³]."""
    material = spec.material
    if isinstance(material, MaterialSpec):
        return material.density_g_cm3
    return standards.material(material).density


def _through(holes: Iterable[Vent], name: str) -> list[Hole]:
    """Return the vents through one body."""
    return [vent.hole for vent in holes if name in vent.bodies]


def _bored_cylinder(body: Shell | Housing, holes: Iterable[Hole]) -> tuple[float, Array]:
    """Return volume [mm³] and first moment (3,) [mm⁴]."""
    volume = float(np.pi / 4 * (body.od**2 - body.bore**2) * body.width)
    moment = volume * body.axis.at(body.axis.length / 2)
    for hole in holes:
        v, m = drilled(hole, body, (), ())
        volume, moment = volume - v, moment - m
    return volume, moment


def _cutters(
    tube: Tube,
    bodies: dict[str, Solid],
    envelopes: dict[str, Envelope],
    behind: Sequence[Shadow],
) -> list[Callable[[Array], Array]]:
    """Return the depth function of each body that cuts a tube; targets continue past their ends."""
    targets = _targets(tube)
    others = [envelopes[name].depth for name in tube.cut_by if name not in targets]
    endless = [_endless(bodies[name], name).depth for name in sorted(targets)]
    return [*endless, *others, *(shadow.depth for shadow in behind)]


def _endless(body: Solid, name: str) -> Envelope:
    """Return the envelope of a mitre's target, which cuts as if it continued past its own ends."""
    everywhere = np.full(3, np.inf)
    return Envelope(name, body, -np.inf, np.inf, (-everywhere, everywhere))


def _targets(tube: Tube) -> set[str]:
    """Return the bodies that a tube's ends are mitred to."""
    return {
        end.target
        for end in (tube.start, tube.end)
        if end.cut == "mitre" and end.target is not None
    }


def _is_image(
    tube: Tube, bodies: dict[str, Solid], features: Mapping[str, Sequence[Feature]]
) -> bool:
    """Return whether a right tube, and all that cuts it, is the mirror image of the left tube's."""
    left = bodies[f"{tube.key}_left"]
    if not isinstance(left, Tube):
        return False
    if [f.name for f in features[tube.name]] != [f.name for f in features[left.name]]:
        return False
    images = tuple(
        f"{n.removesuffix('_left')}_right" if n.endswith("_left") else n for n in left.cut_by
    )
    single = [bodies[n] for n in tube.cut_by if not n.endswith(("_left", "_right"))]
    return images == tube.cut_by and all(
        not isinstance(body, Tube) or (body.axis.start[1] == 0 == body.axis.end[1])
        for body in single
    )


def _part(name: str, volume: float, moment: Array, density: float) -> PartMass:
    centre = moment / volume if volume != 0 else moment  # 0 where nothing is left of it
    return PartMass(name, volume, volume * density * 1e-3, point(centre))


def _tube(
    tube: Tube,
    bodies: dict[str, Solid],
    envelopes: dict[str, Envelope],
    bores: Sequence[Bore],
    more: Sequence[Cutter],
) -> tuple[float, Array]:
    """Return volume [mm³] and first moment (3,) [mm⁴]; `more` cuts it besides `Tube.cut_by`."""
    length = tube.axis.length
    low, high = tube.start.long_point, length - tube.end.long_point
    volume, moment = _between(tube, low, high)
    targets = _targets(tube)
    others: list[Cutter] = [envelopes[name] for name in tube.cut_by if name not in targets]
    others += more
    cuts = [
        (MitreCut(tube, at, bodies[end.target]), end.target)
        for at, end in _sides(tube)
        if end.cut == "mitre" and end.target is not None
    ]
    layers, phi = _layers(5 if tube.section.is_solid else 1), _around(AROUND)
    edges = [_edges(cut, phi, layers) for cut, _ in cuts]
    if any(
        z is None for z in edges
    ):  # misses its target in part: little wall may hold what is left
        layers, phi = _layers(5), _around(MANY)
        edges = [None if z is None else _edges(cut, phi, layers)
                 for z, (cut, _) in zip(edges, cuts, strict=True)]  # fmt: skip
    first, last = (np.full((len(layers), len(phi)), s) for s in (low, high))
    for z, (cut, target) in zip(edges, cuts, strict=True):
        if z is None:
            others.append(_endless(bodies[target], target))
        elif cut.at == "start":
            first = z
        else:
            last = length - z
    v, m = _beyond(tube, phi, (low, high), (first, last), layers)
    volume, moment = volume - v, moment - m
    biters = _biters(tube, others, (low, high))
    if biters:
        v, m = _bitten(tube, phi, (first, last), biters, layers)
        volume, moment = volume - v, moment - m
    for bore in bores:
        v, m = _bored(tube, bore)
        volume, moment = volume - v, moment - m
    return volume, moment


def _around(count: int) -> Array:
    """Return angles evenly around a tube: (count,) [degrees]."""
    return np.arange(count, dtype=np.float64) * (360.0 / count)


def _edges(cut: MitreCut, phi: Array, layers: Sequence[tuple[float, float]]) -> Array | None:
    """Return z of a mitre at each layer: (layers, n) [mm]; None where its outside misses its target."""
    depths = np.repeat([0.0, *(depth for depth, _ in layers)], len(phi))
    z = cut.z(np.tile(phi, len(layers) + 1), depths).reshape(-1, len(phi))
    return None if np.isnan(z[0]).any() else cut.squared(z[1:])


def _beyond(
    tube: Tube,
    phi: Array,
    metal: tuple[float, float],
    ends: tuple[Array, Array],
    layers: Sequence[tuple[float, float]],
) -> tuple[float, Array]:
    """Return volume and moment of what lies between a tube's long points and its mitres.

    Args:
        tube: what is weighed.
        phi: as for `_bitten`.
        metal: s of its long points [mm].
        ends: as for `_bitten`.
        layers: as `_layers`.
    """
    strips: list[tuple[Array, Array, Array, Array, Array]] = []
    for i, (depth, weight) in enumerate(layers):
        for a, b in ((np.full(len(phi), metal[0]), ends[0][i]), (ends[1][i], metal[1] + 0 * phi)):
            count = int(np.ceil(float(np.abs(b - a).max()) / STRIP))
            if count:
                share = ((np.arange(count) + 0.5) / count)[:, None]
                places = (a + share * (b - a)).ravel()
                each = np.full(len(places), depth), np.full(len(places), weight / len(phi))
                strips.append((np.tile(phi, count), places, np.tile((b - a) / count, count), *each))
    if not strips:
        return 0.0, np.zeros(3)
    return _wedges(tube, *(np.concatenate(column) for column in zip(*strips, strict=True)))


def _sides(tube: Tube) -> tuple[tuple[Literal["start", "end"], End], ...]:
    return ("start", tube.start), ("end", tube.end)


def _layers(count: int) -> list[tuple[float, float]]:
    """Return depths through the wall and weights: Gauss-Legendre, two points in each of `count`."""
    half = 3**0.5 / 6
    return [((i + x) / count, 0.5 / count) for i in range(count) for x in (0.5 - half, 0.5 + half)]


def _between(tube: Tube, low: float, high: float) -> tuple[float, Array]:
    """Return volume and moment of the tube between two square cuts: ∫ A ds and ∫ (A c − κ I n) ds.

    The second term is the centroid's shift toward the outside of a bend (derived): the volume
    element at a distance x inside of the axis is (1 − κ x) dA ds.
    """
    axis, section = tube.axis, tube.section
    marks = {low, high, *section.s, *(float(s) for s in axis.starts)}
    s = np.array(sorted(x for x in marks if low <= x <= high))
    # Simpson's rule on pieces short enough for the bends: exact for straight, constant parts.
    cuts = [
        np.linspace(a, b, max(1, int(np.ceil((b - a) / 20.0))) + 1)[:-1]
        for a, b in pairwise(s.tolist())
    ]
    s = np.append(np.concatenate(cuts), high)
    step = np.diff(s)
    middle = (s[1:] + s[:-1]) / 2
    at = np.concatenate((s[:-1], middle, s[1:]))
    weight = np.concatenate((step, 4 * step, step)) / 6
    # At a station sample each stretch just inside its end.
    inner = np.concatenate((s[:-1] + 1e-9 * step, middle, s[1:] - 1e-9 * step))
    area = section.area_at(inner)
    points = axis.points(at)
    moment = (weight * area) @ points
    for start, piece in zip(axis.starts, axis.pieces, strict=False):
        if isinstance(piece, Arc):
            within = (inner > start) & (inner < start + piece.length)
            centre, up, across = axis.frames(inner[within])
            inward = (np.array(piece.centre) - centre) / piece.radius
            _, second = section.moments_at(inner[within])
            inertia = (
                second[:, 0] * np.sum(inward * up, 1) ** 2
                + second[:, 1] * np.sum(inward * across, 1) ** 2
            )
            moment = moment - (weight[within] * inertia / piece.radius) @ inward
    volume = float(weight @ area)
    if section.rounds:  # its centroid may lie beside the axis
        first, _ = section.moments_at(inner)
        _, up, across = axis.frames(at)
        aside = first[:, :1] * up + first[:, 1:] * across
        shorter = weight * np.sum(aside * axis.curvatures(inner), axis=1)
        moment = moment + weight @ aside - shorter @ points
        volume -= float(shorter.sum())
    return volume, np.asarray(moment)


def _wedges(
    tube: Tube, phi: Array, s: Array, length: Array, depth: Array, weight: Array
) -> tuple[float, Array]:
    """Volume and moment of strips of wall: one a generator, `length` long along the axis about `s`; in a
    bend a strip on its inside is shorter than that, one on its outside longer. `weight` is each strip's
    share of the section at its `depth`. All are (n,).
    """
    area = tube.section.strip(phi, s, depth)
    centre, up, across = tube.axis.frames(s)
    y, x = tube.section.place(phi, s, depth)
    aside = y[:, None] * up + x[:, None] * across
    volume = 2 * np.pi * weight * area * length
    if not tube.axis.is_straight:
        volume *= 1 - np.einsum("ij,ij->i", tube.axis.curvatures(s), aside)
    points = centre + aside
    return float(volume.sum()), np.asarray(volume @ points)


@dataclass(frozen=True, slots=True)
class _Biter:
    """A body that can cut into a tube's side, and the stretch of the tube in which it can."""

    body: Cutter
    low: float
    """[mm]"""
    high: float


def _biters(tube: Tube, others: Sequence[Cutter], metal: tuple[float, float]) -> tuple[_Biter, ...]:
    """Return those of some bodies that can cut into a tube's side.

    Args:
        tube: what is weighed.
        others: the bodies that may.
        metal: s of its long points, which lie past its axis' ends where a mitre misses its target in
            part [mm].
    """
    if not others:
        return ()
    s = np.arange(metal[0], metal[1] + 4.0, 4.0)
    points = tube.axis.points(s)
    own = tube.section.furthest
    found = []
    for other in others:
        near = s[-other.depth(points) < own + 4.0]
        if len(near):
            found.append(_Biter(other, float(near[0]) - 4.0, float(near[-1]) + 4.0))
    return tuple(found)


def _bitten(
    tube: Tube,
    phi: Array,
    ends: tuple[Array, Array],
    biters: Sequence[_Biter],
    layers: Sequence[tuple[float, float]],
    whole: bool = False,
) -> tuple[float, Array]:
    """Return volume and moment of what other bodies cut from a tube between its mitres.

    Includes what comes loose by that.

    Args:
        tube: what is weighed.
        phi: (n,) angles of its lines [degrees].
        ends: (layers, n) each: where its mitres are, as s [mm].
        biters: the bodies that do.
        layers: as `_layers`.
        whole: look for what comes loose along the whole tube, not only where bodies cut into it.
    """
    first, last = ends
    low, high = first, last
    if not whole:
        low = np.maximum(first, min(one.low for one in biters))
        high = np.maximum(low, np.minimum(last, max(one.high for one in biters)))
    n = max(2, int(np.ceil(float((high - low).max()) / STEP)) + 1)
    s = low[:, None] + (high - low)[:, None] * np.linspace(0.0, 1.0, n)[:, None]
    taken = _taken(tube, phi, s, layers, biters)
    # The metal before and behind the window counts as one more cell on either side.
    rests = (np.maximum(low - first, 0.0), np.maximum(last - high, 0.0))
    size = np.concatenate(
        (rests[0][:, None], (1 - taken) * np.diff(s, axis=1), rests[1][:, None]), 1
    )
    lost = loose(size > 0, size)
    if lost[:, 0].any() or lost[:, -1].any():
        return _bitten(tube, phi, ends, biters, layers, whole=True)
    length = np.where(lost[:, 1:-1], 1.0, taken) * np.diff(s, axis=1)
    middle = (s[:, 1:] + s[:, :-1]) / 2
    gone = length > 0
    if not gone.any():
        return 0.0, np.zeros(3)
    turns = np.broadcast_to(phi, length.shape)
    depths, weights = (
        np.broadcast_to(np.array(row)[:, None, None], length.shape)
        for row in zip(*layers, strict=True)
    )
    return _wedges(
        tube, turns[gone], middle[gone], length[gone], depths[gone], weights[gone] / len(phi)
    )


def _taken(
    tube: Tube,
    phi: Array,
    s: Array,
    layers: Sequence[tuple[float, float]],
    biters: Sequence[_Biter],
) -> Array:
    """Return the fraction of each cell that others take: s (layers, n, m) [mm] -> (layers, n - 1, m)."""
    turns, at = np.broadcast_to(phi, s.shape).ravel(), s.ravel()
    depths = np.repeat([depth for depth, _ in layers], s[0].size)
    some = np.zeros(s.size, dtype=bool)
    for one in biters:
        some |= (at >= one.low) & (at <= one.high)
    places = np.flatnonzero(some)
    points = surface(tube, turns[places], at[places], depths[places])
    inside: Array = np.full(s.size, -1e6)
    for one in biters:
        within = (at[places] >= one.low) & (at[places] <= one.high)
        near = one.body.near(points, 2 * STEP) & within  # both ends of every cell of which it takes
        inside[places[near]] = np.maximum(inside[places[near]], one.body.depth(points[near]))
    rows = inside.reshape(s.shape)
    f, g = rows[:, :-1], rows[:, 1:]
    sum_in = np.maximum(f, 0) + np.maximum(g, 0)
    return np.where(sum_in > 0, sum_in / np.maximum(np.abs(f) + np.abs(g), 1e-300), 0.0)


def _bored(tube: Tube, bore: Bore) -> tuple[float, Array]:
    """Return volume and moment of what a bore takes from a tube's inside."""
    length = tube.axis.length
    depth = min(bore.depth, length)
    s = np.linspace(0.0, depth, 201)
    s = (s[1:] + s[:-1]) / 2
    if bore.at == "end":
        s = length - s
    a, b = tube.section.radii_at(s, 1.0)
    taken = np.maximum(np.pi * (bore.diameter**2 / 4 - a * b), 0.0) * depth / 200
    return float(taken.sum()), np.asarray(taken @ tube.axis.points(s))
