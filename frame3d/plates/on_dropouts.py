r"""Place the features of a rear dropout: eyes, and the blocks of the rear brake's mount.

The plate takes in a round about each eye, and reaches up to a straight edge under the blocks, with
rounds beyond their sides for the weld (side view)::

             .---.   C   .---.   faces         C  middle of the caliper, on the rotor's radius
             |   |   |   |   |
           .-+---+---+---+---+-.   edge        the bolts are along that radius, or lean from it
            \                 /
              \      o      /   axle
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial
from typing import Final

import numpy as np

from frame3d.geometry.closed_path import Path
from frame3d.geometry.disc_hull import Disc, Flat
from frame3d.geometry.outline import Hole, Outline
from frame3d.geometry.vector import Point, Vector, point, vector
from frame3d.parameters.models.flat_parts.dropouts import DropoutSpec
from frame3d.parameters.models.flat_parts.on_dropouts import DropoutFeatureSpec
from frame3d.parameters.models.tube_features.kinds import BRAKE_MOUNTS
from frame3d.parameters.sizes.threads import drill_of
from frame3d.pivots.sockets import socket
from frame3d.plates.block_metal import footing, on_plate, weighed
from frame3d.plates.hoods import Bar
from frame3d.plates.overlap import reached
from frame3d.plates.tabs import MisfitError
from frame3d.tubes.cuts.overlap import Envelope
from frame3d.tubes.features.brake_mount import NoPlaceError, brake_of
from frame3d.tubes.hardware import DROPOUT
from frame3d.tubes.on_dropout import Block, DropoutMount, Eye
from frame3d.tubes.placing.context import PlacementContext
from frame3d.tubes.tube import Dropout

KEY: Final = "build.dropout"
LAP: Final = 3.0
"""How far a block laps over the plate's inner face [mm]; common practice, no source."""
BEYOND: Final = 4.0
"""How far the plate's edge goes on beside the blocks, for the weld [mm]; common practice, no source."""
SURE: Final = 1e-6
"""What lies off a plate by no more counts as on it [mm]."""


@dataclass(frozen=True)
class Standing:
    """What a dropout has of the file's features, before its plate is made."""

    eyes: tuple[Eye, ...] = ()
    mount: DropoutMount | None = None
    about_eyes: tuple[Disc, ...] = ()
    """Round about each eye: x, y from the axle, and radius [mm]."""
    feet: tuple[Disc, ...] = ()
    """Rounds beside the feet of the mount's blocks, likewise."""

    @property
    def rounds(self) -> tuple[Disc, ...]:
        """All rounds that the plate takes in."""
        return (*self.about_eyes, *self.feet)

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing."""
        return not self.eyes and self.mount is None

    def holes(self, axle: Point) -> tuple[Hole, ...]:
        """Return the eyes' holes, from the axle."""
        return tuple(
            Hole(
                one.at[0] - axle[0],
                one.at[2] - axle[2],
                one.drill,
                thread=one.thread,
                note=f"eye {one.name.replace('_', ' ')}",
            )
            for one in self.eyes
        )


def standing(context: PlacementContext, spec: DropoutSpec, dropout: Dropout) -> Standing:
    """Return what stands on a dropout, by the file.

    Raises:
        MisfitError: a mount whose place does not follow.
    """
    eyes: list[Eye] = []
    rounds: list[Disc] = []
    mount: DropoutMount | None = None
    x, y, z = dropout.axle
    for name, feature in spec.features.items():
        if feature.is_mount:
            if dropout.side == "left":
                mount = _mount(context, name, feature, dropout)
            continue
        if feature.side not in (None, dropout.side):
            continue
        assert feature.at is not None
        drill = drill_of(feature.threaded)
        assert drill is not None
        eyes.append(Eye(name, (x + feature.at[0], y, z + feature.at[1]), feature.threaded, drill))
        rounds.append((*feature.at, feature.outside / 2))
    feet = () if mount is None else tuple(_feet(mount, dropout.axle))
    return Standing(tuple(eyes), mount, tuple(rounds), feet)


