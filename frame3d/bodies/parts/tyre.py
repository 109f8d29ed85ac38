"""Outlines of the tyres, a torus each with growth and flex, and shoulder knobs."""

from __future__ import annotations

from collections.abc import Iterator

from frame3d.bodies.body import PRACTICE, Absent, Body
from frame3d.bodies.forms import Form, hoop
from frame3d.bodies.placement import End, Placement
from frame3d.bodies.shapes import PlacedShape, ring

EDGE = 1.0
"""Radius of the thin tubes that stand for the knobs' edges [mm]."""
SHOULDER = 8.0
"""Depth of shoulder knobs [mm]; common practice, no source."""


def tyre(place: Placement, end: End) -> Iterator[Body | Absent]:
    """Yield a wheel's tyre.

    The designation's width is the section's diameter, its outside radius the torus's. Growth widens
    the section about its middle. Flex is swept: a torus at either side and what lies between.
    """
    name, part = f"{end}_tyre", f"build.{end}_wheel.tyre"
    size, wheel = place.tyre(end), place.wheel(end)
    if size is None or wheel is None:
        yield Absent(name, part)
        return
    x, _, z = place.axle(end)
    mount = place.wheel_mount(end)
    middle = size.radius - size.width / 2
    section = (size.width + wheel.growth) / 2
    flex = wheel.flex
    form = Form()
    for y in (0.0,) if flex == 0 else (-flex, 0.0, flex):
        form += hoop(name, (x, y, z), middle, section, mount)
    strips = []
    if flex > 0:
        strips.append([(middle - section, flex), (middle + section, flex)])
    if wheel.tread is not None:
        # Crown and shoulders as a builder sees them across a straight edge.
        outer = middle + section
        half, low = wheel.tread.width / 2 + flex, outer - wheel.tread.drop
        strips.append([(low - SHOULDER, half), (low, half), (outer, half / 2)])
        for r, y in ((low, half - EDGE), (outer, half / 2 - EDGE)):
            for lateral in (y, -y):
                edge = hoop(name, (x, lateral, z), r - EDGE, EDGE, mount)
                form += Form(tubes=edge.tubes)
    shapes = list(form.shapes)
    for strip in strips:
        corners = strip + [(r, -y) for r, y in reversed(strip)]
        shapes.append(PlacedShape(name, ring(corners), (x, 0.0, z), mount))
    notes = ["outside by the ETRTO designation"] if size.designated else []
    if wheel.tread is not None:
        notes.append(f"shoulder knobs {SHOULDER:g} mm deep: {PRACTICE}")
    yield Body(
        name=name,
        part=part,
        family=f"{end}_wheel",
        shapes=tuple(shapes),
        tubes=form.tubes,
        colour="#2a2a2c",
        note="; ".join(notes),
    )
