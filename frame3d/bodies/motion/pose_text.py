"""Read a pose as the command line states it, e.g. ``fork=60%,steer=25``."""

from __future__ import annotations

import math
from difflib import get_close_matches

from frame3d.bike.bike import Bike
from frame3d.bodies.motion.pose import Pose
from frame3d.bodies.motion.tensioned import slots_of
from frame3d.errors import Fault, SourceLocation, SpecError
from frame3d.parameters.models.steering import steering_of

_LIMITS = {"steer": 180.0, "crank": 360.0, "heel": 45.0}
"""Largest angle to either side [degrees]."""
_NAMES = ("rear", "fork", *_LIMITS, "slide", "insert")
_RIGID = "this frame has no rear suspension; leave rear out"


def pose_at(bike: Bike, text: str) -> Pose:
    """Return a pose from its parts, separated by commas; those left out are as drawn.

    ``fork=60%`` of its travel, ``fork=80`` in mm, ``fork=sag`` as `build.fork.sag` says; ``rear`` in
    the same way, as `suspension.sag` says; ``steer``, ``crank`` and ``heel`` in degrees. ``slide=9`` is
    the axle's place in its slots in mm and ``insert=-30`` the insert's angle in degrees, as the file
    counts them.

    Raises:
        SpecError: with every part that cannot be read.
    """
    place = SourceLocation(f"--at {text}")
    faults: list[Fault] = []
    found: dict[str, float] = {}
    for part in text.split(","):
        name, equals, value = (piece.strip() for piece in part.partition("="))
        if name not in _NAMES or not equals:
            near = get_close_matches(name, _NAMES, n=1)
            hint = f"did you mean {near[0]}? " if near else ""
            faults.append(
                Fault(
                    "override",
                    "",
                    f"{part.strip()!r} is no motion with a value",
                    f"{hint}write e.g. fork=60%,steer=25; motions: {', '.join(_NAMES)}",
                    place,
                )
            )
            continue
        try:
            found[name] = _value(bike, name, value)
        except ValueError as problem:
            faults.append(Fault("override", "", f"{name}={value}: {problem}", "", place))
    if faults:
        raise SpecError(faults)
    return Pose(**found)


def _value(bike: Bike, name: str, text: str) -> float:
    if name == "slide":
        return _slide(bike, text)
    if name == "insert":
        return _insert(bike, text)
    if name in _LIMITS:
        value = _number(text.removesuffix("°"))
        limit, why = _LIMITS[name], ""
        if name == "steer" and (steering := steering_of(bike.spec)).turns < limit:
            limit, why = steering.turns, f": the {steering.by} stops the bar there"
        if abs(value) > limit:
            raise ValueError(f"may be from -{limit:g} to {limit:g} degrees{why}")
        return value
    travel, sag = _rear(bike) if name == "rear" else _fork(bike)
    rigid = name == "rear" and bike.linkage is None
    if text == "sag":
        if rigid:
            raise ValueError(_RIGID)
        if sag is None:
            raise ValueError("the file does not say it; give suspension.sag, or the travel in mm")
        return sag
    share = text.endswith("%")
    value = _number(text.removesuffix("%").removesuffix("mm"))
    if rigid and value != 0:
        raise ValueError(_RIGID)
    if share:
        if not 0 <= value <= 100:
            raise ValueError("may be from 0% to 100% of the travel")
        return value * travel / 100
    if not 0 <= value <= travel:
        whose = "this fork's travel" if name == "fork" else "the rear travel"
        raise ValueError(f"may be from 0 to {travel:.6g} mm, {whose}")
    return value


def _slide(bike: Bike, text: str) -> float:
    """Return how far back of where it is drawn the axle slides [mm]."""
    slots, slide = slots_of(bike), bike.spec.build.slide
    if slots is None or slide is None:
        raise ValueError("this frame has no sliding dropouts; leave slide out")
    value = _number(text.removesuffix("mm"))
    if not 0 <= value <= slide.length:
        raise ValueError(f"may be from 0 to {slide.length:g} mm, the length of the slots")
    return value - slide.at


def _insert(bike: Bike, text: str) -> float:
    """Return how far the insert turns up from where it is drawn [degrees]."""
    spec = bike.spec.build.insert
    if spec is None:
        raise ValueError("this bike has no eccentric insert; leave insert out")
    value = _number(text.removesuffix("°"))
    low, high = spec.range
    if not low <= value <= high:
        raise ValueError(f"may be from {low:g} to {high:g} degrees, the insert's range")
    return value - spec.angle


def _fork(bike: Bike) -> tuple[float, float | None]:
    """Return fork travel and sag [mm]."""
    fork = bike.spec.build.fork
    return (0.0, 0.0) if fork is None else (fork.travel, fork.travel * fork.sag)


def _rear(bike: Bike) -> tuple[float, float | None]:
    """Return rear travel and sag [mm]; None where the file does not give the sag."""
    linkage, suspension = bike.linkage, bike.spec.suspension
    if linkage is None or suspension is None:
        return 0.0, 0.0
    from frame3d.bike.suspended import rear_sag

    sag = None if suspension.sag is None else rear_sag(bike.spec, linkage)
    return linkage.full_travel, sag


def _number(text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        raise ValueError("is no number") from None
    if not math.isfinite(value):
        raise ValueError("is no finite number")
    return value
