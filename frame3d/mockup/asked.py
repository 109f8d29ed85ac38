"""Asked: the command line's texts, held against the bike: what goes with the frame, and the scale."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any, TypeVar

from frame3d.bodies.pose import Pose
from frame3d.errors import Fault, MockupError, Place
from frame3d.geometry.layout import Layout
from frame3d.geometry.rider import saddle_height_of
from frame3d.mockup.options import (
    DEFAULT_SCALE,
    KITS,
    Options,
    bed_of,
    kits_of,
    scale_of,
)

T = TypeVar("T")


def asked(
    layout: Layout,
    *,
    scale: str | None = None,
    length: float | None = None,
    bed: str,
    kits: str | None = None,
    pose: Pose | None = None,
    **others: Any,
) -> Options:
    """Options from texts.

    Args:
        layout: the solved bike.
        scale: e.g. ``1:6``.
        length: overall length of what is printed, without the stand, instead of a scale [mm].
        bed: e.g. ``220x220x250``.
        kits: e.g. ``wheels,fork``; everything that the file gives if left out.
        pose: where suspension and fork stand.
        others: fields of `Options`.

    Raises:
        MockupError: with every fault.
    """
    faults: list[Fault] = []
    if scale is not None and length is not None:
        faults.append(
            Fault("inconsistent", "", "--scale and --length both say how large", "keep one of the two",
                  Place("--length"))
        )  # fmt: skip
    found_scale = _tried(faults, lambda: scale_of(DEFAULT_SCALE if scale is None else scale))
    found_bed = _tried(faults, lambda: bed_of(bed))
    wanted = _tried(faults, lambda: kits_of(kits))
    if not layout.tubes:
        faults.append(
            layout.spec.fault(
                "missing-key",
                "tubes",
                "the file describes no tubes, so there is nothing to print",
                "add tubes, or see `frame3d new` for a complete example",
            )
        )
    needs = {kit: list(_needs(layout, kit)) for kit in KITS}
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
        options = _sized(layout, options, length, pose)
    _large_enough(layout, options)
    return options


def pose_of(layout: Layout, text: str | None) -> Pose:
    """Where suspension, fork and cranks stand; the model steers by hand.

    Raises:
        SpecError: a motion that is none.
        MockupError: a motion that the model leaves to the hand.
    """
    from frame3d.bodies.at import pose_at

    if text is None:
        return Pose()
    pose = pose_at(layout, text)
    if pose.steer != 0 or pose.heel != 0:
        raise MockupError(
            Fault(
                "override",
                "",
                "the model is printed with its bar straight, and steers by hand",
                "write rear, fork or crank, e.g. --at rear=sag,fork=sag,crank=30",
                Place(f"--at {text}"),
            )
        )
    return pose


def _needs(layout: Layout, kit: str) -> Iterable[Fault]:
    """What a kit asks of the file and does not find."""
    build = layout.spec.build
    if kit == "wheels":
        for end, wheel in (("front", build.front_wheel), ("rear", build.rear_wheel)):
            for key in ("tyre", "hub"):
                if wheel is None or getattr(wheel, key) is None:
                    yield _missing(layout, kit, f"build.{end}_wheel.{key}")
        if not layout.dropouts:
            yield _missing(layout, kit, "build.rear_wheel.hub")
    elif kit == "fork":
        if not any(tube.key == "head_tube" for tube in layout.tubes):
            yield _missing(layout, kit, "tubes.head_tube")
    elif kit == "cranks":
        if build.crank is None or build.crank.q_factor is None:
            yield _missing(layout, kit, "build.crank.q_factor")
        if layout.shell is None:
            yield _missing(layout, kit, "build.bottom_bracket")
    elif kit == "cockpit":
        if build.stem is None:
            yield _missing(layout, kit, "build.stem")
        if build.handlebar is None or build.handlebar.width is None:
            yield _missing(layout, kit, "build.handlebar.width")
    else:
        if saddle_height_of(layout.spec) is None:
            yield _missing(layout, kit, "build.seatpost.saddle_height")
        if not any(tube.key == "seat_tube" for tube in layout.tubes):
            yield _missing(layout, kit, "tubes.seat_tube")


def _missing(layout: Layout, kit: str, path: str) -> Fault:
    return layout.spec.fault(
        "missing-key",
        path,
        f"missing: {kit} cannot be printed without it",
        f"give it, or leave {kit} out of --with",
    )


def _sized(layout: Layout, options: Options, length: float, pose: Pose | None) -> Options:
    """Options with the scale that gives an overall length.

    Thickened parts do not grow with the scale, so it is found step by step.

    Raises:
        MockupError: no scale that leaves something to print does, up to 1:1.
    """
    from frame3d.mockup.drawing import Drawing
    from frame3d.mockup.model import bike

    scale, least = options.scale, max(0.01, options.rod / _thickest(layout))
    for _ in range(6):
        made = bike(Drawing(layout, replace(options, scale=scale), pose or Pose()))
        reach = float(made.envelope[1, 0] - made.envelope[0, 0])
        better = scale * length / reach
        if not least <= better <= 1:
            raise MockupError(
                Fault(
                    "out-of-range", "", f"{length:g} mm makes a scale of {better:.4g}",
                    f"this bike can be from {least * reach / scale:.0f} to {reach / scale:.0f} mm long",
                    Place(f"--length {length:g}"),
                )
            )  # fmt: skip
        if abs(better - scale) < 1e-7 * scale:
            break
        scale = better
    return replace(options, scale=scale)


def _large_enough(layout: Layout, options: Options) -> None:
    """Refuse a scale that thickens even the thickest tube: nothing of the proportions would be left.

    Raises:
        MockupError: it does.
    """
    thickest = _thickest(layout)
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
                Place(f"--scale {options.ratio}"),
            )
        )


def _thickest(layout: Layout) -> float:
    """Greatest size across of any tube [mm]."""
    return max(max(*tube.section.height, *tube.section.width) for tube in layout.tubes)


def _tried(faults: list[Fault], read: Callable[[], T]) -> T | None:
    try:
        return read()
    except MockupError as problem:
        faults += problem.faults
        return None
