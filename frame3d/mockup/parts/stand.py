"""The stand: docks for the wheels, or posts for the frame; checked for balance."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

import numpy as np

from frame3d.bodies.placement import End
from frame3d.errors import Fault, MockupError
from frame3d.geometry.arrays import Array
from frame3d.mockup.drawing import BLACK, Drawing
from frame3d.mockup.part import Joint, Limb, Made, ModelPart
from frame3d.mockup.parts.nameplate import LEANS, LIP, POCKET, desk_height, lean_of, lying, plate
from frame3d.mockup.parts.posts import Posts, load_of, posts_under
from frame3d.mockup.printing.check import CRUMB
from frame3d.mockup.solid import Y, Z, block, bounds, hull_of, minus, rod, together
from frame3d.solids.body_meshes import read_manifold

if TYPE_CHECKING:
    from manifold3d import Manifold

THICK: Final = 6.2
"""Thickness of the base, with room for a peg if it is cut [mm]."""
BEAM: Final = 18.0
"""Width of the base between the docks [mm]."""
CHEEK: Final = 2.6
"""Wall beside a tyre [mm]."""
TIP: Final = 12.0
"""The model with its stand may be tipped by this before it falls [degrees]; common practice, no
source."""
WIDER: Final = tuple(8.0 * step for step in range(12))
"""Widenings of the base on either side that are tried in turn [mm]."""
OUT: Final = tuple(4.0 * step for step in range(9))
"""Ways by which the desk is moved out from under the bike, tried in turn [mm]."""
BEVEL: Final = 1.0
DESK: Final = 0.6
"""Largest length of the desk, as a share of the bed's shorter side; the desk is not cut."""
CUT: Final = 16.0
"""Room for a cut across the beam [mm]."""


@dataclass(frozen=True, slots=True)
class Balance:
    """Balance of the model on its stand [mm and degrees]."""

    centre: tuple[float, float, float]
    """Centre of mass of model and stand, with uniform density."""
    base: tuple[tuple[float, float], ...]
    """Corners of the base's outline on the table, (x, y)."""
    margin: float
    """Horizontal distance from the centre of mass to the base's nearest edge."""
    tips: float
    """Tilt over that edge at which the model falls."""


@dataclass(frozen=True, slots=True)
class Spot:
    """Where the desk of the name plate stands before the base [mm]."""

    out: float
    """How far it is moved out from the base, joined by a plate."""
    below: float
    """Height of the frame's lowest point, above which the desk would hide it."""


def stand(drawing: Drawing, parts: tuple[ModelPart, ...], level: Array) -> tuple[Made, Balance]:
    """Return the stand with the name plate, and the balance.

    The base is widened until the model can be tilted by `TIP` degrees without falling.

    Args:
        drawing: the bike to print.
        parts: parts of the model, standing level.
        level: the motion by which they stand level: (3, 4).

    Raises:
        MockupError: the widest base is not enough.
    """
    bike = together(part.solid for part in parts)
    centre = float(_common_centre(parts)[0])
    below = next(float(bounds(part.solid)[0, 2]) for part in parts if part.name == "frame")
    posts = None if drawing.has("wheels") else posts_under(load_of(drawing, parts), centre)
    changes = () if posts is None else posts.changes
    for wide in WIDER:
        for out in OUT:
            spot = Spot(out, below)
            if posts is None:
                made = _docks(drawing, wide, level, spot)
            else:
                made = _on_posts(drawing, posts, centre, wide, spot)
            if _is_free(made, bike):
                break
        balance = balance_of((*parts, *made.parts))
        if balance.tips >= TIP:
            changes = (*changes, *made.changes)
            if out > 0:
                told = f"the name plate is moved out by {out:g} mm, as the bike is over it"
                changes = (*changes, told)
            return replace(made, changes=changes), balance
    raise MockupError(
        Fault(
            "inconsistent",
            "stand",
            f"the model falls off its stand when tipped by {balance.tips:.0f}°, and should not before "
            f"{TIP:g}°",
            "leave the stand out with --no-stand",
        )
    )


def _is_free(made: Made, bike: Manifold) -> bool:
    """Return whether stand and name plate do not overlap the bike."""
    return all((part.solid ^ bike).volume() <= CRUMB for part in made.parts)


def mass_centre(solid: Manifold) -> tuple[float, Array]:
    """Return volume [mm³] and centre of mass, (3,) float [mm]."""
    mesh = read_manifold(solid)
    return mesh.volume, mesh.centre


