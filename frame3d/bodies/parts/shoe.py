"""Outlines of the shoes, fore foot and heel, swinging about the pedals' axles."""

from __future__ import annotations

from collections.abc import Iterator

from frame3d.bodies.body import PRACTICE, Absent, Body
from frame3d.bodies.forms import slab
from frame3d.bodies.placement import SIDES, Placement
from frame3d.bodies.shapes import PlacedShape, Tubular
from frame3d.parameters.models.mating import ShoeSpec

FORE, HEEL = 0.60, 0.60
"""Lengths of the two blocks as fractions of the shoe's; they overlap."""


def shoe(place: Placement) -> Iterator[Body | Absent]:
    """Yield both shoes, the ball of the foot over the pedal's axle, the sole on the pedal."""
    rider, pedal, lateral = place.build.rider, place.build.pedal, place.pedal_lateral
    if rider is None or rider.shoe_length is None or pedal is None or lateral is None:
        needs = [
            key
            for key, there in (
                ("build.rider.shoe_length", rider is not None and rider.shoe_length is not None),
                ("build.pedal", pedal is not None),
                ("build.crank.q_factor", place.has_q_factor),
            )
            if not there
        ]
        yield Absent("shoe", " and ".join(needs))
        return
    spec = ShoeSpec() if place.build.shoe is None else place.build.shoe
    length = rider.shoe_length
    width = 0.36 * length if spec.width is None else spec.width
    heel = 0.27 * length if spec.heel_width is None else spec.heel_width
    toe = 0.28 * length if spec.ball is None else spec.ball
    sole = pedal.thickness / 2
    for side, sign in SIDES:
        name = f"shoe_{side}"
        mount = place.pedal_mounts(side, lateral)[1]
        blocks = (
            (toe - FORE * length / 2, FORE * length, width, spec.toe_height),
            (toe - length + HEEL * length / 2, HEEL * length, heel, spec.heel_height),
        )
        shapes: list[PlacedShape] = []
        tubes: list[Tubular] = []
        for x, long, wide, high in blocks:
            # Sides round all the way up, so that the rim is exactly a bar.
            rounding = min(high, wide) / 2
            form = slab(
                name,
                (x, sign * lateral, sole + high / 2),
                (long, wide, high),
                rounding,
                mount,
                edges=True,
            )
            shapes += form.shapes
            tubes += form.tubes
        yield Body(
            name=name,
            part="build.rider.shoe_length",
            family="crank",
            shapes=tuple(shapes),
            tubes=tuple(tubes),
            colour="#5d4a3a",
            note=f"shoe's widths, heights and ball: {PRACTICE}, where the file does not give them",
        )
