"""Outlines of bottles with their cages, along a tube."""

from __future__ import annotations

import difflib
from collections.abc import Iterator

from frame3d.bodies.body import PRACTICE, Absent, Body
from frame3d.bodies.forms import rod
from frame3d.bodies.placement import Placement
from frame3d.errors import Fault, SpecError
from frame3d.geometry.vector import pitched, point, vector
from frame3d.parameters.models.mating import BottleSpec
from frame3d.tubes.tube import Tube


def bottles(place: Placement) -> Iterator[Body | Absent]:
    """Yield every bottle, in the file's order.

    Raises:
        SpecError: a bottle on a tube that is not there, or beyond its end.
    """
    specs = place.build.bottles
    if not specs:
        yield Absent("bottle", "build.bottles")
        return
    faults: list[Fault] = []
    for i, spec in enumerate(specs):
        tube = _tube(place, spec.on)
        if tube is None:
            faults.append(_unknown(place, i, spec.on))
        elif spec.from_start + spec.length > tube.axis.length:
            faults.append(
                place.bike.spec.fault(
                    "inconsistent",
                    f"build.bottles.{i}.from_start",
                    f"the bottle ends {spec.from_start + spec.length - tube.axis.length:.0f} mm beyond "
                    f"{tube.name}, which is {tube.axis.length:.0f} mm long",
                    f"at most {max(tube.axis.length - spec.length, 0.0):.0f}, or a shorter bottle",
                )
            )
        else:
            yield _bottle(place, f"bottle_{i + 1}", i, spec, tube)
    if faults:
        raise SpecError(faults)


def _tube(place: Placement, key: str) -> Tube | None:
    return next((t for t in place.bike.tubes if key in (t.key, t.name)), None)


def _unknown(place: Placement, i: int, key: str) -> Fault:
    known = [t.name for t in place.bike.tubes]
    near = difflib.get_close_matches(key, known, n=1)
    way = f"did you mean {near[0]}? " if near else ""
    return place.bike.spec.fault(
        "junction-target",
        f"build.bottles.{i}.on",
        f"there is no tube {key!r}",
        f"{way}Tubes: {', '.join(known) if known else 'none'}",
    )


def _bottle(place: Placement, name: str, index: int, spec: BottleSpec, tube: Tube) -> Body:
    s = spec.from_start + spec.length / 2
    along = tube.axis.tangent(s)
    out = tube.axis.frame(s)[0]
    towards = {
        "top": (0.01, 0.0, 1.0),
        "bottom": (-0.01, 0.0, -1.0),
        "front": (1.0, 0.0, 0.01),
        "rear": (-1.0, 0.0, -0.01),
    }[spec.side]
    out = out if out @ vector(pitched(towards, tube.axis.pitch)) >= 0 else -out
    clear = float(tube.section.height_at(s)) / 2 + spec.standoff + spec.diameter / 2
    middle = tube.axis.at(s) + clear * out
    a, b = (point(middle + sign * spec.length / 2 * along) for sign in (-1, 1))
    form = rod(name, a, b, spec.diameter / 2)
    return Body(
        name=name,
        part=f"build.bottles.{index}",
        family=name,
        shapes=form.shapes,
        tubes=form.tubes,
        colour="#4f7fa3",
        touches=(tube.name,),
        note=f"bottle's sizes: {PRACTICE}, where the file does not give them",
    )