def key_of(spec: DropoutSpec, hole: Hole) -> str | None:
    """Return the key of the eye whose hole this is; None of any other hole."""
    for name, feature in spec.features.items():
        if feature.at is not None and math.dist(feature.at, hole.at) < SURE and hole.thread:
            return f"features.{name}"
    return None


def _mount(
    context: PlacementContext, name: str, feature: DropoutFeatureSpec, dropout: Dropout
) -> DropoutMount:
    """Return the mount with its blocks whole.

    Raises:
        MisfitError: the file does not say where the caliper is.
    """
    key = f"features.{name}"
    for tube, given in context.spec.tubes.items():
        if any(one.kind in BRAKE_MOUNTS for one in given.features.values()):
            raise MisfitError(
                key,
                f"the rear brake has its mount on the {tube.replace('_', ' ')} already",
                "keep one of the two",
            )
    try:
        brake = brake_of(context.spec)
    except NoPlaceError as why:
        raise MisfitError(key, str(why), "name all three, or leave the mount out") from why
    if brake.spec.angle is None:
        raise MisfitError(
            key,
            "where about the axle its caliper stands is not said",
            "build.rear_brake.angle: from straight ahead of the axle up to the caliper's middle",
        )
    turn = math.radians(brake.spec.angle + feature.leaning)
    radial = math.radians(brake.spec.angle)
    b = np.array([math.cos(turn), 0.0, math.sin(turn)])
    t = np.array([b[2], 0.0, -b[0]])
    middle = vector(dropout.axle)
    middle += brake.from_axle * np.array([math.cos(radial), 0.0, math.sin(radial)])
    face = middle - brake.spec.depth / 2 * b
    face[1] = brake.y + feature.beside
    inside, outside = dropout.axle[1], dropout.axle[1] + dropout.thickness
    half = feature.outside / 2
    length = feature.long + LAP
    stem = f"{DROPOUT}-{name}"
    if feature.kind == "flat_mount" and face[1] + feature.screw.head / 2 > inside:
        raise MisfitError(
            f"{key}.outward",
            f"its bolts' heads, {feature.screw.head:g} mm wide and at y {face[1]:.1f}, have no room "
            f"beside the plate, whose inner face is at y {inside:.1f}",
            f"at most {inside - feature.screw.head / 2 - brake.y:.1f}",
        )
    blocks = tuple(
        Block(
            name=f"{stem}-{i}_{dropout.side}",
            label=f"{stem}-{i}",
            face=point(face + way * feature.apart * t),
            way=point(b),
            width=feature.outside,
            inner=min(float(face[1]) - half, inside),
            outer=max(float(face[1]) + half, outside),
            length=length,
            hole=feature.hole,
            depth=length if feature.kind == "flat_mount" else feature.deep,
        )
        for i, way in ((1, 0.5), (2, -0.5))
    )
    assert feature.kind != "eye"
    return DropoutMount(
        name=name,
        path=f"{KEY}.{key}",
        kind=feature.kind,
        thread=feature.threaded,
        apart=feature.apart,
        bolt_head=(feature.screw.head, feature.bolt)
        if feature.kind == "flat_mount"
        else (0.0, 0.0),
        caliper=brake.spec.angle,
        bolts=brake.spec.angle + feature.leaning,
        blocks=blocks,
    )


def _feet(mount: DropoutMount, axle: Point) -> Iterator[Disc]:
    """Yield rounds from the axle that give the plate a straight edge under each block."""
    for one in mount.blocks:
        deep = one.length - LAP + BEYOND
        for side in (-0.5, 0.5):
            at = vector(one.face) - deep * vector(one.way) + side * one.width * one.along
            yield float(at[0] - axle[0]), float(at[2] - axle[2]), BEYOND


# -- on the plate as it is made -----------------------------------------------------------------------


def eared(dropout: Dropout, on: Standing) -> Dropout:
    """Return a plain dropout with a flat ear from its boss to each eye, and to a mount's blocks."""
    x, y, z = dropout.axle
    low, high = sorted((y, y + math.copysign(dropout.thickness, y)))
    groups = [(one,) for one in on.about_eyes] + ([on.feet] if on.feet else [])
    boss = (x, z, dropout.boss / 2)
    ears = (
        Flat((boss, *((x + u, z + v, radius) for u, v, radius in group)), low, high)
        for group in groups
    )
    return replace(dropout, ears=tuple(ears))


