"""Place the features of every tube; what cannot stand where the file says is left out with a warning."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np

from frame3d.errors import Note
from frame3d.geometry.vector import Point, pitched, vector
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.models.junctions import Side
from frame3d.parameters.models.mating import BottleSpec
from frame3d.parameters.models.tube_features.feature import FeatureSpec
from frame3d.parameters.models.tube_features.kinds import BRAKE_MOUNTS
from frame3d.tubes.cuts.overlap import Envelope
from frame3d.tubes.features.brake_mount import NoPlaceError, mount_on
from frame3d.tubes.features.collar import collar_in
from frame3d.tubes.features.extent import wrong_with
from frame3d.tubes.features.feature import Feature
from frame3d.tubes.features.near import bosses_apart, overlapping, warnings_of
from frame3d.tubes.features.stand import spot
from frame3d.tubes.tube import Tube

SAME = 10.0
"""Bosses nearer than this to those that a bottle asks for are the bottle's [mm]."""
OFF = 0.5
"""A caliper that a flat mount puts off its given angle by no more is not told of [degrees]."""
BESIDE = 1.0
"""Angle within which they are on its side [degrees]."""


def place_features(
    spec: FrameSpec, tubes: Sequence[Tube], envelopes: Mapping[str, Envelope], axle: Point | None
) -> tuple[tuple[Feature, ...], tuple[Note, ...]]:
    """Return the features of all tubes in the file's order, those that bottles imply, and warnings.

    Args:
        spec: the file.
        tubes: all placed tubes.
        envelopes: outsides of tubes, shell and housings, by name.
        axle: the rear axle's middle [mm]; None on what has none.
    """
    found: list[Feature] = []
    notes: dict[tuple[str, str], Note] = {}

    def warn(feature: Feature, message: str) -> None:
        note = spec.note("warning", f"{_plain(feature)}: {message}", feature.path)
        notes.setdefault((feature.path, message), note)  # once for a pair

    for tube in tubes:
        for given in _given(spec, tube):
            feature = given
            try:
                feature = _mounted(spec, given, tube, axle)
                wrong = wrong_with(feature, tube, envelopes)
            except NoPlaceError as why:
                wrong = str(why)
            if wrong is not None:
                warn(feature, f"{wrong}; it is left out")
                continue
            found.append(feature)
            for message in (
                *_about_mount(spec, feature, tube),
                *warnings_of(feature, tube, tubes, envelopes),
            ):
                warn(feature, message)
    placed = {tube.name: tube for tube in tubes}
    for feature, other in overlapping(found, placed):
        warn(feature, f"runs into {_plain(other)}")
    collar = collar_in(found)
    if collar is not None and not any(one.spec.kind == "clamp_slot" for one in found):
        warn(collar, "there is no clamp_slot in its tube, which it could close on the post")
    bottles = bottle_bosses(spec, tubes)
    for feature in bottles:
        near = next((one for one in found if _holds(one, feature, placed[one.tube])), None)
        if near is None:
            rival = next((f for f in found if bosses_apart(f, feature, placed[f.tube])), None)
            if rival is not None:
                warn(
                    rival,
                    f"stands under {feature.name.replace('_', ' ')} but does not hold it: its bosses "
                    f"stand {feature.s[0]:.1f} and {feature.s[1]:.1f} mm from the tube's start",
                )
            found.append(feature)
    return tuple(found), tuple(notes.values())


def _mounted(spec: FrameSpec, feature: Feature, tube: Tube, axle: Point | None) -> Feature:
    """Return a brake mount where its rotor puts it; any other feature as it is.

    Raises:
        NoPlaceError: it cannot stand there.
    """
    given = feature.spec
    if given.kind not in BRAKE_MOUNTS or not (given.from_start is None is given.from_end):
        return feature
    if axle is None:
        raise NoPlaceError("there is no rear axle that it could follow from")
    mount = mount_on(spec, given, tube, axle)
    s = tuple(post.s for post in mount.posts)
    if (
        given.kind == "flat_mount"
    ):  # its sleeves stand along the tube, which is seldom level with the rotor
        middle, half = sum(s) / 2, given.apart / 2
        s = (middle - half, middle + half)
    return replace(feature, s=s, mount=mount)


