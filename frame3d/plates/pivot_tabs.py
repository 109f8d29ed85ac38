"""Tabs at points of the rear suspension: a pair from a tube in the centre plane, as the lugs' metal."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from frame3d.geometry.disc_hull import Flat
from frame3d.geometry.extrusion import Plane
from frame3d.geometry.outline import Hole, Outline
from frame3d.geometry.vector import cross, point
from frame3d.parameters.models.flat_parts.plates import PivotTabSpec, TabSpec
from frame3d.plates import tabs
from frame3d.plates.overlap import reached, taken_by
from frame3d.plates.sheet_material import sheet_material
from frame3d.plates.surface import heights
from frame3d.plates.tabs import MisfitError, Stand
from frame3d.tubes.cuts.overlap import Envelope
from frame3d.tubes.hardware import Hardware, Lug, Web
from frame3d.tubes.placing.context import PlacementContext
from frame3d.tubes.plate import Plate
from frame3d.tubes.tube import Tube

INTO = 0.3
"""How deep a tab may lie in a tube that it does not stand on, without a word [mm]."""


def with_tabs(context: PlacementContext, fitted: Sequence[Hardware]) -> tuple[Hardware, ...]:
    """Return hardware with the metal of its lugs replaced where the file gives tabs there.

    Records a fault for each tab that does not fit.

    Args:
        context: the tubes in place.
        fitted: housings, lugs and link plates.
    """
    found = list(fitted)
    for key, spec in context.spec.plates.items():
        if not isinstance(spec, PivotTabSpec) or spec.on not in context.tubes:
            continue
        tube = context.tubes[spec.on]
        at = [
            i
            for i, item in enumerate(found)
            if isinstance(item, Lug) and item.pivot == spec.at and item.link == tube.link
        ]
        try:
            lugs = [lug for i in at if isinstance(lug := found[i], Lug)]
            made = _tabs(context, key, spec, tube, lugs)
        except MisfitError as problem:
            path = f"plates.{key}.{problem.key}" if problem.key else f"plates.{key}"
            context.fault("inconsistent", path, problem.message, problem.hint)
            continue
        for i, lug in zip(at, made, strict=True):
            found[i] = lug
    return tuple(found)


def _tabs(
    context: PlacementContext, key: str, spec: PivotTabSpec, tube: Tube, lugs: Sequence[Lug]
) -> list[Lug]:
    """Return the lugs of a point with a tab each.

    Raises:
        MisfitError: it does not fit its tube or its point.
    """
    if not lugs:
        body = "the front frame" if tube.link is None else tube.link
        raise MisfitError(
            "at",
            f"{body}, which {spec.on} is of, has no pair of lugs at {spec.at}",
            "a point where it has, or a tab of its own (kind: tab)",
        )
    first = lugs[0]
    if any(lug.stays for lug in lugs):
        raise MisfitError(
            "at",
            f"{first.stays[0][0]} ends on the lugs at {spec.at}, which hold it",
            "leave the tab out, or end that tube elsewhere",
        )
    if abs(first.thickness - spec.thickness) > 1e-6:
        raise MisfitError(
            "thickness",
            f"the lugs at {spec.at} are laid out {first.thickness:g} mm thick",
            f"{first.thickness:g}, or suspension.pivots.{spec.at}.plate: {spec.thickness:g}",
        )
    stand, tab = stand_of(spec, tube, first)
    material, density = sheet_material(context.spec, spec.material)
    made = []
    for lug in lugs:
        low, high = sorted(float(stand.plane.normal[1]) * y for y in lug.span)
        span = (low, high)
        edges = tabs.edges_of(tab, stand, max(abs(low), abs(high)))
        centre = tabs.hole_at(tab, stand)
        outline = Outline(edges.fitted, (Hole(*centre, lug.bore),))
        for flaw in outline.flaws():
            raise MisfitError(
                "radius" if flaw.kind == "edge" else "", flaw.message, "a larger radius"
            )
        metal = replace(outline, outer=edges.rough)
        others = [t for t in context.tubes.values() if t.link == tube.link]
        cutting = [Envelope.of(t, t.name) for t in others]
        elsewhere = [one for one in cutting if one.name != tube.name]
        also = reached(outline, stand.plane, span, elsewhere, INTO)
        if also and lug is first:
            context.warn(
                f"plates.{key}",
                f"{key} runs into {', '.join(also)} too, and what lies inside is cut off there: the "
                "outline on the sheet does not show it",
            )
        near = [e for e in cutting if e.name in (tube.name, *also)]
        plate = Plate(
            name=lug.name,
            key=key,
            kind="pivot_tab",
            side=lug.side,
            outline=outline,
            rough=edges.rough,
            plane=stand.plane,
            low=low,
            high=high,
            volume=float(metal.volume(spec.thickness) - taken_by(metal, stand.plane, span, near)),
            on=(tube.name, *also),
            material=material,
            density=density,
            colour=context.spec.colour if spec.colour is None else spec.colour,
            link=lug.link,
        )
        round_ = (lug.axle[0], lug.axle[2], lug.boss / 2)
        made.append(replace(lug, webs=(Web(tube.name, Flat((round_,), *lug.span)),), plate=plate))
    return made


def stand_of(spec: PivotTabSpec, tube: Tube, lug: Lug) -> tuple[Stand, TabSpec]:
    """Return where the tab to a lug stands on its tube, and the plain tab that it is there.

    Raises:
        MisfitError: the tube is not in the centre plane, or the point lies in it.
    """
    at = np.array([lug.axle[0], 0.0, lug.axle[2]])
    nearest = float(tube.axis.nearest(at[None])[0])
    s = nearest + spec.shift
    if not 0 <= s <= tube.axis.length:
        raise MisfitError(
            "shift", f"{spec.on} is {tube.axis.length:.1f} mm long", "a base that is on it"
        )
    along, origin = tube.axis.tangent(s), tube.axis.at(s)
    if abs(origin[1]) > 1e-6 or abs(along[1]) > 1e-6:
        raise MisfitError("on", f"{spec.on} is not in the centre plane there", "another tube")
    out = np.array([-along[2], 0.0, along[0]])
    off = at - origin
    if float(off @ out) < 0:
        out = -out
    plane = Plane(point(origin), point(along), point(out))
    far = heights(tube, origin[None], out)
    assert far is not None
    height = float(off @ out) - float(far[0])
    if height <= 0:
        raise MisfitError("at", f"{spec.at} lies in {spec.on}", "a point beside it")
    assert math.isclose(abs(float(cross(along, out)[1])), 1.0, abs_tol=1e-6)
    tab = TabSpec.model_construct(
        kind="tab",
        thickness=spec.thickness,
        on=spec.on,
        from_start=s,
        base=spec.base,
        height=height,
        lean=float(off @ along),
        radius=lug.boss / 2 if spec.radius is None else spec.radius,
        hole=lug.bore,
        across=False,
        gap=None,
    )
    return Stand(tube, plane, s), tab
