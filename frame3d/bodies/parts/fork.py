"""Outlines of a bought fork's crown, adjusters, legs, arch and axle."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from frame3d.bodies.body import PRACTICE, Absent, Body
from frame3d.bodies.forms import Form, pill, rod, slab
from frame3d.bodies.placement import SIDES, Placement
from frame3d.errors import SpecError
from frame3d.parameters.models.fork import ForkSpec
from frame3d.parameters.models.mating import ArchSpec, CrownSpec, LegsSpec

BELOW = 15.0
"""How far the lower legs reach below the axle [mm]."""
OVERLAP = 20.0
"""How far the upper legs are drawn into the lower ones [mm]."""
LEAST_LOWER = 120.0
"""Shortest lower legs that a fork can have [mm]."""
ROUNDING = 8.0
SOCKET = 6.0
"""Wall of a crown's sockets about the legs [mm]; common practice, no source."""
ARCH_ROOM = 72.0
"""Distance of the arch's underside from the bead seat [mm]: a tyre of 66 mm and 6 mm of room."""
BLACK, UPPER = "#26282c", "#8e959c"


def fork(place: Placement) -> Iterator[Body | Absent]:
    """Yield every part of the fork that the file gives; none of one that the shop builds."""
    spec = place.build.fork
    if place.bike.fork is not None:
        return
    legs = None if spec is None else legs_of(place, spec)
    if spec is None or legs is None:
        for name, key in _KEYS.items():
            needs = f"build.fork.{key}"
            if spec is not None and getattr(spec, key) is not None:
                needs = "build.fork.legs.spacing"
            yield Absent(f"fork_{name}", needs)
        return
    for make in (_crown, _knob, _leg, _lower, _arch, _axle):
        yield from make(place, spec, legs)


_KEYS = {
    "crown": "crown",
    "knob": "knobs",
    "leg": "legs",
    "lower": "legs",
    "arch": "arch",
    "axle": "legs",
}
"""Part -> the key below ``build.fork`` that gives it."""


@dataclass(frozen=True, slots=True)
class Legs:
    """Position and thickness of the fork's legs [mm]."""

    spacing: float
    upper: float
    lower: float
    forward: float
    """Distance of the legs' axes ahead of the steering axis (of a rigid fork's blades at the axle)."""


def legs_of(place: Placement, spec: ForkSpec) -> Legs | None:
    """Return the legs; None where nothing says how far apart they are."""
    given = LegsSpec() if spec.legs is None else spec.legs
    rigid = spec.travel == 0
    hub, tyre = place.hub("front"), place.tyre("front")
    spacing = given.spacing
    if spacing is None and hub is not None:
        spacing = hub[0] + (10 if rigid else 30)
    if spacing is None and tyre is not None:
        spacing = tyre.width + (45 if rigid else 75)
    if spacing is None:
        return None
    upper = (28.0 if rigid else 35.0) if given.upper is None else given.upper
    lower = (18.0 if rigid else 46.0) if given.lower is None else given.lower
    lead = min(15.0, max(place.axle_offset, 0.0)) if given.lead is None else given.lead
    return Legs(spacing, upper, lower, place.axle_offset - (0.0 if rigid else lead))


def _crown_height(spec: ForkSpec) -> float:
    return (CrownSpec() if spec.crown is None else spec.crown).height


def _crown(place: Placement, spec: ForkSpec, legs: Legs) -> Iterator[Body | Absent]:
    name, crown = "fork_crown", spec.crown
    if crown is None:
        yield Absent(name, "build.fork.crown")
        return
    width = legs.spacing + legs.upper + 2 * SOCKET if crown.width is None else crown.width
    middle = 0.0 if spec.travel == 0 else legs.forward
    front = max(middle + legs.upper / 2 + 5, 20.0) if crown.front is None else crown.front
    blocks = [(-crown.back, width)]
    if crown.back_width is not None and crown.back_width < width:
        sockets = max(middle - legs.upper / 2 - SOCKET, -crown.back)
        blocks = [(-crown.back, crown.back_width), (sockets, width)]
    rounding = min(ROUNDING, crown.height / 2)
    form, axes = Form(), place.steering_axes
    for back, across in blocks:
        size = (front - back, across, crown.height)
        centre = place.steered((front + back) / 2, 0.0, -crown.height / 2)
        form += slab(name, centre, size, rounding, place.steering, axes, edges=True)
    yield _body(name, "build.fork.crown", form, touches=("head_tube",))


def _knob(place: Placement, spec: ForkSpec, legs: Legs) -> Iterator[Body | Absent]:
    knobs = spec.knobs
    if knobs is None:
        if spec.travel > 0:
            yield Absent("fork_knob", "build.fork.knobs")
        return
    top, r = knobs.height - knobs.diameter / 2, knobs.diameter / 2
    for side, sign in SIDES:
        name, y = f"fork_knob_{side}", sign * legs.spacing / 2
        a = place.steered(legs.forward, y, min(top, 0.0) - 5)
        b = place.steered(legs.forward, y, top)
        yield _body(name, "build.fork.knobs", pill(name, a, b, r, place.steering), "#4a5058")


