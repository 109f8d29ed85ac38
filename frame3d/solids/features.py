"""Features of tubes as bodies of the frame, and the holes that they are in tubes.

A boss goes through its tube's wall, so it comes before the tube, which is cut by it; guides, stops
and eyes stand on the tube and are cut by it. Blocks of a brake mount on a dropout are cut by that, and
by the stays that end on it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Final

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.geometry.vector import Vector, point, vector
from frame3d.solids.body import BREAK_THROUGH, SolidBody, SolidCut, skin
from frame3d.solids.pivots import Paint
from frame3d.solids.slot import Slot
from frame3d.solids.sweep import Solid, Sweep, rod, straight
from frame3d.tubes.cuts.vents import Hole
from frame3d.tubes.features.feature import Feature
from frame3d.tubes.features.forms import Form, forms
from frame3d.tubes.features.holes import holes
from frame3d.tubes.features.patches import Patch, patches
from frame3d.tubes.features.towers import Tower, towers
from frame3d.tubes.tube import Tube

NEAR: Final = 70.0
"""A tower whose stay is further from a dropout's round than this surely stands clear of it [mm]."""


def bosses(bike: Bike) -> Iterator[SolidBody]:
    """Yield bosses: there before the tubes, which are cut by them."""
    yield from _bodies(bike, set_in=True)


def standing(bike: Bike) -> Iterator[SolidBody]:
    """Yield what stands on tubes: there after them, and cut by them."""
    yield from _bodies(bike, set_in=False)
    tubes = {tube.name: tube for tube in bike.tubes}
    for feature in bike.frame.features:
        tube = tubes[feature.tube]
        for tower in towers(feature, tube):
            yield _tower(feature, tube, tower)
        for patch in patches(feature, tube):
            yield _patch(feature, tube, patch)


def blocks(bike: Bike, paint: Paint) -> Iterator[SolidBody]:
    """Yield the blocks of a brake mount on a dropout, not yet cut.

    Args:
        bike: the bike.
        paint: colour, material and density of the frame.
    """
    colour, material, density = paint
    for dropout in bike.dropouts:
        if dropout.mount is None:
            continue
        for one in dropout.mount.blocks:
            face, way = vector(one.face), vector(one.way)
            below = BREAK_THROUGH if one.through else 0.0
            hole = _rod(vector(one.bottom) - below * way, face + BREAK_THROUGH * way, one.hole)
            yield SolidBody(
                name=one.name,
                key=one.label,
                path=dropout.mount.path,
                side=dropout.side,
                colour=colour,
                material=material,
                density=density,
                metal=(one.metal,),
                bore=None,
                voids=(),
                holes=(hole,),
                drills=(),
                cuts=(),
                link=dropout.link,
            )


def with_features(bike: Bike, made: Mapping[str, SolidBody]) -> dict[str, SolidBody]:
    """Return bodies with the cuts and drillings of features.

    Args:
        bike: the bike.
        made: all bodies by name.
    """
    found = dict(made)
    tubes = {tube.name: tube for tube in bike.tubes}
    for feature in bike.frame.features:
        tube = tubes[feature.tube]
        body = found[tube.name]
        drills = tuple(drill(hole) for hole in holes(feature, tube))
        cuts = []
        for form in forms(feature, tube):
            own = found[form.name]
            if form.set_in:
                cuts.append(_cut_whole(own))
            else:
                found[own.name] = replace(own, cuts=(_cut_by(body),))
        for patch in patches(feature, tube):
            found[patch.name] = replace(found[patch.name], cuts=(_cut_by(body),))
        for tower in towers(feature, tube):
            found[tower.name] = replace(found[tower.name], cuts=(_cut_by(body),))
            for name in _dropouts_at(bike, tower, feature):
                cut = _cut_whole(found[tower.name])
                found[name] = replace(found[name], cuts=(*found[name].cuts, cut))
        found[tube.name] = replace(body, cuts=(*body.cuts, *cuts), drills=(*body.drills, *drills))
    for dropout in bike.dropouts:
        for one in () if dropout.mount is None else dropout.mount.blocks:
            on = (dropout.name, *(name for name, _ in dropout.stays))
            found[one.name] = replace(
                found[one.name], cuts=tuple(_cut_by(found[name]) for name in on)
            )
    return found


