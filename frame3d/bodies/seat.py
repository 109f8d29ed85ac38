"""Seatpost and saddle, at full height and at full drop."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from frame3d.bodies.body import PRACTICE, Absent, Body
from frame3d.bodies.forms import rod, slab
from frame3d.bodies.place import Place
from frame3d.errors import SpecError
from frame3d.geometry.rider import saddle_height_of
from frame3d.geometry.vector import Vector, point
from frame3d.spec.mating import SaddleSpec

RAILS = 45.0
"""Saddle's top above its rails' clamp, along the seatpost [mm]; common practice, no source."""
ROUNDING = 15.0


def insertion_of(place: Place) -> float | None:
    """How deep the seatpost stands in the seat tube [mm]; None where the file does not say.

    Raises:
        SpecError: a post too short to reach the seat tube.
    """
    post = place.build.seatpost
    if post is None:
        return None
    if post.length is None:
        return post.insertion
    depth = post.length - exposed(place)
    if depth <= 0:
        raise SpecError(
            place.layout.spec.fault(
                "inconsistent",
                "build.seatpost.length",
                f"ends {-depth:.0f} mm above the seat tube",
                f"more than {exposed(place):.0f} mm for this saddle height",
            )
        )
    return depth


def exposed(place: Place) -> float:
    """Seatpost between the seat tube's top and the saddle's rails, at full height [mm]."""
    way = place.node("saddle") - place.node("seat_tube_top")
    return float(way @ place.seat_up) - RAILS


def seat(place: Place) -> Iterator[Body | Absent]:
    """Seatpost, saddle, saddle at full drop."""
    height = saddle_height_of(place.layout.spec)
    yield _post(place, height is not None)
    spec = place.build.saddle
    if spec is None or height is None:
        yield Absent("saddle", "build.saddle" if spec is None else "build.seatpost.saddle_height")
        return
    top = place.node("saddle")
    yield _saddle(spec, "saddle", top)
    travel = _travel(place)
    if travel > 0:
        yield _saddle(spec, "saddle_dropped", top - travel * place.seat_up, drawn=False)


def _travel(place: Place) -> float:
    """Of the dropper post [mm].

    Raises:
        SpecError: it would take the saddle's rails below the seat tube's top.
    """
    post = place.build.seatpost
    travel = 0.0 if post is None else post.travel
    if travel > max(exposed(place), 0.0):
        raise SpecError(
            place.layout.spec.fault(
                "inconsistent",
                "build.seatpost.travel",
                f"more than the {max(exposed(place), 0.0):.0f} mm of post between seat tube and saddle",
                "less travel, a shorter seat tube (geometry.seat_tube_length), or a higher saddle",
            )
        )
    return travel


def _post(place: Place, saddled: bool) -> Body | Absent:
    name, post, depth = "seatpost", place.build.seatpost, insertion_of(place)
    if post is None or post.diameter is None or depth is None:
        given = post is not None and post.diameter is not None
        return Absent(name, f"build.seatpost.{'insertion' if given else 'diameter'}")
    top = place.node("seat_tube_top")
    high = max(exposed(place), 0.0) if saddled else 0.0
    a, b = top - depth * place.seat_up, top + high * place.seat_up
    form = rod(name, point(a), point(b), post.diameter / 2)
    seat_tube = [t.name for t in place.layout.tubes if t.key == "seat_tube"]
    joined = [t.name for t in place.layout.tubes if {t.start.target, t.end.target} & set(seat_tube)]
    return Body(
        name, "build.seatpost", "seat", form.shapes, form.tubes, "#2f3237",
        touches=(*seat_tube, *joined),
        note=f"saddle's top {RAILS:g} mm above the rails: {PRACTICE}" if post.length else "",
    )  # fmt: skip


def _saddle(spec: SaddleSpec, name: str, top: Vector, drawn: bool = True) -> Body:
    centre = top + np.array([spec.forward, 0.0, -spec.height / 2])
    rounding = min(ROUNDING, spec.height / 2, spec.width / 2)
    form = slab(name, point(centre), (spec.length, spec.width, spec.height), rounding)
    return Body(
        name, "build.saddle", "seat", form.shapes, form.tubes, "#24262a", drawn,
        note=f"saddle's sizes: {PRACTICE}, where the file does not give them",
    )  # fmt: skip
