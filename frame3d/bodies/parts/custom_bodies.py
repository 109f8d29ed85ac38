"""Bodies that the file adds, fixed to any part that moves."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from difflib import get_close_matches
from functools import partial

import numpy as np

from frame3d.bodies.body import Body
from frame3d.bodies.forms import LEVEL, Axes, Form, about, pill, rimmed, rod, slab
from frame3d.bodies.forms import turned as revolved
from frame3d.bodies.motion.mounts import FRAME, Mount
from frame3d.bodies.parts.drivetrain import run_names
from frame3d.bodies.placement import Placement
from frame3d.bodies.shapes import PlacedShape, Tubular, bar, capsule, standing
from frame3d.errors import Fault, SpecError
from frame3d.geometry.vector import Point, mirrored, point, unit, vector
from frame3d.parameters.models.custom_bodies import FIXED, SpareSpec


def spare(place: Placement, others: Sequence[Body]) -> Iterator[Body]:
    """Yield every body under ``build.bodies``.

    Args:
        place: the bike.
        others: its other bodies; those of the frame only where gaps are to be measured.

    Raises:
        SpecError: a name that a part of the bike has already, a body that it touches but that is not
            there, a mount that cannot be placed, or a profile that cannot be turned.
    """
    used = {body.name for body in others} | place.frame_names | run_names(place)
    faults: list[Fault] = []
    for key, spec in place.build.bodies.items():
        path = f"build.bodies.{key}"
        names = (f"{key}_left", f"{key}_right") if spec.pair else (key,)
        clash = used.intersection(names)
        if clash:
            faults.append(
                place.bike.spec.fault(
                    "bad-name",
                    path,
                    f"{clash.pop()} is a part of the bike already",
                    "choose another name",
                )
            )
            continue
        used.update(names)
        if "_" in spec.fixed_to and place.pedal_lateral is None:
            faults.append(
                place.bike.spec.fault(
                    "missing-key",
                    f"{path}.fixed_to",
                    f"where the {spec.fixed_to.replace('_', ' ')} is, is missing",
                    "give build.crank.q_factor and build.pedal",
                )
            )
            continue
        named = {*used, *place.build.bodies, *(f"{k}_left" for k in place.build.bodies)}
        unknown = [name for name in spec.touches if name not in named]
        if unknown:
            near = get_close_matches(unknown[0], sorted(named), n=1)
            faults.append(
                place.bike.spec.fault(
                    "not-allowed",
                    f"{path}.touches.{spec.touches.index(unknown[0])}",
                    f"there is no body named {unknown[0]!r}",
                    f"did you mean {near[0]}?" if near else "see `frame3d check --near 500`",
                )
            )
            continue
        for i, name in enumerate(names):
            try:
                form = _form(place, name, spec, right=i == 1)
            except ValueError as problem:
                faults.append(
                    place.bike.spec.fault(
                        "inconsistent",
                        f"{path}.profile",
                        str(problem),
                        "corners [radius, along] in order round a convex outline; a disc from axis "
                        "to axis, a ring clear of it",
                    )
                )
                break
            touches = (*spec.touches, *_carriers(place, spec, others))
            yield Body(
                name=name,
                part=path,
                family=key,
                shapes=form.shapes,
                tubes=form.tubes,
                colour=spec.colour,
                touches=touches,
            )
    if faults:
        raise SpecError(faults)


_CARRIERS = {
    "frame": ("frame",),
    "steering": ("fork", "cockpit"),
    "fork": ("fork", "front_wheel"),
    "crank": ("crank", "drivetrain"),
}
"""What a body is fixed to -> families that it may touch there."""


def _carriers(place: Placement, spec: SpareSpec, others: Sequence[Body]) -> list[str]:
    """Return the names of the bodies that it is fixed to: those of these families with its mount."""
    is_link = spec.fixed_to not in FIXED
    families = ("frame",) if is_link else _CARRIERS.get(spec.fixed_to, ("crank",))
    mount = _mount(place, spec)[0]
    return [
        body.name
        for body in others
        if body.family in families and (body.family != "frame" or body.mount == mount)
    ]


def _form(place: Placement, name: str, spec: SpareSpec, right: bool) -> Form:
    mount, carry = _mount(place, spec)
    flip = mirrored if right else _same
    at = carry(flip(spec.at))
    axis = unit(vector(flip(spec.axis)))
    turn = np.array([vector(carry(way)) - vector(carry(_HERE)) for way in LEVEL])

    def turned(axes: Axes) -> Axes:
        x, y, z = (point(vector(row) @ turn) for row in axes)
        return x, y, z

    if spec.kind in ("capsule", "cylinder"):
        assert spec.diameter is not None
        assert spec.length is not None
        r = spec.diameter / 2
        end = r if spec.end_diameter is None else spec.end_diameter / 2
        far = point(vector(at) + spec.length * axis @ turn)
        if spec.kind == "cylinder":
            return rod(name, at, far, r, mount, end)
        if end == r:
            return pill(name, at, far, r, mount)
        tube = bar(name, at, far, r, mount, end)
        return Form(
            (PlacedShape(name, capsule(spec.length, r, end), at, mount, turned(about(axis))),),
            (Tubular(name, tube.axis, tube.section, mount, (False, False)),),
        )
    if spec.kind == "box":
        assert spec.size is not None
        axes = about(axis)
        if spec.forward is not None:
            forward = vector(flip(spec.forward))
            if np.linalg.norm(np.cross(forward, axis)) > 1e-6:
                axes = standing(axis, forward)
        return slab(name, at, spec.size, spec.rounding, mount, turned(axes), edges=True)
    assert spec.profile is not None
    x, y, z = about(axis)
    make = rimmed if spec.kind == "ring" else revolved
    return make(name, spec.profile, at, mount, turned((y, z, x)))


def _same(p: Point) -> Point:
    return p


_HERE: Point = (0.0, 0.0, 0.0)


def _mount(place: Placement, spec: SpareSpec) -> tuple[Mount, Callable[[Point], Point]]:
    """Return the mount, and the function from a point in the file to where the mount draws it."""
    if spec.fixed_to == "frame":
        return FRAME, place.framed
    if spec.fixed_to == "crank":
        return place.crank, _same
    if spec.fixed_to in ("steering", "fork"):
        fork = spec.fixed_to == "fork"
        mount = place.fork if fork else place.steering
        return mount, partial(place.steered_along, fork=fork)
    if spec.fixed_to not in FIXED:
        return place.link(spec.fixed_to), partial(place.framed, link=spec.fixed_to)
    crank = place.build.crank
    lateral = place.pedal_lateral
    assert crank is not None
    assert lateral is not None
    side, what = spec.fixed_to.split("_")
    mounts = place.pedal_mounts("left" if side == "left" else "right", lateral)
    reach = crank.length if side == "left" else -crank.length
    return mounts[0 if what == "pedal" else 1], lambda p: (p[0] - reach, p[1], p[2])