def fitted(context: PlacementContext, spec: DropoutSpec, dropout: Dropout, on: Standing) -> Dropout:
    """Return a dropout, with its plate or ears, that has its eyes and its mount, weighed.

    Raises:
        MisfitError: what does not fit on it.
    """
    if on.is_empty:
        return dropout
    joined = dict(_joined(context, dropout))
    for eye in on.eyes:
        _refuse_eye(f"features.{eye.name}", dropout, eye, joined)
    mount = on.mount
    if mount is not None:
        key = f"features.{mount.name}"
        outline = _outline_of(dropout)
        for eye in on.eyes:
            _refuse_under(f"features.{eye.name}", eye, mount)
        for i, block in enumerate(mount.blocks):
            _refuse_block(key, f"block {i + 1}", dropout, outline, block, joined)
        _tell_of_stays(context, mount, dropout)
        _tell_of_caliper(context, mount, dropout, spec)
        bodies = tuple(joined.values())
        values = tuple(body.values for body in bodies)
        blocks = tuple(
            context.memory.get_or_compute(
                ("block", block, outline, dropout.axle, dropout.thickness, values),
                partial(weighed, block, outline, dropout, bodies),
            )
            for block in mount.blocks
        )
        mount = replace(mount, blocks=blocks)
    return replace(dropout, eyes=on.eyes, mount=mount)


def _outline_of(dropout: Dropout) -> Outline:
    """Return what blocks stand on, from the axle: the plate's outline, or the ear's."""
    if dropout.plate is not None:
        return dropout.plate.outline
    x, _, z = dropout.axle
    ear = max(dropout.ears, key=lambda one: len(one.discs))
    return Outline(Path.of_flat(Flat(tuple((u - x, v - z, r) for u, v, r in ear.discs), 0.0, 1.0)))


def _joined(context: PlacementContext, dropout: Dropout) -> Iterator[tuple[str, Envelope]]:
    """Yield the stays on a dropout, and their hoods or sockets, with what each is called."""
    for name, which in dropout.stays:
        stay = context.tubes[name]
        plain = stay.key.replace("_", " ")
        yield f"the {plain}", Envelope.of(stay, name)
        end = socket(dropout, stay, which)
        if end.joined:
            held = "hood" if dropout.hood is not None else "socket"
            yield f"the {held} of the {plain}", Bar.of(end).envelope


def _refuse_eye(key: str, dropout: Dropout, eye: Eye, joined: Mapping[str, Envelope]) -> None:
    for x, _, z in dropout.places:
        over = dropout.boss / 2 + eye.drill / 2 - math.dist((x, z), (eye.at[0], eye.at[2]))
        if over > 0:
            raise MisfitError(
                f"{key}.at",
                f"its hole lies {over:.1f} mm in the {dropout.boss:g} mm about the axle that are kept "
                "flat for hub and nut",
                f"at least {dropout.boss / 2 + eye.drill / 2:.1f} mm from the axle",
            )
    into = math.copysign(dropout.thickness, dropout.axle[1])
    turn = np.radians(np.arange(0.0, 360.0, 5.0))
    ring = eye.drill / 2 * np.column_stack([np.cos(turn), 0.0 * turn, np.sin(turn)])
    places = np.vstack(
        [vector(eye.at) + ring + [0.0, share * into, 0.0] for share in np.linspace(0.0, 1.0, 9)]
    )
    for name, body in joined.items():
        deep = float(body.depth(places).max())
        if deep > 0:
            raise MisfitError(
                f"{key}.at", f"its hole runs {deep:.1f} mm into {name}", "further from it"
            )


def _refuse_under(key: str, eye: Eye, mount: DropoutMount) -> None:
    for i, block in enumerate(mount.blocks):
        t, b = on_plate(block, np.array([[eye.at[0], eye.at[2]]]))[0].tolist()
        off = (abs(t) - block.width / 2, b, -block.length - b)
        if max(off) < eye.drill / 2:
            raise MisfitError(
                f"{key}.at",
                f"its hole lies under block {i + 1} of {mount.name.replace('_', ' ')}",
                "further from it",
            )


