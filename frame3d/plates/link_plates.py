"""Outlines of one's own for the plates of links without tubes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from frame3d.geometry.extrusion import Plane
from frame3d.geometry.outline import Flaw, Hole, Outline
from frame3d.parameters.models.flat_parts.plates import LinkPlateSpec
from frame3d.plates import own_paths
from frame3d.plates.sheet_material import sheet_material
from frame3d.plates.tabs import MisfitError
from frame3d.tubes.hardware import Hardware, LinkPlate
from frame3d.tubes.placing.context import PlacementContext
from frame3d.tubes.plate import Plate


def with_outlines(context: PlacementContext, fitted: Sequence[Hardware]) -> tuple[Hardware, ...]:
    """Return hardware with the metal of link plates replaced where the file gives their outline.

    Records a fault for each outline that does not fit its link.

    Args:
        context: the tubes in place.
        fitted: housings, lugs and link plates.
    """
    found = list(fitted)
    for key, spec in context.spec.plates.items():
        if not isinstance(spec, LinkPlateSpec):
            continue
        at = [
            i for i, one in enumerate(found) if isinstance(one, LinkPlate) and one.link == spec.link
        ]
        if not at:
            context.fault(
                "inconsistent",
                f"plates.{key}.link",
                f"{spec.link} has tubes, and no plates",
                "a link without tubes, or a plate on this one: kind: path, with link",
            )
        for i in at:
            item = found[i]
            assert isinstance(item, LinkPlate)
            try:
                found[i] = _outlined(context, key, spec, item)
            except MisfitError as problem:
                context.fault(
                    "inconsistent", f"plates.{key}.{problem.key}", problem.message, problem.hint
                )
                break
    return tuple(found)


def _outlined(
    context: PlacementContext, key: str, spec: LinkPlateSpec, item: LinkPlate
) -> LinkPlate:
    """Return a link plate with an outline.

    Raises:
        MisfitError: it does not fit the link.
    """
    if abs(item.plate.thickness - spec.thickness) > 1e-6:
        raise MisfitError(
            "thickness",
            f"the plates of {spec.link} are laid out {item.plate.thickness:g} mm thick",
            f"{item.plate.thickness:g}, or plate: {spec.thickness:g} for its points under "
            "suspension.pivots",
        )
    plane = plane_of(item)
    own = own_paths.outline_of(spec)
    if item.side == "right":
        own = own.opposite()
    holes = []
    for boss in item.bosses:
        x, y, _ = (float(v) for v in plane.of(np.array([[boss.x, 0.0, boss.z]]))[0])
        if not own.outer.contains((x, y)):
            raise MisfitError(
                "path" if spec.path is not None else "corners",
                f"{boss.pivot} at {x:.2f}, {y:.2f} is not on the plate, by "
                f"{own.outer.distance((x, y)):.2f} mm",
                "an edge around every point of the link, x from its first point toward its last",
            )
        if boss.bore > 0:
            holes.append(Hole(x, y, boss.bore))
    outline = Outline(own.outer, (*holes, *own.holes), own.slots, own.pockets)
    flaws = outline.flaws()
    for flaw in [one for one in flaws if one.kind == "crossing"] or flaws:
        raise MisfitError(*_flawed(spec, item, len(holes), flaw))
    material, density = sheet_material(context.spec, spec.material)
    low, high = -item.plate.high + 0.0, -item.plate.low + 0.0
    plate = Plate(
        name=item.name,
        key=key,
        kind="link_plate",
        side=item.side,
        outline=outline,
        rough=outline.outer,
        plane=plane,
        low=low,
        high=high,
        volume=outline.volume(high - low),
        on=(),
        material=material,
        density=density,
        colour=context.spec.colour if spec.colour is None else spec.colour,
        link=item.link,
    )
    return replace(item, own=plate)


def plane_of(item: LinkPlate) -> Plane:
    """Return the side view's plane with its origin at a link's first point, x toward its last one."""
    first, last = item.bosses[0], item.bosses[-1]
    along = (last.x - first.x, last.z - first.z)
    length = math.hypot(*along)
    c, s = (one / length for one in along) if length > 1e-9 else (1.0, 0.0)
    return Plane((first.x, 0.0, first.z), (c, 0.0, s), (-s, 0.0, c))


def _flawed(spec: LinkPlateSpec, item: LinkPlate, bores: int, flaw: Flaw) -> tuple[str, str, str]:
    """Return key, message and hint of what is wrong with an outline."""
    edge = "path" if spec.path is not None else "corners"
    of = flaw.of[-1] if flaw.of else "outer"
    if of == "outer":
        return edge, flaw.message, "the edge must not meet itself"
    name, _, index = of.partition(".")
    hint = "holes, slots and pockets need metal all round: make it smaller, or move it"
    said = f"breaks the edge: {flaw.message}" if flaw.kind == "edge" else flaw.message
    if name != "holes":
        return of, said, hint
    place = int(index) - bores
    if place >= 0:
        return f"holes.{place}", said, hint
    pivot = [boss.pivot for boss in item.bosses if boss.bore > 0][int(index)]
    return edge, f"the bore at {pivot} {said}", "an edge with metal round every bore"
