"""Outlines of crank arms, of the space that they sweep, and of pedals."""

from __future__ import annotations

from collections.abc import Iterator

from frame3d.bodies.body import PRACTICE, Absent, Body
from frame3d.bodies.forms import slab, wheel
from frame3d.bodies.placement import SIDES, Placement

ROUNDING = 4.0


def crank(place: Placement) -> Iterator[Body | Absent]:
    """Yield both arms, the disc that each sweeps in a turn, and both pedals."""
    spec = place.build.crank
    if spec is None or spec.q_factor is None:
        for name in ("crank_arm", "crank_swept"):
            yield Absent(name, "build.crank.q_factor")
    else:
        outer, end = spec.q_factor / 2, spec.boss / 2
        note = f"arm's thickness and boss: {PRACTICE}, where the file does not give them"
        for side, sign in SIDES:
            name = f"crank_arm_{side}"
            middle = (sign * spec.length / 2, sign * (outer - spec.thickness / 2), 0.0)
            size = (spec.length + spec.boss, spec.thickness, spec.boss)
            rounding = min(ROUNDING, spec.thickness / 2)
            arm = slab(name, middle, size, rounding, place.crank)
            yield Body(
                name=name,
                part="build.crank",
                family="crank",
                shapes=arm.shapes,
                tubes=arm.tubes,
                colour="#303338",
                note=note,
            )
            name = f"crank_swept_{side}"
            low, high = sorted((sign * (outer - spec.thickness), sign * outer))
            disc = wheel(name, spec.length + end, low, high, (0.0, 0.0, 0.0), place.spindle)
            yield Body(
                name=name,
                part="build.crank",
                family="crank",
                shapes=disc.shapes,
                tubes=disc.tubes,
                colour="#303338",
                drawn=False,
                note=note,
            )
    yield from _pedals(place)


def _pedals(place: Placement) -> Iterator[Body | Absent]:
    spec, lateral = place.build.pedal, place.pedal_lateral
    if spec is None or lateral is None:
        there = (("build.pedal", spec is not None), ("build.crank.q_factor", place.has_q_factor))
        yield Absent("pedal", " and ".join(key for key, given in there if not given))
        return
    rounding = min(ROUNDING, spec.thickness / 2, spec.width / 2, spec.length / 2)
    for side, sign in SIDES:
        name = f"pedal_{side}"
        mount = place.pedal_mounts(side, lateral)[0]
        form = slab(
            name,
            (0.0, sign * lateral, 0.0),
            (spec.length, spec.width, spec.thickness),
            rounding,
            mount,
            edges=True,
        )
        yield Body(
            name=name,
            part="build.pedal",
            family="crank",
            shapes=form.shapes,
            tubes=form.tubes,
            colour="#3a3d42",
            note=f"pedal's sizes: {PRACTICE}, where the file does not give them",
        )