def _leg(place: Placement, spec: ForkSpec, legs: Legs) -> Iterator[Body | Absent]:
    """Yield the upper legs, or a rigid fork's blades."""
    if spec.legs is None:
        yield Absent("fork_leg", "build.fork.legs")
        return
    height = _crown_height(spec)
    for side, sign in SIDES:
        name, y = f"fork_leg_{side}", sign * legs.spacing / 2
        if spec.travel == 0:
            a = place.steered(0.0, y, -height / 2)
            b = place.steered(legs.forward, y, -place.axle_drop)
            form = rod(name, a, b, legs.upper / 2, place.steering, legs.lower / 2)
            touches: tuple[str, ...] = ("front_hub", "front_rotor")
            colour = BLACK
        else:
            a = place.steered(legs.forward, y, 0.0)
            b = place.steered(legs.forward, y, _lower_top(place, spec) - OVERLAP)
            form = rod(name, a, b, legs.upper / 2, place.steering)
            touches, colour = (), UPPER
        yield _body(name, "build.fork.legs", form, colour, touches)


def _lower(place: Placement, spec: ForkSpec, legs: Legs) -> Iterator[Body | Absent]:
    if spec.travel == 0:
        return
    if spec.legs is None:
        yield Absent("fork_lower", "build.fork.legs")
        return
    top, bottom = _lower_top(place, spec), -place.axle_drop - BELOW
    for side, sign in SIDES:
        name, y = f"fork_lower_{side}", sign * legs.spacing / 2
        a, b = (place.steered(legs.forward, y, rise) for rise in (bottom, top))
        form = rod(name, a, b, legs.lower / 2, place.fork)
        yield _body(name, "build.fork.legs", form, touches=("front_hub", "front_rotor"))


def _lower_top(place: Placement, spec: ForkSpec) -> float:
    """Return the height of the lower legs' top above the crown race, fork extended [mm].

    Raises:
        SpecError: travel and crown leave no lower legs.
    """
    legs = LegsSpec() if spec.legs is None else spec.legs
    top = -_crown_height(spec) - spec.travel - legs.seal
    if top + place.axle_drop < LEAST_LOWER:
        raise SpecError(
            place.bike.spec.fault(
                "inconsistent",
                "build.fork.travel",
                f"travel and crown leave {max(top + place.axle_drop, 0.0):.0f} mm of lower legs above "
                "the axle",
                "less travel, a longer fork, or a lower crown (build.fork.crown.height)",
            )
        )
    return top


def arch_radius(place: Placement, arch: ArchSpec) -> float | None:
    """Return the distance from the front axle to the arch's underside [mm]; None if nothing gives it."""
    tyre = place.tyre("front")
    if arch.radius is not None or tyre is None:
        return arch.radius
    return tyre.bead_seat / 2 + ARCH_ROOM


def _arch(place: Placement, spec: ForkSpec, legs: Legs) -> Iterator[Body | Absent]:
    name, arch = "fork_arch", spec.arch
    if arch is None:
        if spec.travel > 0:
            yield Absent(name, "build.fork.arch")
        return
    radius = arch_radius(place, arch)
    if radius is None:
        yield Absent(name, "build.fork.arch.radius")
        return
    rise = radius + arch.thickness / 2 - place.axle_drop
    a, b = (place.steered(place.axle_offset, s * legs.spacing / 2, rise) for s in (-1, 1))
    yield _body(name, "build.fork.arch", rod(name, a, b, arch.thickness / 2, place.fork))


def _axle(place: Placement, spec: ForkSpec, legs: Legs) -> Iterator[Body | Absent]:
    name, hub = "fork_axle", place.hub("front")
    if hub is None or spec.legs is None:
        yield Absent(name, "build.fork.legs" if spec.legs is None else "build.front_wheel.hub")
        return
    x, _, z = place.axle("front")
    half = legs.spacing / 2
    form = rod(name, (x, -half, z), (x, half, z), hub[1] / 2, place.fork)
    yield _body(name, "build.front_wheel.hub", form, "#7b8087", ("front_hub", "front_rotor"))


def _body(
    name: str, part: str, form: Form, colour: str = BLACK, touches: tuple[str, ...] = ()
) -> Body:
    note = f"fork's outline: {PRACTICE}, where the file does not give it"
    return Body(
        name=name,
        part=part,
        family="fork",
        shapes=form.shapes,
        tubes=form.tubes,
        colour=colour,
        touches=touches,
        note=note,
    )
