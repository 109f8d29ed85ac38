"""Wheels without their tyres: rim, hub, rotor."""

from __future__ import annotations

from collections.abc import Iterator

from frame3d.bodies.body import PRACTICE, Absent, Body
from frame3d.bodies.place import End, Place
from frame3d.bodies.shapes import Placed, cylinder, disc, ring

FLANGE = 5.0
"""Rim's edge above the bead seat, and each side of the inner width [mm]."""
HUB_RADIUS, HUB_END, HUB_SLOPE = 29.0, 10.0, 20.0
"""Flanges' radius, radius at the dropouts, and how far in the flanges stand [mm]."""
ROTOR_INSET = {"front": 10.5, "rear": 15.3}
"""From the dropout's inner face to the rotor's middle [mm]."""
ROTOR_THICKNESS = 1.8


def wheel(place: Place, end: End) -> Iterator[Body | Absent]:
    """Rim, hub and rotor of a wheel."""
    yield _rim(place, end)
    yield _hub(place, end)
    yield _rotor(place, end)


def rotor_of(place: Place, end: End) -> tuple[float, float] | None:
    """A rotor's radius and its middle's y [mm]."""
    spec, hub = place.wheel(end), place.hub(end)
    if spec is None or spec.rotor is None or hub is None:
        return None
    inset = ROTOR_INSET[end] if spec.rotor_inset is None else spec.rotor_inset
    return spec.rotor / 2, hub[0] / 2 - inset


def _rim(place: Place, end: End) -> Body | Absent:
    name = f"{end}_rim"
    spec, size = place.wheel(end), place.tyre(end)
    if spec is None or size is None:
        return Absent(name, f"build.{end}_wheel.tyre")
    inner = None if spec.rim is None else spec.rim.inner_width
    if inner is None:
        # Secondary summary of ISO 5775: about 65 % of the tyre's width below 30 mm, 55 % above.
        inner = size.width * (0.65 if size.width < 30 else 0.55)
    depth = 20.0 if spec.rim is None else spec.rim.depth
    half, seat = inner / 2 + FLANGE / 2, size.bead_seat / 2
    corners = [(seat - depth, half / 2), (seat - depth / 2, half), (seat + FLANGE, half)]
    shape = ring(corners + [(r, -y) for r, y in reversed(corners)])
    return Body(
        name=name,
        part=f"build.{end}_wheel",
        family=f"{end}_wheel",
        shapes=(Placed(name, shape, place.axle(end), place.wheel_mount(end)),),
        tubes=(),
        colour="#55585c",
        note=f"rim's section: {PRACTICE}",
    )


def _hub(place: Place, end: End) -> Body | Absent:
    name = f"{end}_hub"
    hub = place.hub(end)
    if hub is None:
        return Absent(name, f"build.{end}_wheel.hub")
    half = hub[0] / 2
    shape = disc(
        [
            (0.0, -half),
            (HUB_END, -half),
            (HUB_RADIUS, HUB_SLOPE - half),
            (HUB_RADIUS, half - HUB_SLOPE),
            (HUB_END, half),
            (0.0, half),
        ]
    )
    return Body(
        name=name,
        part=f"build.{end}_wheel.hub",
        family=f"{end}_wheel",
        shapes=(Placed(name, shape, place.axle(end), place.wheel_mount(end)),),
        tubes=(),
        colour="#6d7278",
        note=f"hub's flanges: {PRACTICE}",
    )


def _rotor(place: Place, end: End) -> Body | Absent:
    name = f"{end}_rotor"
    rotor = rotor_of(place, end)
    spec = place.wheel(end)
    if rotor is None or spec is None:
        given = spec is not None and spec.rotor is not None
        return Absent(name, f"build.{end}_wheel.{'hub' if given else 'rotor'}")
    radius, y = rotor
    half = ROTOR_THICKNESS / 2
    x, _, z = place.axle(end)
    return Body(
        name=name,
        part=f"build.{end}_wheel.rotor",
        family=f"{end}_wheel",
        shapes=(Placed(name, cylinder(radius, -half, half), (x, y, z), place.wheel_mount(end)),),
        tubes=(),
        colour="#9aa0a6",
        note="" if spec.rotor_inset is not None else f"rotor's inset: {PRACTICE}",
    )
