"""Outlines of housings, lugs and link plates."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import product

import numpy as np

from frame3d.bodies.body import PRACTICE, Body
from frame3d.bodies.forms import Form, rod, slab
from frame3d.bodies.frame.filling import filling
from frame3d.bodies.frame.plates import RIM, plate_form
from frame3d.bodies.frame.trim import Solids, trimmed
from frame3d.bodies.motion.mounts import Mount
from frame3d.bodies.placement import Placement
from frame3d.bodies.shapes import Tubular, bar
from frame3d.geometry.centreline import Centreline, Line
from frame3d.geometry.disc_hull import Disc, Flat
from frame3d.geometry.vector import Point, cross, point, unit, vector
from frame3d.pivots.sockets import Socket, plate_of, socket
from frame3d.tubes.hardware import Arm, Hardware, Housing, LinkPlate, Lug, Web
from frame3d.tubes.tube import Tube

STEPS = 8
"""Number of slabs that replace a tapering arm."""


def pivots(place: Placement) -> Iterator[Body]:
    """Yield every housing, lug and link plate of the rear suspension."""
    bike = place.bike
    solids, tubes = Solids(bike), {tube.name: tube for tube in bike.tubes}
    wanted = [item for item in bike.pivots if place.is_wanted(item.name)]
    whole = [_form(item, tubes, place.link(item.link)) for item in wanted]
    forms = trimmed(whole, [solids.of(item) for item in wanted])
    for item, form in zip(wanted, forms, strict=True):
        yield Body(
            name=item.name,
            part=f"suspension.links.{item.link}"
            if isinstance(item, LinkPlate)
            else f"suspension.pivots.{item.pivot}",
            family="frame",
            shapes=form.shapes,
            tubes=form.tubes,
            hull=form.hull,
            colour=bike.spec.colour,
            axles=tuple(sorted(_points(item))),
            note=f"housings, lugs and plates: {PRACTICE}, where the file does not give their sizes",
        )


def _form(item: Hardware, tubes: Mapping[str, Tube], mount: Mount) -> Form:
    """Return an item's whole outline."""
    if isinstance(item, Housing):
        half = item.width / 2
        form = _round(item.name, item.at[0], item.at[2], -half, half, item.od, mount)
        return form + _webs(item.name, item.webs, mount)
    if not isinstance(item, Lug):
        return _plate(item, mount)
    ends = [socket(item, tubes[name], which) for name, which in item.stays]
    form = _lug(item, ends, mount)
    return form if item.plate is None else plate_form(item.plate, mount)


def _points(item: Hardware) -> set[str]:
    if isinstance(item, LinkPlate):
        return {boss.pivot for boss in item.bosses if boss.bore > 0}
    return {item.pivot}


def _lug(lug: Lug, ends: Sequence[Socket], mount: Mount) -> Form:
    name, form = lug.name, Form()
    for web in lug.webs:
        if isinstance(web.metal, Flat):
            return outline(name, web.metal, mount)  # which holds the round
        form += arm_form(name, web.metal, mount, _within(lug, web.metal, web.tongue))
    for end in ends:
        form += socket_form(name, end, mount)
        if end.arm is not None:
            form += arm_form(name, end.arm, mount, _within(lug, end.arm, end.tongue))
    return form + outline(name, plate_of(lug, ends), mount)


def socket_form(name: str, end: Socket, mount: Mount) -> Form:
    """A socket as the tube that it is; held by a round bar where it is oval."""
    if not end.joined:
        return Form()
    form = rod(name, end.back, end.front, max(end.height, end.width) / 2, mount)
    if end.height == end.width:
        return form
    (round_,) = form.tubes
    section = replace(round_.section, height=(end.height,) * 2, width=(end.width,) * 2)
    return Form((), (replace(round_, section=section),), form.shapes)


def _within(lug: Lug, arm: Arm, tongue: Disc | None) -> float:
    """Return the fraction of an arm that lies wholly beside the lug's boss, within its faces."""
    far = float(np.hypot(arm.end[0] - lug.axle[0], arm.end[2] - lug.axle[2]))
    if tongue is not None or far < 1.0:
        return 0.0
    clear = float(np.sqrt(max((lug.boss / 2) ** 2 - (arm.height[0] / 2) ** 2, 0.0)))
    return min(clear / far, 0.9)


def _plate(item: LinkPlate, mount: Mount) -> Form:
    form = (
        outline(item.name, item.plate, mount) if item.own is None else plate_form(item.own, mount)
    )
    for boss in item.bosses:
        if boss.low < item.plate.low or boss.high > item.plate.high:
            form += _round(item.name, boss.x, boss.z, boss.low, boss.high, boss.stands, mount)
    return form


