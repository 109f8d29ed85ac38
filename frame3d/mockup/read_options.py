"""Read the command's options and check them against the bike: kits, scale, pose."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any, TypeVar

from frame3d.bike.bike import Bike
from frame3d.bodies.motion.pose import Pose
from frame3d.errors import Fault, MockupError, SourceLocation
from frame3d.mockup.options import (
    DEFAULT_SCALE,
    KITS,
    Options,
    bed_of,
    kits_of,
    scale_of,
)
from frame3d.rider.contacts import saddle_height_of

T = TypeVar("T")


def read_options(
    bike: Bike,
    *,
    scale: str | None = None,
    length: float | None = None,
    bed: str,
    kits: str | None = None,
    pose: Pose | None = None,
    **others: Any,
) -> Options:
    """Return options from texts.

    Args:
        bike: the solved bike.
        scale: e.g. ``1:6``.
        length: overall length of what is printed, without the stand, instead of a scale [mm].
        bed: e.g. ``220x220x250``.
        kits: e.g. ``wheels,fork``; all that the file gives if None.
        pose: where suspension and fork stand.
        others: fields of `Options`.

    Raises:
        MockupError: with every fault.
    """
    faults: list[Fault] = []
    if scale is not None and length is not None:
        faults.append(
            Fault("inconsistent", "", "--scale and --length both say how large", "keep one of the two",
                  SourceLocation("--length"))
        )  # fmt: skip
    found_scale = _tried(faults, lambda: scale_of(DEFAULT_SCALE if scale is None else scale))
    found_bed = _tried(faults, lambda: bed_of(bed))
    wanted = _tried(faults, lambda: kits_of(kits))
    if not bike.tubes:
        faults.append(
            bike.spec.fault(
                "missing-key",
                "tubes",
                "the file describes no tubes, so there is nothing to print",
                "add tubes, or see `frame3d new` for a complete example",
            )
        )
    needs = {kit: list(_needs(bike, kit)) for kit in KITS}
    if wanted is not None:
        faults += [fault for kit in wanted for fault in needs[kit]]
    if faults or found_scale is None or found_bed is None:
        raise MockupError(faults)
    notes = []
    given = wanted
    if given is None:
        given = tuple(kit for kit in KITS if not needs[kit])
        if "fork" not in given:
            given = tuple(kit for kit in given if kit not in ("wheels", "cockpit"))
        notes = [
            f"no {kit}: the file does not give {', '.join(fault.path for fault in needs[kit])}"
            for kit in KITS
            if needs[kit]
        ]
    options = Options(found_scale, given, found_bed, notes=tuple(notes), **others)
    if length is not None:
        options = _sized(bike, options, length, pose)
    _large_enough(bike, options)
    return options


def pose_of(bike: Bike, text: str | None) -> Pose:
    """Return the pose of suspension, fork and cranks from text; the model steers by hand.

    Raises:
        SpecError: the text names no such motion.
        MockupError: the motion is one that the model makes by hand.
    """
    from frame3d.bodies.motion.pose_text import pose_at

    if text is None:
        return Pose()
    pose = pose_at(bike, text)
    if pose.steer != 0 or pose.heel != 0:
        raise MockupError(
            Fault(
                "override",
                "",
                "the model is printed with its bar straight, and steers by hand",
                "write rear, fork or crank, e.g. --at rear=sag,fork=sag,crank=30",
                SourceLocation(f"--at {text}"),
            )
        )
    if pose.slide != 0 or pose.insert != 0:
        raise MockupError(
            Fault(
                "override",
                "",
                "the model is printed with its chain tensioned as drawn",
                "exchange it, e.g. --swap build.dropout.slide.at=9, or "
                "--swap build.bottom_bracket.eccentric.angle=-30",
                SourceLocation(f"--at {text}"),
            )
        )
    return pose


def _needs(bike: Bike, kit: str) -> Iterable[Fault]:
    """Yield faults for values that a kit needs and the file does not give."""
    build = bike.spec.build
    keys = {tube.key for tube in bike.tubes}
    if kit == "wheels":
        yield from _wheel_needs(bike)
    lacking = {
        "fork": {"tubes.head_tube": "head_tube" not in keys},
        "cranks": {
            "build.crank.q_factor": build.crank is None or build.crank.q_factor is None,
            "build.bottom_bracket": bike.shell is None,
        },
        "cockpit": {
            "build.stem": build.stem is None,
            "build.handlebar.width": build.handlebar is None or build.handlebar.width is None,
        },
        "saddle": {
            "build.seatpost.saddle_height": saddle_height_of(bike.spec) is None,
            "tubes.seat_tube": "seat_tube" not in keys,
        },
    }
    for path, lacks in lacking.get(kit, {}).items():
        if lacks:
            yield _missing(bike, kit, path)


def _wheel_needs(bike: Bike) -> Iterable[Fault]:
    """Yield faults for values that the wheels need and the file does not give."""
    build, kit = bike.spec.build, "wheels"
    for end, wheel in (("front", build.front_wheel), ("rear", build.rear_wheel)):
        for key in ("tyre", "hub"):
            if wheel is None or getattr(wheel, key) is None:
                yield _missing(bike, kit, f"build.{end}_wheel.{key}")
    if not bike.dropouts:
        yield _missing(bike, kit, "build.rear_wheel.hub")


def _missing(bike: Bike, kit: str, path: str) -> Fault:
    return bike.spec.fault(
        "missing-key",
        path,
        f"missing: {kit} cannot be printed without it",
        f"give it, or leave {kit} out of --with",
    )


def _sized(bike: Bike, options: Options, length: float, pose: Pose | None) -> Options:
    """Return options with the scale that gives an overall length [mm].

    The scale is found by iteration, since thickened parts do not grow with it.

    Raises:
        MockupError: no scale up to 1:1 at which the frame prints gives that length.
    """
    from frame3d.mockup.drawing import Drawing
    from frame3d.mockup.model import assembled

    scale, least = options.scale, max(0.01, options.rod / _thickest(bike))
    for _ in range(6):
        made = assembled(Drawing(bike, replace(options, scale=scale), pose or Pose()))
        reach = float(made.envelope[1, 0] - made.envelope[0, 0])
        better = scale * length / reach
        if not least <= better <= 1:
            raise MockupError(
                Fault(
                    "out-of-range", "", f"{length:g} mm makes a scale of {better:.4g}",
                    f"this bike can be from {least * reach / scale:.0f} to {reach / scale:.0f} mm long",
                    SourceLocation(f"--length {length:g}"),
                )
            )  # fmt: skip
        if abs(better - scale) < 1e-7 * scale:
            break
        scale = better
    return replace(options, scale=scale)


def _large_enough(bike: Bike, options: Options) -> None:
    """Fault if even the thickest tube would be thickened at the scale, since proportions would be lost.

    Raises:
        MockupError: the scale is too small.
    """
    thickest = _thickest(bike)
    least = options.rod / thickest
    if options.scale < least:
        raise MockupError(
            Fault(
                "out-of-range",
                "",
                f"{options.ratio} leaves nothing printable: the frame's thickest tube, "
                f"{thickest:g} mm, becomes {thickest * options.scale:.2g} mm, and rods need "
                f"{options.rod:g} mm",
                f"1:{int(1 / least)} or larger",
                SourceLocation(f"--scale {options.ratio}"),
            )
        )


def _thickest(bike: Bike) -> float:
    """Return the largest outside dimension of any tube [mm]."""
    return max(max(*tube.section.height, *tube.section.width) for tube in bike.tubes)


def _tried(faults: list[Fault], read: Callable[[], T]) -> T | None:
    try:
        return read()
    except MockupError as problem:
        faults += problem.faults
        return None