def _refuse_block(
    key: str,
    called: str,
    dropout: Dropout,
    outline: Outline,
    block: Block,
    joined: Mapping[str, Envelope],
) -> None:
    """Fault for a block in the axle's room, off its plate, or with a stay or the plate in its hole."""
    for x, _, z in dropout.places:
        t, b = on_plate(block, np.array([[x, z]]))[0].tolist()
        away = math.hypot(max(abs(t) - block.width / 2, 0.0), max(b, -block.length - b, 0.0))
        if away < dropout.boss / 2:
            raise MisfitError(
                key,
                f"{called} stands {dropout.boss / 2 - away:.1f} mm in the {dropout.boss:g} mm about "
                "the axle that are kept flat for hub and nut",
                "a larger rotor (build.rear_brake.mount_rotor), shorter blocks, or a smaller boss",
            )
    off, high = footing(block, outline, dropout.axle, LAP)
    if off > SURE:
        raise MisfitError(
            key,
            f"{called} does not fit on its plate: {off:.1f} of the {block.width:g} mm of its foot, "
            f"{block.length - LAP:.1f} mm below its face, are off the metal",
            "an outline that reaches under it, a longer block (length), or another "
            "build.rear_brake.angle",
        )
    inside, outside = sorted((dropout.axle[1], dropout.axle[1] + dropout.thickness))
    wide, y = block.hole / 2, block.face[1]
    if high > SURE and y + wide > inside and y - wide < outside:
        raise MisfitError(
            key,
            f"the plate reaches {high:.1f} mm into the hole of {called}, which is at y {y:.1f}, the "
            f"plate's inner face at y {inside:.1f}",
            "another outward, or an outline that stays below the blocks' holes",
        )
    ring = _hole(block)
    for name, body in joined.items():
        deep = float(body.depth(ring).max())
        if deep > 0:
            raise MisfitError(
                key,
                f"the hole of {called}, {block.depth:g} mm deep, reaches {deep:.1f} mm into {name}",
                "another build.rear_brake.angle, a lean, a shorter hole, or a stay that ends further "
                "from the axle",
            )


def _hole(block: Block) -> Vector:
    """Return points of a block's hole, at its wall and of its bottom: (n, 3) [mm]."""
    way, face = vector(block.way), vector(block.face)
    turn = np.linspace(0.0, 2 * np.pi, 48, endpoint=False)[:, None]
    edge = block.hole / 2 * (np.cos(turn) * np.array([0.0, 1.0, 0.0]) + np.sin(turn) * block.along)
    rings = [face - far * way + edge for far in np.linspace(0.0, block.depth, 25).tolist()]
    return np.vstack([*rings, vector(block.bottom)])


def _tell_of_stays(context: PlacementContext, mount: DropoutMount, dropout: Dropout) -> None:
    """Warn of a plate that reaches into a stay beyond its hood."""
    plate, hood = dropout.plate, dropout.hood
    if plate is None or hood is None:
        return
    for name, which in dropout.stays:
        stay = context.tubes[name]
        whole = Envelope.of(stay, name)
        low, high = whole.low, whole.high
        if which == "start":
            low += hood.depth
        else:
            high -= hood.depth
        beyond = replace(whole, low=low, high=high)
        if reached(plate.outline, plate.plane, (plate.low, plate.high), [beyond], 0.05):
            context.warn(
                mount.path,
                f"the plate that it stands on runs into the {stay.key.replace('_', ' ')} beyond its "
                "hood, and what lies inside is cut off there: the outline on the sheet does not show it",
            )


def _tell_of_caliper(
    context: PlacementContext, mount: DropoutMount, dropout: Dropout, spec: DropoutSpec
) -> None:
    """Warn where the caliper does not move with its mount."""
    suspension = context.spec.suspension
    if suspension is not None and dropout.link != suspension.brake_link:
        context.warn(
            mount.path,
            f"its caliper moves with {suspension.brake_link}, and the dropout does not: "
            "suspension.brake says which link carries it",
        )
    if spec.kind == "sliding":
        context.warn(
            mount.path,
            "it stays where it is when the axle slides in its dropouts, and the caliper, in checks too, "
            "then stands wrong to the rotor",
        )
