"""At: a pose as the command line states it, e.g. ``fork=60%,steer=25``."""

from __future__ import annotations

import math
from difflib import get_close_matches

from frame3d.bodies.pose import Pose
from frame3d.errors import Fault, Place, SpecError
from frame3d.spec.models import FrameSpec

_LIMITS = {"steer": 180.0, "crank": 360.0, "heel": 45.0}
"""Largest angle to either side [degrees]."""
_NAMES = ("rear", "fork", *_LIMITS)


def pose_at(spec: FrameSpec, text: str) -> Pose:
    """A pose from its parts, separated by commas; those left out stand as drawn.

    ``fork=60%`` of its travel, ``fork=80`` in mm, ``fork=sag`` as `build.fork.sag` says; ``rear`` alike;
    ``steer``, ``crank`` and ``heel`` in degrees.

    Raises:
        SpecError: with every part that cannot be taken.
    """
    place = Place(f"--at {text}")
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
            found[name] = _value(spec, name, value)
        except ValueError as problem:
            faults.append(Fault("override", "", f"{name}={value}: {problem}", "", place))
    if faults:
        raise SpecError(faults)
    return Pose(**found)


def _value(spec: FrameSpec, name: str, text: str) -> float:
    if name in _LIMITS:
        value = _number(text.removesuffix("°"))
        if abs(value) > _LIMITS[name]:
            raise ValueError(f"may be from -{_LIMITS[name]:g} to {_LIMITS[name]:g} degrees")
        return value
    fork = spec.build.fork
    travel = 0.0 if fork is None or name == "rear" else fork.travel
    if text == "sag":
        return 0.0 if fork is None or name == "rear" else travel * fork.sag
    share = text.endswith("%")
    value = _number(text.removesuffix("%").removesuffix("mm"))
    if share:
        value *= travel / 100
        if not 0 <= _number(text.removesuffix("%")) <= 100:
            raise ValueError("may be from 0% to 100% of the travel")
    if name == "rear" and value != 0:
        if spec.suspension is not None:
            raise ValueError("this version poses the rear suspension at full extension only")
        raise ValueError("this frame has no rear suspension; leave rear out")
    if not 0 <= value <= travel:
        raise ValueError(f"may be from 0 to {travel:g} mm, this fork's travel")
    return value


def _number(text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        raise ValueError("is no number") from None
    if not math.isfinite(value):
        raise ValueError("is no finite number")
    return value