def _webs(name: str, webs: tuple[Web, ...], mount: Mount) -> Form:
    form = Form()
    for web in webs:
        metal = web.metal
        form += (
            arm_form(name, metal, mount) if isinstance(metal, Arm) else outline(name, metal, mount)
        )
    return form


def _round(name: str, x: float, z: float, low: float, high: float, od: float, mount: Mount) -> Form:
    """Return a cylinder along y."""
    return rod(name, (x, low, z), (x, high, z), od / 2, mount)


def outline(name: str, flat: Flat, mount: Mount) -> Form:
    """Return a flat plate's outline.

    As shapes: a slab along each straight edge, as deep as the smaller rim beside it, a cylinder at
    each rim, and slabs in the middle that these leave (`filling`). As tubes: bars along both corners
    of each edge, and the cylinders.
    """
    form = Form()
    for row in filling(flat):
        (x, z), (c, s) = row.centre, row.along
        size = (row.length, flat.thickness, row.height)
        row_axes = ((c, 0.0, s), (0.0, 1.0, 0.0), (-s, 0.0, c))
        at = (x, (flat.low + flat.high) / 2, z)
        form += slab(name, at, size, min(RIM, *(side / 2 for side in size)), mount, row_axes)
    for rim in flat.rims:
        form += _round(name, rim.x, rim.z, flat.low, flat.high, 2 * rim.radius, mount)
    following = (*flat.rims[1:], flat.rims[0])
    for (a, b), first, second in zip(flat.edges, flat.rims, following, strict=False):
        deep = min(first.radius, second.radius)
        start, end = np.array([a[0], 0.0, a[1]]), np.array([b[0], 0.0, b[1]])
        length = float(np.linalg.norm(end - start))
        if length < 4 * RIM:
            continue
        along = unit(end - start)
        inward = np.array([-along[2], 0.0, along[0]])  # the outline runs anticlockwise in x and z
        middle = np.array([0.0, (flat.low + flat.high) / 2, 0.0])
        centre = (start + end) / 2 + deep / 2 * inward + middle
        axes = (point(along), point(cross(inward, along)), point(inward))
        form += slab(name, point(centre), (length, flat.thickness, deep), RIM, mount, axes)
        corner = RIM * inward
        for y in (flat.low + RIM, flat.high - RIM):
            across = np.array([0.0, y, 0.0])
            form += _edge(name, point(start + corner + across), point(end + corner + across), mount)
    return form


def arm_form(name: str, arm: Arm, mount: Mount, within: float = 0.0) -> Form:
    """Return a tapering block as slabs, each as large as the arm where that is largest.

    As tubes its four long edges. The first part of the arm, the fraction `within` of its length, is
    left out: it lies in a lug's boss.
    """
    end = vector(arm.end)
    start = vector(arm.start) + within * (end - vector(arm.start))
    up, side = Centreline((Line(arm.start, arm.end),)).frame(0.0)
    axes = (point(up), point(side), point(cross(up, side)))
    (h0, h1), (w0, w1) = ((a + within * (b - a), b) for a, b in (arm.height, arm.width))
    length = float(np.linalg.norm(end - start))
    form = Form()
    for i in range(STEPS):
        a, b = i / STEPS, (i + 1) / STEPS
        more = RIM if i < STEPS - 1 else 0.0  # into the next slab's rounding
        ends = a, b + more / length
        size = (
            max(h0 + (h1 - h0) * s for s in ends),
            max(w0 + (w1 - w0) * s for s in ends),
            length / STEPS + more,
        )
        centre = start + (a * length + size[2] / 2) / length * (end - start)
        form += slab(name, point(centre), size, min(RIM, *(x / 2 for x in size)), mount, axes)
    # Across the arm, a bar along a sloping edge is wider than its diameter.
    lean = float(np.hypot(np.hypot(h1 - h0, w1 - w0) / 2, length)) / length
    for u, v in product((-1.0, 1.0), repeat=2):
        p = start + u * (h0 / 2 - lean * RIM) * up + v * (w0 / 2 - lean * RIM) * side
        q = end + u * (h1 / 2 - lean * RIM) * up + v * (w1 / 2 - lean * RIM) * side
        form += _edge(name, point(p), point(q), mount, lean)
    return form


def _edge(name: str, a: Point, b: Point, mount: Mount, lean: float = 1.0) -> Form:
    """Return a thin bar along an edge, its round ends within the faces there."""
    p, q = vector(a), vector(b)
    inset = lean * RIM * unit(q - p)
    edge = bar(name, point(p + inset), point(q - inset), RIM, mount)
    return Form((), (Tubular(name, edge.axis, edge.section, mount, (False, False)),))
