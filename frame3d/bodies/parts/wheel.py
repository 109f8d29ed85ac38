"""Outlines of rim, hub and rotor."""

from __future__ import annotations

from collections.abc import Iterator

from frame3d.bodies.body import PRACTICE, Absent, Body
from frame3d.bodies.forms import turned
from frame3d.bodies.forms import wheel as flat_wheel
from frame3d.bodies.placement import End, Placement
from frame3d.bodies.shapes import PlacedShape, ring
from frame3d.parameters.sizes.rotors import ROTOR_THICKNESS, rotor_inset, shoulder_of

FLANGE = 5.0
"""Height of the rim's edge above the bead seat, and width of both flanges together [mm]."""
HUB_RADIUS, HUB_END, HUB_SLOPE = 29.0, 10.0, 20.0
"""Radius of the flanges, radius at the dropouts, distance of the flanges from the hub's ends [mm]."""
COG_FACE = 6.0
"""Hub's shoulder in to the middle of the smallest cog [mm]; common practice, no source."""


def wheel(place: Placement, end: End) -> Iterator[Body | Absent]:
    """Yield rim, hub and rotor of a wheel."""
    yield _rim(place, end)
    yield _hub(place, end)
    yield _rotor(place, end)


def rotor_of(place: Placement, end: End) -> tuple[float, float] | None:
    """Return a rotor's radius and the y of its middle [mm]; None without a rotor or hub."""
    spec, hub = place.wheel(end), place.hub(end)
    if spec is None or spec.rotor is None or hub is None:
        return None
    return spec.rotor / 2, hub[0] / 2 - rotor_inset(end, hub[0], spec.rotor_inset)


def first_cog_of(place: Placement) -> float | None:
    """Return the distance of the smallest cog's middle from the centre plane [mm], or None.

    `COG_FACE` in from the hub's shoulder: 61.5 mm at 135 and 142, 64.5 at 148, 69 at 157, so the
    cassette follows the chainline (3 mm more from 142 to 148: trade pages). A single cog stands in line
    with the chainring (common practice, no source).
    """
    spec, hub, crank = place.build.cassette, place.hub("rear"), place.build.crank
    if spec is None or hub is None:
        return None
    if spec.inset is not None:
        return hub[0] / 2 - spec.inset
    if len(spec.cogs) == 1 and crank is not None and crank.chainline is not None:
        return crank.chainline
    return hub[0] / 2 - shoulder_of("rear", hub[0]) - COG_FACE


def _rim(place: Placement, end: End) -> Body | Absent:
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
        shapes=(PlacedShape(name, shape, place.axle(end), place.wheel_mount(end)),),
        tubes=(),
        colour="#55585c",
        note=f"rim's section: {PRACTICE}",
    )


def _hub(place: Placement, end: End) -> Body | Absent:
    name = f"{end}_hub"
    hub = place.hub(end)
    if hub is None:
        return Absent(name, f"build.{end}_wheel.hub")
    half = hub[0] / 2
    form = turned(
        name,
        [
            (0.0, -half),
            (HUB_END, -half),
            (HUB_RADIUS, HUB_SLOPE - half),
            (HUB_RADIUS, half - HUB_SLOPE),
            (HUB_END, half),
            (0.0, half),
        ],
        place.axle(end),
        place.wheel_mount(end),
    )
    return Body(
        name=name,
        part=f"build.{end}_wheel.hub",
        family=f"{end}_wheel",
        shapes=form.shapes,
        tubes=form.tubes,
        colour="#6d7278",
        note=f"hub's flanges: {PRACTICE}",
    )


def _rotor(place: Placement, end: End) -> Body | Absent:
    name = f"{end}_rotor"
    rotor = rotor_of(place, end)
    spec = place.wheel(end)
    if rotor is None or spec is None:
        given = spec is not None and spec.rotor is not None
        return Absent(name, f"build.{end}_wheel.{'hub' if given else 'rotor'}")
    radius, y = rotor
    half = ROTOR_THICKNESS / 2
    x, _, z = place.axle(end)
    form = flat_wheel(name, radius, -half, half, (x, y, z), place.wheel_mount(end))
    return Body(
        name=name,
        part=f"build.{end}_wheel.rotor",
        family=f"{end}_wheel",
        shapes=form.shapes,
        tubes=form.tubes,
        colour="#9aa0a6",
        note="" if spec.rotor_inset is not None else f"rotor's inset: {PRACTICE}",
    )
