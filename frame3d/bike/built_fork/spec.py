"""A built fork's tubes and plates as the file of a frame would say them, in its own axes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
from pydantic import ValidationError

from frame3d.bike.built_fork.layout import (
    SEGMENT_OD,
    SEGMENT_WALL,
    ForkLayout,
    hub_of,
    steerer_od,
    tang_half,
    top_size,
)
from frame3d.errors import TubeError
from frame3d.geometry.centreline import BendError, Centreline
from frame3d.geometry.vector import Vector, point, unit
from frame3d.parameters.models.flat_parts.plates import PathSpec
from frame3d.parameters.models.forks.built import BuiltForkSpec, PostMountSpec
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.models.junctions import JunctionSpec
from frame3d.parameters.models.parts import BuildSpec
from frame3d.parameters.models.profiles import StationsSpec
from frame3d.parameters.models.tubes import BendSpec, BoreSpec, TubeSpec
from frame3d.tubes.hardware import FORK_DROPOUT, RACE_SEAT, STEERER

ROTOR_INSET = 9.6
"""From the dropout's inner face to the front rotor's middle, where the file does not say [mm]; as the
wheel's own (`bodies.parts.wheel`)."""
SHOULDER_OVER = 6.0
BEND = 3.0
"""Bend radius at the shoulder in blade diameters, where the file does not say."""
POST_ROOM = 4.0
"""Between the dropout's tang and the lower brake post [mm]; common practice, no source."""


def fork_spec(spec: FrameSpec, built: BuiltForkSpec, layout: ForkLayout) -> FrameSpec:
    """Return the fork's own tubes and plates as the file of a frame would say them.

    Raises:
        TubeError: a value that no tube can have.
    """
    try:
        tubes = dict(_tubes(spec, built, layout))
        plates = {FORK_DROPOUT: _dropout(spec, built, layout)}
    except BendError as error:
        bend = built.blades.bend is not None and error.bend == (built.crown.kind == "unicrown")
        raise TubeError(
            spec.fault(
                "bend",
                f"build.fork.built.{'blades.bend' if bend else 'blades'}",
                str(error),
                "a smaller radius, or move the corner",
            )
        ) from None
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        where = ".".join(map(str, first["loc"]))
        raise TubeError(
            spec.fault(
                "section",
                "build.fork.built",
                f"the fork cannot be laid out with these sizes: {where}: {first['msg']}",
                "sizes of crown and blades that lead from the crown race to the axle",
            )
        ) from None
    assert spec.build.fork is not None
    return spec.model_copy(
        update={
            "name": f"{spec.name}, fork",
            "material": spec.material if built.material is None else built.material,
            "colour": spec.colour if built.colour is None else built.colour,
            "build": BuildSpec.model_construct(fork=spec.build.fork),
            "tubes": tubes,
            "plates": plates,
            "suspension": None,
            "bench": None,
        }
    )


def _tubes(
    spec: FrameSpec, built: BuiltForkSpec, layout: ForkLayout
) -> Iterator[tuple[str, TubeSpec]]:
    """Yield the fork's tubes by name, whatever a tube sits on before it."""
    steerer, crown, blades = built.steerer, built.crown, built.blades
    yield (
        STEERER,
        _tube(
            start=_end(at=(layout.below, 0.0, 0.0)),
            end=_end(at=(-layout.steerer, 0.0, 0.0)),
            od=steerer.od,
            wall=steerer.wall,
            material=steerer.material,
        ),
    )
    ring = steerer.race_seat
    if layout.seat > steerer_od(built) + 0.2:
        shoulder = layout.seat + SHOULDER_OVER if ring.shoulder is None else ring.shoulder
        step = ring.shoulder_height
        yield (
            RACE_SEAT,
            _tube(
                start=_end(at=(step, 0.0, 0.0)),
                end=_end(at=(-ring.height, 0.0, 0.0)),
                od=StationsSpec(
                    stations=(
                        (0.0, float(shoulder)),
                        (step - 0.1, float(shoulder)),
                        (step, float(layout.seat)),
                        (step + ring.height, float(layout.seat)),
                    )
                ),
                wall=BoreSpec(bore=steerer_od(built)),
                material=steerer.material,
            ),
        )
    on_steerer = _end(on=STEERER, from_start=layout.below - layout.join)
    corners: list[tuple[Vector, float]] = []
    if crown.kind == "unicrown":
        start, begin = on_steerer, np.array([layout.join, 0.0, 0.0])
        radius = BEND * top_size(built) if crown.radius is None else crown.radius
        corners.append((layout.top, radius))
    else:
        begin = layout.top
        slope = (layout.top[0] - layout.join) / layout.top[1]
        beyond = top_size(built) / 2 if crown.beyond is None else crown.beyond
        start = _end(on="fork_segment", from_end=beyond * math.hypot(1.0, slope))
        tip = layout.top + beyond * np.array([slope, 1.0, 0.0])
        yield (
            "fork_segment",
            _tube(
                pair=True,
                start=on_steerer,
                end=_end(at=point(tip)),
                od=SEGMENT_OD if crown.od is None else crown.od,
                wall=SEGMENT_WALL if crown.wall is None else crown.wall,
                material=crown.material,
            ),
        )
    if layout.bend is not None:
        assert blades.bend is not None
        corners.append((layout.bend, blades.bend.radius))
    end = _end(
        on="front_axle",
        y=float(layout.foot[1]),
        above=float(layout.foot[2] - layout.axle[2]),
        stop_short=blades.stop_short,
    )
    yield (
        "fork_blade",
        _tube(
            pair=True,
            start=start,
            end=end,
            bends=tuple(_as_bends(begin, layout.foot, corners)),
            od=blades.od,
            wall=blades.wall,
            material=blades.material,
        ),
    )
    if built.brake is not None:
        places = [begin, *(corner for corner, _ in corners), layout.foot]
        axis = Centreline.through(tuple(map(point, places)), tuple(radius for _, radius in corners))
        yield from _posts(spec, built.brake, blades.stop_short + built.dropout.tang, layout, axis)


