"""Outlines of the rear shock's body, its shaft or coil, and its reservoir."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from frame3d.bodies.body import PRACTICE, Body
from frame3d.bodies.forms import Form, rod
from frame3d.bodies.motion.mounts import Mount
from frame3d.bodies.placement import Placement
from frame3d.geometry.vector import Vector, point, unit

BODY, COIL = 52.0, 62.0
"""Diameters of an air shock's body and of a coil [mm]."""
SHAFT = 16.0
"""Diameter of the shaft [mm]."""
SLIMMER = 0.2
"""How much smaller a coil's outline is than the body's, into which it slides [mm]: in pictures no two
surfaces coincide."""
BUMPER = 4.0
"""Distance between body and end eye at the end of the stroke [mm]."""


def shock(place: Placement) -> Iterator[Body]:
    """Yield the parts of the shock; none on a bike without a rear suspension."""
    suspension, linkage = place.bike.spec.suspension, place.bike.linkage
    if suspension is None or linkage is None:
        return
    spec = suspension.shock
    ends = [np.array([x, 0.0, z]) for x, z in (linkage.drawn[name] for name in linkage.shock)]
    along = unit(ends[1] - ends[0])
    length, stroke, eye = linkage.eye_to_eye, linkage.full_stroke, spec.eye / 2
    is_coil = suspension.spring is not None and suspension.spring.coil is not None
    radius = (COIL if is_coil else BODY) / 2 if spec.diameter is None else spec.diameter / 2
    on_start, on_end = place.shock

    def body(name: str, colour: str, on: tuple[str, ...], *forms: Form) -> Body:
        return Body(
            name=name, part="suspension.shock", family="shock",
            shapes=tuple(shape for form in forms for shape in form.shapes),
            tubes=tuple(tube for form in forms for tube in form.tubes),
            colour=colour,
            axles=on,
            note=f"shock's outline: {PRACTICE}, where the file does not give it",
        )  # fmt: skip

    def run(name: str, a: float, b: float, radius: float, mount: Mount) -> Form:
        """Return a cylinder along the shock, between two distances from its start."""
        return rod(name, point(ends[0] + a * along), point(ends[0] + b * along), radius, mount)

    far = length - stroke - eye - BUMPER
    yield body(
        "shock_body", "#2b2d31", linkage.shock[:1],
        _eye("shock_body", ends[0], eye, spec.eye_width, on_start),
        run("shock_body", eye, far, radius, on_start),
    )  # fmt: skip
    # A coil reaches from the body to the end's eye at every stroke: what the body does not cover.
    name, thick = ("shock_coil", radius - SLIMMER) if is_coil else ("shock_shaft", SHAFT / 2)
    yield body(
        name, "#7f868d" if is_coil else "#9aa0a6", linkage.shock[1:],
        _eye(name, ends[1], eye, spec.eye_width, on_end),
        run(name, far, length - eye, thick, on_end),
    )  # fmt: skip
    if spec.reservoir is not None:
        up = np.array([-along[2], 0.0, along[0]])
        if up[2] < -1e-9 or (abs(up[2]) < 1e-9 and up[0] < 0):
            up = -up
        beside = spec.reservoir.offset * up
        a = ends[0] + spec.reservoir.along * along + beside
        b = a + spec.reservoir.length * along
        form = rod("shock_reservoir", point(a), point(b), spec.reservoir.diameter / 2, on_start)
        yield body("shock_reservoir", "#3a3d42", (), form)


def _eye(name: str, at: Vector, radius: float, width: float, mount: Mount) -> Form:
    half = np.array([0.0, width / 2, 0.0])
    return rod(name, point(at - half), point(at + half), radius, mount)
