"""Exchange parts on a built frame.

The frame keeps its shape and pitches about the bottom bracket until both wheels stand on the ground.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from frame3d.chart.diagnosis import all_variables, start_values
from frame3d.chart.givens import (
    Given,
    fork_givens,
    givens,
    part_givens,
    relations_for,
    wheel_givens,
)
from frame3d.chart.newton import plan, run
from frame3d.chart.relations import Relation
from frame3d.chart.rigid_relations import RigidFrame, rigid_relations
from frame3d.chart.solve import Solved, impossible
from frame3d.chart.top_tube_relations import JOINTS
from frame3d.errors import GeometryError, SpecError
from frame3d.parameters.models.figures import STANDOVERS
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.models.parts import BuildSpec, WheelSpec

PARTS = (
    "cup_angle",
    "lower_headset_stack",
    "fork_axle_to_crown",
    "fork_offset",
    "front_wheel_radius",
    "rear_wheel_radius",
)
"""Variables of parts that can be exchanged without changing the frame."""
FIXED = ("head_tube_length", "seat_tube_offset", "seat_tube_length", "saddle_height")
"""Variables of the frame, and of the seatpost in it, that do not change with pitch."""

SLIDE = "build.dropout.slide.at"
"""Path of how far back the axle stands in sliding dropouts."""
INSERT = "build.bottom_bracket.eccentric.angle"
"""Path of the angle of an eccentric insert in the bottom bracket's shell."""

_GROUPS: dict[str, tuple[str, ...]] = {
    "build.fork": ("fork_axle_to_crown", "fork_offset"),
    "build.headset": ("lower_headset_stack", "cup_angle"),
    "build.front_wheel": ("front_wheel_radius",),
    "build.rear_wheel": ("rear_wheel_radius",),
    "build.seatpost": ("saddle_height",),
    "geometry.fork_axle_to_crown": ("fork_axle_to_crown",),
    "geometry.fork_offset": ("fork_offset",),
    "geometry.lower_headset_stack": ("lower_headset_stack",),
    "geometry.front_wheel_radius": ("front_wheel_radius",),
    "geometry.rear_wheel_radius": ("rear_wheel_radius",),
}
"""Path in the file (or its parent) -> the part variables that it determines."""
_PARTS = (
    *(
        f"build.{name}"
        for name in BuildSpec.model_fields
        if name not in ("bottom_bracket", "dropout")
    ),
    *(f"suspension.{name}" for name in ("spring", "sag", "sag_of")),
    SLIDE,
    INSERT,
)
"""Paths of parts' values, whether or not they determine a variable."""
_POINTS = "suspension.points."
"""What paths of exchanged points of the rear suspension begin with."""


@dataclass(frozen=True)
class Pitched:
    """A built frame standing on other parts."""

    relations: tuple[Relation, ...]
    values: Mapping[str, float]
    """All variables in mm or radians, with ``pitch``, nose up positive."""
    parts: Mapping[str, float]
    """The part variables for which it was solved."""


def rigid_frame(solved: Mapping[str, float]) -> RigidFrame:
    """Return the built frame of a solved bike."""
    return RigidFrame(
        reach=solved["reach"],
        stack=solved["stack"],
        tube_angle=solved["head_tube_angle"] - solved["cup_angle"],
        seat_angle=solved["actual_seat_tube_angle"],
        rear_axle_setback=solved["rear_axle_setback"],
        bb_drop=solved["bb_drop"],
    )