def _as_bends(
    begin: Vector, end: Vector, corners: Sequence[tuple[Vector, float]]
) -> Iterator[BendSpec]:
    """Yield corners (3,) with their radii as bends of a tube from `begin` to `end`.

    The inverse of `tubes.placing.junctions.corners`, for tubes that run along x.
    """
    along = unit(end - begin)
    up = unit(np.array([0.0, 0.0, 1.0]) - along[2] * along)
    ways = np.array([[along[0], up[0]], [along[2], up[2]]])
    for corner, radius in corners:
        a, rise = np.linalg.solve(ways, (corner - begin)[[0, 2]])
        yield BendSpec(along=float(a), y=float(corner[1]), rise=float(rise), radius=float(radius))


def _posts(
    spec: FrameSpec, brake: PostMountSpec, taken: float, layout: ForkLayout, axis: Centreline
) -> Iterator[tuple[str, TubeSpec]]:
    """Yield the brake's posts behind the left blade, side by side and square to its lower end.

    Args:
        spec: the file.
        brake: what it says of them.
        taken: how much of the blade, from the axle on, the dropout takes [mm].
        layout: of the fork.
        axis: of the left blade.
    """
    wheel = spec.build.front_wheel
    inset = None if wheel is None else wheel.rotor_inset
    rotor = hub_of(spec).width / 2 - (ROTOR_INSET if inset is None else inset)
    way = -axis.tangent(axis.length)
    up = unit(np.array([way[0], 0.0, way[2]]))
    back = np.array([up[2], 0.0, -up[0]])
    back = -back if back[2] > 0 else back
    middle = brake.above_axle
    if middle is None:
        middle = taken + brake.diameter / 2 + POST_ROOM + brake.spacing / 2
    s = np.linspace(0.0, axis.length, 4001)
    along = (axis.points(s) - layout.foot) @ up
    for name, shift in (("upper", brake.spacing / 2), ("lower", -brake.spacing / 2)):
        rise = middle + shift
        at = float(np.interp(rise, along[::-1], s[::-1]))
        y = float(layout.foot[1]) if brake.outward is None else rotor + brake.outward
        face = layout.foot + rise * up + brake.stand * back
        yield (
            f"fork_post_{name}",
            _tube(
                start=_end(on="fork_blade", side="left", from_start=at, y=y),
                end=_end(at=(float(face[0]), y, float(face[2]))),
                od=brake.diameter,
                wall=(brake.diameter - brake.bore) / 2,
            ),
        )


def _dropout(spec: FrameSpec, built: BuiltForkSpec, layout: ForkLayout) -> PathSpec:
    r"""Return the dropouts' plate: a round about the axle, tapering to a tang in the blade's end.

    ::

         y ^    .--.____
           |  .'    `   ````----.________      ahead of `end` it is in the blade
           | (   o   )           ________|
           |  `.    .   ____----'  end   tang
                `--'````
                -------> x, from the axle along the blade
    """
    dropout, hub = built.dropout, hub_of(spec)
    before = layout.top if layout.bend is None else layout.bend
    way = unit(before - layout.foot)
    up = np.array([way[0], way[2]])
    up /= np.linalg.norm(up)
    aside = np.array([-up[1], up[0]])
    end = layout.foot + built.blades.stop_short * way - layout.axle
    x, y = float(end[[0, 2]] @ up), float(end[[0, 2]] @ aside)
    half, radius = tang_half(built), dropout.boss / 2
    high = _tangent(radius, x, y + half, 1.0)
    low = _tangent(radius, x, y - half, -1.0)
    sweep = (low - high) % (2 * math.pi)
    bulge = math.tan(sweep / 8)
    middle = high + sweep / 2
    rim = [(radius * math.cos(a), radius * math.sin(a)) for a in (high, middle, low)]
    vertices: list[tuple[float, ...]] = [(*rim[0], bulge), (*rim[1], bulge), rim[2]]
    vertices += [(x, y - half), (x, y + half)]
    if dropout.tang > 0:
        vertices[-1:-1] = [(x + dropout.tang, y - half), (x + dropout.tang, y + half)]
    return PathSpec.model_validate(
        {
            "kind": "path",
            "thickness": dropout.thickness,
            "material": dropout.material,
            "at": "front_axle",
            "turn": math.degrees(math.atan2(up[1], up[0])),
            "y": float(layout.foot[1]),
            "pair": True,
            "path": tuple((*map(float, v),) for v in vertices),
            "holes": ({"at": (0.0, 0.0), "diameter": hub.axle, "note": "axle"},),
        }
    )


def _tangent(radius: float, x: float, y: float, side: float) -> float:
    """Return the angle on a circle about the origin where a line from (x, y) touches it [rad].

    `side` is 1 for the upper of both places, -1 for the lower one.
    """
    far = math.hypot(x, y)
    return math.atan2(y, x) + side * math.acos(min(1.0, radius / far))


def _tube(**said: object) -> TubeSpec:
    """Return a tube as a file would say it."""
    return TubeSpec.model_validate(said)


def _end(**said: object) -> JunctionSpec:
    """Return a tube's end as a file would say it."""
    return JunctionSpec.model_validate(said)