def _dropouts_at(bike: Bike, tower: Tower, feature: Feature) -> Iterator[str]:
    """Yield the dropout that a tower at its stay's end may reach into: the tower goes through it."""
    for dropout in bike.dropouts:
        near = float(np.linalg.norm(tower.spot.axis - vector(dropout.axle)))
        if dropout.side == feature.side and near < dropout.boss / 2 + NEAR:
            yield dropout.name


def _cut_whole(body: SolidBody) -> SolidCut:
    """Return how a solid body that goes through another cuts it."""
    thin = skin(body)
    return SolidCut(body.name, body.metal, tuple(solid.resized(-thin) for solid in body.metal))


def _cut_by(tube: SolidBody) -> SolidCut:
    """Return how a tube cuts what stands on it."""
    core: tuple[Solid, ...] = ()
    if tube.bore is not None:
        core = tuple(solid.resized(-skin(tube)) for solid in tube.metal)
    return SolidCut(tube.name, tube.metal, core)


def drill(hole: Hole) -> Solid:
    """Return a hole as a solid."""
    axis, size = hole.axis, hole.diameter
    if hole.is_round:
        return straight(axis.start, axis.end, (size, size))
    way = point(axis.tangent(0.0))
    return Slot(axis.start, way, hole.along, size, hole.length, axis.length)


def _bodies(bike: Bike, *, set_in: bool) -> Iterator[SolidBody]:
    tubes = {tube.name: tube for tube in bike.tubes}
    for feature in bike.frame.features:
        tube = tubes[feature.tube]
        for form in forms(feature, tube):
            if form.set_in == set_in:
                yield _body(feature, tube, form)


def _tower(feature: Feature, tube: Tube, tower: Tower) -> SolidBody:
    out = tower.face + BREAK_THROUGH * tower.way
    thread = _rod(tower.bottom, out, tower.diameter)
    return replace(_solid(feature, tube, tower, tower.metal), holes=(thread,))


def _patch(feature: Feature, tube: Tube, patch: Patch) -> SolidBody:
    whole = Sweep.of(tube.axis, tube.section).resized(2 * patch.thickness)
    body = _solid(feature, tube, patch, whole)
    return replace(body, holes=(drill(patch.port),), within=drill(patch.column))


def _body(feature: Feature, tube: Tube, form: Form) -> SolidBody:
    outside = _rod(form.start, form.end, form.diameter)
    through = next((b for b in form.bores if b.through), None)
    bore = None if through is None else _rod(form.start, form.end, through.diameter)
    voids = () if bore is None else (bore.extended(BREAK_THROUGH, BREAK_THROUGH),)
    blind = tuple(_rod(b.start, b.end, b.diameter) for b in form.bores if not b.through)
    return replace(_solid(feature, tube, form, outside), bore=bore, voids=voids, holes=blind)


def _solid(feature: Feature, tube: Tube, made: Form | Tower | Patch, metal: Solid) -> SolidBody:
    """Return metal of a feature, of its tube's material, with nothing taken out yet."""
    return SolidBody(
        name=made.name,
        key=made.label,
        path=feature.path,
        side=feature.side,
        colour=tube.colour,
        material=tube.material,
        density=tube.density,
        metal=(metal,),
        bore=None,
        voids=(),
        holes=(),
        drills=(),
        cuts=(),
        link=tube.link,
    )


def _rod(start: Vector, end: Vector, diameter: float) -> Sweep:
    way = end - start
    length = float((way @ way) ** 0.5)
    return rod(point(start), point(way), 0.0, length, diameter)