def pitch(
    solved: Solved,
    parts: Mapping[str, float],
    rear_axle: tuple[float, float] | None = None,
    relations: Sequence[Relation] | None = None,
    shift: tuple[float, float] = (0.0, 0.0),
) -> Pitched | None:
    """Solve how the frame of `solved` stands on other parts.

    Args:
        solved: the bike as designed.
        parts: part variables (see `PARTS`) that differ from it, in mm or radians.
        rear_axle: (x, z) of the rear axle in the frame's drawn axes [mm], if the suspension moved
            it or it slid in its dropouts.
        relations: of the chart with those parts, if other than those of `solved`.
        shift: (x, z) by which the frame stands elsewhere about the bottom bracket, in its drawn axes,
            because an eccentric insert was turned [mm].

    Returns:
        the pitched bike; None where the wheels cannot both reach the ground.
    """
    frame = rigid_frame(solved.values)
    if rear_axle is not None:
        frame = replace(frame, rear_axle_setback=-rear_axle[0], bb_drop=rear_axle[1])
    moved = dict(solved.values)
    if shift != (0.0, 0.0):
        frame, moved = frame.shifted(*shift), _shifted(moved, *shift)
    chart = solved.relations if relations is None else relations
    relations = (*chart, *rigid_relations(frame))
    settled = {name: moved[name] for name in (*PARTS, *FIXED) if name in moved}
    settled |= parts
    names = all_variables(relations)
    values = start_values(names)
    for name, value in moved.items():
        if name in values:
            values[name] = np.array(value)
    values["pitch"] = np.zeros(())
    for name, value in settled.items():
        values[name] = np.array(value)
    # The top tube's joints do not move on a built frame, so their relations hold anyway.
    keep, known = _without_settled(relations, frozenset(settled))
    if not run(plan(keep, known), values, 1).all():
        return None
    out = {name: float(values[name]) for name in names}
    return Pitched(tuple(keep), out, {name: out[name] for name in PARTS})


def _shifted(values: Mapping[str, float], x: float, z: float) -> dict[str, float]:
    """Return the variables of a frame that is shifted against the bottom bracket [mm, radians].

    The foot of the bottom bracket on the seat tube's axis moves along it by the shift's part up the
    tube, u = (-cos B, sin B), and its distance from there by the part forward of it, (sin B, cos B).
    """
    out = dict(values)
    angle = values["actual_seat_tube_angle"]
    up = -x * np.cos(angle) + z * np.sin(angle)
    for name in ("seat_tube_length", JOINTS[0]):
        if name in out:
            out[name] += float(up)
    out["seat_tube_offset"] += float(x * np.sin(angle) + z * np.cos(angle))
    return out


def _without_settled(
    relations: Sequence[Relation], known: frozenset[str]
) -> tuple[list[Relation], frozenset[str]]:
    """Leave out relations that a built frame satisfies anyway: chainstay length, top tube's joints."""
    rigid = set(JOINTS)
    keep = [
        r for r in relations if not (rigid & set(r.partials)) or set(STANDOVERS) & set(r.partials)
    ]
    names = {v for r in relations for v in r.partials}
    return keep, known | (rigid & names)


def exchanged(before: FrameSpec, after: FrameSpec, paths: Sequence[str]) -> dict[str, float]:
    """Return the part variables that change when the values at `paths` are exchanged, with new values.

    Args:
        before: the file without the exchange.
        after: the file with the exchanged values.
        paths: dotted paths of the exchanged values.

    Raises:
        SpecError: a path is not a part that can be exchanged on a built frame.
    """
    out: dict[str, float] = {}
    faults = []
    for path in paths:
        if not _is_exchangeable(before, after, path):
            faults.append(
                after.fault(
                    "override",
                    path,
                    "is no part that can be exchanged on a built frame",
                    "exchange a value of build, of suspension.spring, suspension.sag, "
                    f"suspension.shock (not its ends) or suspension.points, {SLIDE}, {INSERT}, or one "
                    "of "
                    + ", ".join(g for g in _GROUPS if g.startswith("geometry."))
                    + "; to change the frame itself use --set",
                )
            )
            continue
        group = next((g for g in _GROUPS if path == g or path.startswith(f"{g}.")), None)
        if group is None:
            continue
        wheel = getattr(after.build, group.removeprefix("build."), None)
        measured = isinstance(wheel, WheelSpec) and wheel.radius is not None
        if measured and path.startswith(f"{group}.tyre") and f"{group}.radius" not in paths:
            faults.append(
                after.fault(
                    "override",
                    path,
                    f"changes nothing: the measured {group}.radius counts before the tyre",
                    f"exchange {group}.radius instead",
                )
            )
            continue
        out |= _settle(group, path, after)
    if faults:
        raise SpecError(faults)
    return out


