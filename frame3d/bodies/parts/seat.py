"""Outlines of seatpost and saddle, at full height and at full drop."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from frame3d.bodies.body import PRACTICE, Absent, Body
from frame3d.bodies.forms import rod, slab
from frame3d.bodies.placement import Placement
from frame3d.errors import SpecError
from frame3d.geometry.vector import Vector, point
from frame3d.parameters.models.mating import SaddleSpec
from frame3d.rider.contacts import saddle_height_of
from frame3d.tubes.post_depth import RAILS, exposure, insertion

ROUNDING = 15.0


def insertion_of(place: Placement) -> float | None:
    """Return how deep the seatpost goes into the seat tube [mm]; None where the file does not say.

    Raises:
        SpecError: a post too short to reach the seat tube.
    """
    bike = place.bike
    depth = insertion(bike.spec, bike.nodes)
    if depth is not None and depth <= 0:
        out = exposure(bike.spec, bike.nodes)
        raise SpecError(
            bike.spec.fault(
                "inconsistent",
                "build.seatpost.length",
                f"ends {-depth:.0f} mm above the seat tube",
                f"more than {out:.0f} mm for this saddle height",
            )
        )
    return depth


def seat(place: Placement) -> Iterator[Body | Absent]:
    """Yield seatpost, saddle, and saddle at full drop."""
    height = saddle_height_of(place.bike.spec)
    yield _post(place)
    spec = place.build.saddle
    if spec is None or height is None:
        there = (("build.saddle", spec is not None), ("build.seatpost.saddle_height", bool(height)))
        yield Absent("saddle", " and ".join(key for key, given in there if not given))
        return
    top = place.node("saddle")
    yield _saddle(spec, "saddle", top)
    post = place.build.seatpost
    travel = 0.0 if post is None else post.travel
    if travel > 0:
        yield _saddle(spec, "saddle_dropped", top - travel * place.seat_up, drawn=False)


def _post(place: Placement) -> Body | Absent:
    name, post, depth = "seatpost", place.build.seatpost, insertion_of(place)
    if post is None or post.diameter is None or depth is None:
        given = post is not None and post.diameter is not None
        return Absent(name, f"build.seatpost.{'insertion' if given else 'diameter'}")
    top = place.node("seat_tube_top")
    out = exposure(place.bike.spec, place.bike.nodes)
    high = 0.0 if out is None else max(out, 0.0)
    a, b = top - depth * place.seat_up, top + high * place.seat_up
    form = rod(name, point(a), point(b), post.diameter / 2)
    seat_tube = [t.name for t in place.bike.tubes if t.key == "seat_tube"]
    joined = [t.name for t in place.bike.tubes if {t.start.target, t.end.target} & set(seat_tube)]
    return Body(
        name=name,
        part="build.seatpost",
        family="seat",
        shapes=form.shapes,
        tubes=form.tubes,
        colour="#2f3237",
        touches=(*seat_tube, *joined),
        note=f"saddle's top {RAILS:g} mm above the rails: {PRACTICE}" if post.length else "",
    )


def _saddle(spec: SaddleSpec, name: str, top: Vector, drawn: bool = True) -> Body:
    centre = top + np.array([spec.forward, 0.0, -spec.height / 2])
    rounding = min(ROUNDING, spec.height / 2, spec.width / 2)
    size = (spec.length, spec.width, spec.height)
    form = slab(name, point(centre), size, rounding, edges=True)
    return Body(
        name=name,
        part="build.saddle",
        family="seat",
        shapes=form.shapes,
        tubes=form.tubes,
        colour="#24262a",
        drawn=drawn,
        note=f"saddle's sizes: {PRACTICE}, where the file does not give them",
    )