def _about_mount(spec: FrameSpec, feature: Feature, tube: Tube) -> Iterator[str]:
    """Yield what is to be warned of where the caliper does not move with its mount."""
    if feature.spec.kind not in BRAKE_MOUNTS:
        return
    suspension, dropout, brake = spec.suspension, spec.build.dropout, spec.build.rear_brake
    if feature.mount is not None and brake is not None and brake.angle is not None:
        off = abs(brake.angle - feature.mount.caliper)
        if off > OFF:
            yield (
                f"the caliper on it stands at {feature.mount.caliper:.1f}°, not at "
                f"build.rear_brake.angle ({brake.angle:g}°), which is left aside"
            )
    if suspension is not None and tube.link != suspension.brake_link:
        yield (
            f"its caliper moves with {suspension.brake_link}, and its tube does not: "
            "suspension.brake says which link carries it"
        )
    if dropout is not None and dropout.kind == "sliding":
        where = "stays on it" if feature.mount is not None else "goes with the axle"
        yield (
            "it stays where it is when the axle slides in its dropouts, and the caliper then stands "
            f"wrong to the rotor; in checks the caliper {where}"
        )


def bottle_bosses(spec: FrameSpec, tubes: Sequence[Tube]) -> tuple[Feature, ...]:
    """Return the bosses that the file's bottles ask for: two to each, about its middle."""
    return tuple(
        _implied(i, bottle, tube)
        for i, bottle in enumerate(spec.build.bottles)
        if (tube := bottle_tube(bottle, tubes)) is not None
    )


def bottle_tube(bottle: BottleSpec, tubes: Sequence[Tube]) -> Tube | None:
    """Return the tube that a bottle is on; None where there is none of that name."""
    return next((t for t in tubes if bottle.on in (t.key, t.name)), None)


def _implied(index: int, bottle: BottleSpec, tube: Tube) -> Feature:
    middle = bottle.from_start + bottle.length / 2
    spec = FeatureSpec.model_validate({"kind": "boss", "from_start": min(middle, 1500.0)})
    half = spec.apart / 2
    towards = {
        "top": (0.01, 0.0, 1.0),
        "bottom": (-0.01, 0.0, -1.0),
        "front": (1.0, 0.0, 0.01),
        "rear": (-1.0, 0.0, -0.01),
    }[bottle.side]
    out = spot(tube, middle, 0.0).out
    on_top = out @ vector(pitched(towards, tube.axis.pitch)) >= 0
    return Feature(
        name=f"bottle_{index + 1}",
        path=f"build.bottles.{index}",
        tube=tube.name,
        key=tube.key,
        side=tube.side,
        spec=spec,
        s=(middle - half, middle + half),
        angle=0.0 if on_top else 180.0,
        implied=True,
    )


def _given(spec: FrameSpec, tube: Tube) -> Iterator[Feature]:
    """Yield the features that the file gives a tube."""
    for name, given in spec.tubes[tube.key].features.items():
        if not _is_on(given, tube.side):
            continue
        length = tube.axis.length
        if given.from_start is not None:
            middle = given.from_start
        elif given.from_end is not None:
            middle = length - given.from_end
        else:
            middle = length - given.long / 2  # a slot from the tube's end
        row = (np.arange(given.number) - (given.number - 1) / 2) * given.apart
        yield Feature(
            name=name,
            path=f"tubes.{tube.key}.features.{name}",
            tube=tube.name,
            key=tube.key,
            side=tube.side,
            spec=given,
            s=tuple((middle + row).tolist()),
            angle=given.around,
        )


def _is_on(given: FeatureSpec, side: Side | None) -> bool:
    """Return whether one of a pair has a feature; a single tube has all."""
    usual: Side | None = "left" if given.kind in BRAKE_MOUNTS else None  # where the rotor is
    wanted = usual if given.side is None else given.side
    return side is None or wanted in (None, side)


def _holds(feature: Feature, wanted: Feature, tube: Tube) -> bool:
    """Return whether bosses of the file are those that a bottle asks for."""
    if feature.tube != wanted.tube or feature.spec.kind != "boss":
        return False
    away = (feature.angle - wanted.angle + 180.0) % 360.0 - 180.0
    held = [min(abs(s - t) for t in feature.s) for s in wanted.s]
    shift = float(abs(np.mean(feature.s) - np.mean(wanted.s)))
    return abs(away) <= BESIDE and (max(held) < 1.0 or (len(feature.s) > 1 and shift < SAME))


def _plain(feature: Feature) -> str:
    return f"{feature.name.replace('_', ' ')} on the {feature.key.replace('_', ' ')}"