def _common_centre(parts: tuple[ModelPart, ...]) -> Array:
    masses = [mass_centre(part.solid) for part in parts]
    return np.asarray(sum(v * c for v, c in masses) / sum(v for v, _ in masses))


def balance_of(parts: tuple[ModelPart, ...]) -> Balance:
    """Return where the centre of mass of all parts is over the base of those that stand."""
    centre = _common_centre(parts)
    base = np.vstack(
        [
            np.asarray(part.solid.to_mesh64().vert_properties)[:, :3]
            for part in parts
            if part.role == "stand"
        ]
    )
    floor = float(base[:, 2].min())
    corners = hull_of(base[base[:, 2] < floor + 0.05][:, :2])
    edges = np.roll(corners, -1, axis=0) - corners
    out = np.stack([edges[:, 1], -edges[:, 0]], axis=1) / np.linalg.norm(edges, axis=1)[:, None]
    margin = float((np.einsum("ij,ij->i", out, corners - centre[:2])).min())
    tips = float(np.degrees(np.arctan2(margin, centre[2] - floor)))
    return Balance(
        (float(centre[0]), float(centre[1]), float(centre[2])),
        tuple((float(x), float(y)) for x, y in corners), margin, tips,
    )  # fmt: skip


def _docks(drawing: Drawing, wide: float, level: Array, spot: Spot) -> Made:
    """Return blocks with a slot for each tyre, on feet joined by a beam, and the desk before it."""
    options, scale, place = drawing.options, drawing.scale, drawing.place
    wheels: tuple[End, ...] = ("rear", "front")
    blocks, slots, centres, floor = [], [], [], 0.0
    for end in wheels:
        size = place.tyre(end)
        assert size is not None
        axle = level[:, :3] @ drawing.axle(end) + level[:, 3]
        radius, width = size.radius * scale, size.width * scale
        floor = axle[2] - radius
        centres.append(axle[0])
        half = width / 2 + options.fit
        high, long = max(0.16 * radius, 3.0), max(0.36 * radius, 6.0)
        foot = max(20.0, half + CHEEK + 8.0) + wide
        blocks.append(
            block(
                (axle[0] - long - 3, -foot, floor - THICK), (axle[0] + long + 3, foot, floor), BEVEL
            )
        )
        blocks.append(
            block((axle[0] - long, -half - CHEEK, floor - 1.0),
                  (axle[0] + long, half + CHEEK, floor + high), BEVEL)
        )  # fmt: skip
        # The tyre touches only the base.
        slots.append(rod(axle - half * Y, axle + half * Y, radius + 0.02))
        slots.append(_lead(axle, radius, half, floor + high))
    beam = BEAM / 2
    blocks.append(block((centres[0], -beam, floor - THICK), (centres[1], beam, floor), BEVEL))
    middle = (centres[0] + centres[1]) / 2
    span = (centres[0] + _reach(drawing, "rear"), centres[1] - _reach(drawing, "front"))
    limbs = (_beam(span, floor),) if span[1] - span[0] > 8.0 else ()
    # The beam stays free beside the desk, where it may be cut; a short one is covered by the desk.
    free = min(span[1] - span[0] - 2 * CUT, DESK * min(drawing.options.bed[:2]))
    widest = free if free > 60.0 else 0.9 * (centres[1] - centres[0])
    return _finished(drawing, blocks, slots, limbs, (middle, -beam + 1.0, floor), widest, spot)


def _lead(axle: Array, radius: float, half: float, top: float) -> Manifold:
    """Return the cut that chamfers a slot's upper edges, to guide the tyre in."""
    from manifold3d import Manifold

    low, wide = top - 1.2, 1.2
    a = rod(axle - half * Y, axle + half * Y, radius + 0.02)
    b = rod(axle - (half + wide) * Y, axle + (half + wide) * Y, radius + 0.02)
    window = block((axle[0] - radius, -radius, low), (axle[0] + radius, radius, top + 5.0))
    lifted = Manifold.batch_hull([a ^ window, (b ^ window).translate((0.0, 0.0, 1.2))])
    return lifted ^ window


def _reach(drawing: Drawing, end: End) -> float:
    """Return half of a foot's length along the bike [mm]."""
    size = drawing.place.tyre(end)
    assert size is not None
    return max(0.36 * size.radius * drawing.scale, 6.0) + 4.0