def _is_exchangeable(before: FrameSpec, after: FrameSpec, path: str) -> bool:
    """Return whether the value at a path is one of a part, or a point of the rear suspension."""
    if path.startswith(_POINTS):
        return True
    if path == "suspension.shock" or path.startswith("suspension.shock."):
        ends = [
            None
            if spec.suspension is None
            else (spec.suspension.shock.start, spec.suspension.shock.end)
            for spec in (before, after)
        ]
        return ends[0] == ends[1]
    return any(path == part or path.startswith(f"{part}.") for part in (*_PARTS, *_GROUPS))


def _settle(group: str, path: str, spec: FrameSpec) -> dict[str, float]:
    """Return the part variables of one group, as the changed file states them."""
    if group.startswith("geometry."):
        stated = [g for g in givens(spec) if g.path == path]
    elif group == "build.fork" and spec.build.fork is not None:
        stated = fork_givens(spec.build.fork)
    elif group == "build.seatpost":
        stated = [g for g in part_givens(spec) if g.variable == "saddle_height"]
    elif group == "build.headset":
        headset = spec.build.headset
        stated = [g for g in part_givens(spec) if g.path.startswith("build.headset.")]
        if headset is not None and headset.angle == 0:
            stated.append(Given("cup_angle", 0.0, "build.headset.angle"))
    else:
        where = group.removeprefix("build.")
        wheel = getattr(spec.build, where)
        stated = [] if wheel is None else wheel_givens(where, wheel)
    return {g.variable: g.value for g in stated}


def along_axis(parts: Mapping[str, float], solved: Solved) -> dict[str, float]:
    """Return the parts with a straight fork length converted to one along the steering axis.

    length = √(straight² - offset²), with the new offset where that changes too. A fork given by its
    straight length keeps it where only the offset changes.

    Raises:
        ValueError: the straight length is not longer than the offset.
    """
    out = dict(parts)
    straight = out.pop("fork_length_straight", None)
    measured = any(g.variable == "fork_length_straight" for g in solved.basis)
    if straight is None and measured and "fork_offset" in out and "fork_axle_to_crown" not in out:
        straight = solved.values["fork_length_straight"]
    if straight is not None:
        offset = out.get("fork_offset", solved.values["fork_offset"])
        if straight <= abs(offset):
            raise ValueError("a fork must be longer than its offset")
        out["fork_axle_to_crown"] = float(np.sqrt(straight**2 - offset**2))
    return out


def swap(
    solved: Solved,
    before: FrameSpec,
    after: FrameSpec,
    paths: Sequence[str],
    rear_axle: tuple[float, float] | None = None,
    shift: tuple[float, float] = (0.0, 0.0),
) -> Pitched:
    """Return the built frame with parts exchanged.

    Args:
        solved: the bike as designed.
        before: the file without the exchange.
        after: the file with the exchanged values.
        paths: dotted paths of the exchanged values; faults name the first.
        rear_axle: (x, z) of the rear axle in the frame's designed axes [mm], if exchanged points or
            another shock moved it, or it slid in its dropouts.
        shift: as `pitch`.

    Raises:
        SpecError: a path is not an exchangeable part.
        GeometryError: the wheels cannot both reach the ground, or the result is not a possible bicycle.
    """
    parts = exchanged(before, after, paths)
    try:
        parts = along_axis(parts, solved)
    except ValueError as error:
        raise GeometryError(after.fault("impossible", "build.fork", str(error))) from None
    out = pitch(solved, parts, rear_axle, relations_for(after), shift)
    if out is None:
        raise GeometryError(
            after.fault(
                "impossible",
                paths[0],
                "with this part no pitch sets both wheels of the built frame on the ground",
                "check the exchanged value",
            )
        )
    faults = impossible(after, out.values)
    if faults:
        raise GeometryError(
            after.fault(
                "impossible",
                paths[0],
                f"on the built frame: {f.path.removeprefix('geometry.')}: {f.message}",
                "check the exchanged value",
            )
            for f in faults
        )
    return out


def sagged_parts(spec: FrameSpec, solved: Solved) -> dict[str, float] | None:
    """Return the part variables under the rider's weight: the fork is shorter by its sag.

    None where nothing is sprung.
    """
    fork = spec.build.fork
    if fork is None or fork.travel * fork.sag == 0:
        return None
    return {"fork_axle_to_crown": solved.values["fork_axle_to_crown"] - fork.travel * fork.sag}
