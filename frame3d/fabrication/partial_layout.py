"""Solve a file without the tubes and plates that cannot be made, and report what is wrong with them."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.errors import Fault, FrameError, TubeError
from frame3d.parameters.models.flat_parts.dropouts import DropoutSpec
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.models.suspension import PointSpec
from frame3d.parameters.models.tubes import ButtedSpec, TubeSpec


def salvaged(spec: FrameSpec, error: TubeError) -> tuple[Bike, tuple[Fault, ...]]:
    """Return the bike without the tubes and plates that cannot be made, and all faults.

    A tube whose butts do not fit gets its first wall throughout. Any other faulty tube is left out, with
    the tubes that sit on it. Flat dropouts that cannot be made become plain ones.

    Args:
        spec: the file that `solve` refused.
        error: the error that `solve` raised.

    Returns:
        the bike of the remaining tubes, and the faults, those of `error` first.

    Raises:
        TubeError: `error`, where the head tube, the seat tube or a tube with a point of the suspension
            would be left out, or where the fault is neither a tube's nor a plate's.
    """
    faults = list(error.faults)
    now, found = spec, error
    for _ in range(len(spec.tubes) + len(spec.plates) + 1):
        now = _without_plates(now, found)
        of_tubes = [fault for fault in found.faults if not _is_flat(fault)]
        tubes = _without(now.tubes, of_tubes)
        if not tubes or not _needed(spec) <= tubes.keys():  # what would be left hangs on nothing
            raise error
        now = now.model_copy(update={"tubes": tubes})
        try:
            return solve(now), tuple(faults)
        except FrameError as another:
            if not isinstance(another, TubeError):
                raise error from another
            found = another
            faults += [fault for fault in another.faults if fault not in faults]
    raise error


def _needed(spec: FrameSpec) -> set[str]:
    """Return the keys of tubes without which the file cannot be solved."""
    points = spec.suspension.points.values() if spec.suspension is not None else ()
    under = {point.on for point in points if isinstance(point, PointSpec)}
    return ({"head_tube", "seat_tube"} | under) & spec.tubes.keys()


def _is_flat(fault: Fault) -> bool:
    """Return whether a fault is one of a plate or of a flat dropout."""
    return fault.path.startswith("plates.") or _is_dropout(fault)


def _is_dropout(fault: Fault) -> bool:
    return fault.path == "build.dropout" or fault.path.startswith("build.dropout.")


def _without_plates(spec: FrameSpec, error: TubeError) -> FrameSpec:
    """Return the file without its faulty plates, with plain dropouts for faulty flat ones."""
    gone = {fault.path.split(".")[1] for fault in error.faults if fault.path.startswith("plates.")}
    plates = {key: plate for key, plate in spec.plates.items() if key not in gone}
    build = spec.build
    if build.dropout is not None and any(_is_dropout(fault) for fault in error.faults):
        plain = DropoutSpec.model_validate(
            {"thickness": build.dropout.thickness, "boss": build.dropout.boss}
        )
        build = build.model_copy(update={"dropout": plain})
    return spec.model_copy(update={"plates": plates, "build": build})


def _without(tubes: Mapping[str, TubeSpec], faults: Sequence[Fault]) -> dict[str, TubeSpec] | None:
    """Return the tubes without the faulty ones; None where a fault is not a tube's."""
    kept = dict(tubes)
    gone: set[str] = set()
    for fault in faults:
        match = re.match(r"tubes\.(\w+)", fault.path)
        if match is None or match[1] not in tubes:
            return None
        key = match[1]
        wall = kept[key].wall
        if fault.code == "butt" and isinstance(wall, ButtedSpec):
            kept[key] = kept[key].model_copy(update={"wall": wall.butted[0]})
        else:
            gone.add(key)
    while True:
        leaning = {
            key
            for key, tube in kept.items()
            if key not in gone
            and any(end is not None and end.on in gone for end in (tube.start, tube.end))
        }
        if not leaning:
            return {key: tube for key, tube in kept.items() if key not in gone}
        gone |= leaning