def _beam(span: tuple[float, float], floor: float) -> Limb:
    x = np.linspace(*span, max(int(span[1] - span[0]), 2))
    points = np.stack([x, 0 * x, 0 * x + floor - THICK / 2], axis=1)
    return Limb(points, np.full(len(x), THICK / 2))


def _on_posts(drawing: Drawing, posts: Posts, centre: float, wide: float, spot: Spot) -> Made:
    """Return a base with two posts under the frame, and the desk before it."""
    floor, (first, second) = posts.floor, posts.at
    base = (min(first, centre) - 24.0 - wide, second + 24.0 + wide)
    foot = block((base[0], -22.0 - wide, floor - THICK), (base[1], 22.0 + wide, floor), BEVEL)
    middle = (base[0] + base[1]) / 2
    # The width limits the letters so that the desk stays below the frame.
    widest = min(base[1] - base[0], 140.0)
    desk = (middle, -posts.half - 1.0, floor)
    return _finished(drawing, [*posts.solids, foot], [], (), desk, widest, spot)


def _finished(
    drawing: Drawing,
    blocks: list[Manifold],
    slots: list[Manifold],
    limbs: tuple[Limb, ...],
    front: tuple[float, float, float],
    widest: float,
    spot: Spot,
) -> Made:
    """Return the stand with the name plate on a desk in front of it.

    Args:
        drawing: the bike to print.
        blocks: solids of the stand.
        slots: solids to subtract.
        limbs: stretches at which the stand may be cut.
        front: middle of the desk's back edge, on the floor [mm].
        widest: largest length of the desk along the bike [mm].
        spot: where the desk stands from there.
    """
    options = drawing.options
    name = drawing.bike.spec.title if options.name is None else options.name
    made = plate(name, options.ratio, widest - 2 * LIP)
    notes = []
    if made is None:
        if name.strip():
            notes.append(
                f"no name plate: the alphabet holds none of {name!r}; --name takes another text"
            )
        solid = minus(together(blocks), slots)
        return Made(
            (ModelPart("stand", BLACK, solid, limbs, role="stand", down=-Z, anywhere=True),),
            (),
            tuple(notes),
        )
    if made.missing:
        notes.append(f"left out of the name plate, as the alphabet lacks them: {made.missing}")
    if made.left:
        notes.append(
            f"the name plate has no room for the last {len(made.left)} characters of the name; --name "
            "takes a shorter one"
        )
    x, y, floor = front[0], front[1] - spot.out, front[2]
    lean = lean_of(made.height, spot.below - floor)
    changes: tuple[str, ...] = ()
    if lean > LEANS[0]:
        changes = (f"the name plate leans back by {lean:g}° so that it does not hide the frame",)
    c, s = float(np.cos(np.radians(lean))), float(np.sin(np.radians(lean)))
    back, rise = y + POCKET * c - LIP * s, desk_height(made.height, lean)
    at = lying(np.array([x, back, floor + rise]), made.height, lean)
    desk = made.desk(at, floor - THICK)
    if spot.out > 0:
        half = float(np.ptp(bounds(desk)[:, 0])) / 2
        blocks = [*blocks, block((x - half, y - 2.0, floor - THICK), (x + half, front[1], floor))]
    solid = minus(together([*blocks, desk]), [*slots, made.pocket(options.fit).transform(at)])
    box = bounds(desk)
    limbs = tuple(limb for part in limbs for limb in _beside(part, box[0, 0], box[1, 0]))
    colour = drawing.bike.spec.colour
    sign = ModelPart(
        "name_plate", colour, made.solid.transform(at), role="stand", down=-at[:, 2], face=at[:, 2]
    )
    middle = at[:, :3] @ np.array([0.0, made.height / 2, POCKET / 2]) + at[:, 3]
    joint = Joint(
        kind="fixed",
        peg="name_plate",
        hole="stand",
        at=middle,
        along=at[:, 2],
        diameter=made.height,
        depth=POCKET,
        clearance=options.fit,
    )
    stand_part = ModelPart("stand", BLACK, solid, limbs, role="stand", down=-Z, anywhere=True)
    return Made((stand_part, sign), (joint,), tuple(notes), changes)


def _beside(limb: Limb, low: float, high: float) -> Iterator[Limb]:
    """Yield the stretches of a beam that are not under the desk."""
    x = limb.points[:, 0]
    for keep in (x < low - 1.0, x > high + 1.0):
        if keep.sum() > 3:
            yield Limb(limb.points[keep], limb.radius[keep])
