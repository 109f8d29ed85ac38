"""Assemble the scale model: all parts in their places, standing level, cut to fit the bed."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

import numpy as np

from frame3d.errors import Fault, MockupError
from frame3d.geometry.arrays import Array
from frame3d.mockup.arms_out import moved_out
from frame3d.mockup.drawing import Drawing
from frame3d.mockup.easing import eased
from frame3d.mockup.giving_way import given_way
from frame3d.mockup.meeting import meetings
from frame3d.mockup.part import Joint, Made, ModelPart, joint_moved, moved
from frame3d.mockup.parts.cockpit import cockpit
from frame3d.mockup.parts.cranks import cranks
from frame3d.mockup.parts.fork import fork
from frame3d.mockup.parts.frame import frame
from frame3d.mockup.parts.saddle import saddle
from frame3d.mockup.parts.stand import Balance, stand
from frame3d.mockup.parts.wheels import wheels
from frame3d.mockup.printing.bed_fit import Misfit, too_large
from frame3d.mockup.printing.check import CRUMB
from frame3d.mockup.printing.split import fitted, letters
from frame3d.mockup.solid import bounds, minus

if TYPE_CHECKING:
    from manifold3d import Manifold

MAKERS: Final[dict[str, Callable[[Drawing], Made]]] = {
    "wheels": wheels, "fork": fork, "cranks": cranks, "cockpit": cockpit, "saddle": saddle,
}  # fmt: skip
"""Kit -> its maker."""


@dataclass(frozen=True, eq=False)
class ScaleModel:
    """A complete scale model."""

    drawing: Drawing
    parts: tuple[ModelPart, ...]
    joints: tuple[Joint, ...]
    balance: Balance | None
    """None without a stand."""
    notes: tuple[str, ...]
    envelope: Array
    """Corners of the bounding box of the bike without stand: (2, 3) float [mm]."""
    changes: tuple[str, ...] = ()
    """What was made otherwise than drawn or asked for, and where."""


@dataclass(frozen=True, eq=False)
class AssembledModel:
    """The model without its stand, uncut."""

    drawing: Drawing
    """As given, with less thickening where parts would meet."""
    parts: tuple[ModelPart, ...]
    joints: tuple[Joint, ...]
    notes: tuple[str, ...]
    changes: tuple[str, ...]
    """What was made otherwise than drawn or asked for, and where."""
    envelope: Array
    """Corners of its bounding box: (2, 3) float [mm]."""


def assembled(drawing: Drawing) -> AssembledModel:
    """Return frame and kits, standing level.

    Raises:
        MockupError: the frame falls into pieces, or nothing is left of a part.
    """
    made, parts, notes = _made(drawing)
    met = list(meetings(parts))
    eases: list[str] = []
    if met:
        drawing, eases = eased(drawing, met, lambda trial: _made(trial)[1])
        drawing.ledger.entries.clear()
        made, parts, notes = _made(drawing)
    parts, reliefs = given_way(drawing.options, parts)
    drawing, outward = moved_out(drawing, parts)
    if outward:
        drawing.ledger.entries.clear()
        made, parts, notes = _made(drawing)
        parts, reliefs = given_way(drawing.options, parts)
    _not_empty(drawing, parts)
    _whole(drawing, parts[0].solid)
    motion = level(drawing)
    parts = [moved(part, motion) for part in parts]
    joints = [joint_moved(joint, motion) for item in made for joint in item.joints]
    boxes = np.array([bounds(part.solid) for part in parts])
    envelope = np.stack([boxes[:, 0].min(axis=0), boxes[:, 1].max(axis=0)])
    return AssembledModel(
        drawing,
        tuple(parts),
        tuple(joints),
        tuple(note for item in made for note in item.notes),
        (*eases, *outward, *notes, *reliefs),
        envelope,
    )


def _made(drawing: Drawing) -> tuple[list[Made], list[ModelPart], list[str]]:
    """Return what the makers give, its parts with the frame cut back for what turns, and notes."""
    made = [frame(drawing), *(MAKERS[kit](drawing) for kit in drawing.options.kits)]
    parts = [part for item in made for part in item.parts]
    parts[0], notes = _relieved(parts)
    return made, parts, notes


def model(drawing: Drawing) -> ScaleModel:
    """Return the complete model.

    Raises:
        MockupError: parts overlap, the frame is in pieces, or a part is too large for the bed.
    """
    alone = assembled(drawing)
    drawing = alone.drawing
    parts, joints = list(alone.parts), list(alone.joints)
    notes = [*drawing.options.notes, *alone.notes]
    changes = list(alone.changes)
    balance = None
    if drawing.options.stand:
        base, balance = stand(drawing, tuple(parts), level(drawing))
        _not_empty(drawing, base.parts)
        parts, reliefs = given_way(drawing.options, [*parts, *base.parts])
        joints += base.joints
        notes += base.notes
        changes += (*base.changes, *reliefs)
    _apart(drawing, parts)
    pieces, joints = _pieces(drawing, parts, joints)
    return ScaleModel(
        drawing=drawing,
        parts=tuple(pieces),
        joints=tuple(joints),
        balance=balance,
        notes=tuple(notes),
        changes=(*changes, *_cuts_told(joints)),
        envelope=alone.envelope,
    )


def level(drawing: Drawing) -> Array:
    """Return the rotation about the bottom bracket that makes the posed bike stand level: (3, 4).

    The identity as drawn. The wheels' lowest points are level where the line of axles, of length L,
    rises by the angle asin((R front - R rear) / L).
    """
    motion, place = np.eye(4)[:3], drawing.place
    sizes = [place.tyre(end) for end in ("rear", "front")]
    if sizes[0] is None or sizes[1] is None:
        return motion
    way = drawing.axle("front") - drawing.axle("rear")
    length = float(np.hypot(way[0], way[2]))
    rise = (sizes[1].radius - sizes[0].radius) * drawing.scale / length
    turn = float(np.arcsin(rise) - np.arctan2(way[2], way[0]))
    if abs(turn) < 1e-9:
        return motion
    c, s = np.cos(turn), np.sin(turn)
    motion[:, :3] = [[c, 0.0, -s], [0.0, 1.0, 0.0], [s, 0.0, c]]
    return motion


def _relieved(parts: list[ModelPart]) -> tuple[ModelPart, list[str]]:
    """Return the frame cut back where rotating parts, thickened, would touch it; and notes."""
    first, notes = parts[0], []
    solid = first.solid
    for part in parts[1:]:
        if part.turns is None:
            continue
        shared = float((solid ^ part.turns).volume())
        if shared > CRUMB:
            solid = minus(solid, [part.turns])
            name = part.name.replace("_", " ")
            notes.append(f"the frame gives way to the {name}, by {shared:.1f} mm³")
    return replace(first, solid=solid), notes


def _not_empty(drawing: Drawing, parts: Iterable[ModelPart]) -> None:
    """Fault if nothing is left of a part.

    Raises:
        MockupError: with every such part.
    """
    faults = []
    for part in parts:
        if not part.solid.is_empty() and part.solid.volume() > 1e-6:
            continue
        build = drawing.bike.spec.build
        asked = next((key for key in type(build).model_fields if key in part.name), "")
        path = f"build.{asked}" if asked else ""
        shell = "; is it inside the bottom bracket shell?" if "ring" in part.name else ""
        faults.append(
            drawing.bike.spec.fault(
                "inconsistent",
                path,
                f"nothing is left of {part.name}: it lies within what it makes way for{shell}",
                "check its sizes and its place, leave it out with --with, or choose a larger scale",
            )
        )
    if faults:
        raise MockupError(faults)


def _whole(drawing: Drawing, solid: Manifold) -> None:
    pieces = [piece for piece in solid.decompose() if piece.volume() > CRUMB]
    if len(pieces) > 1:
        raise MockupError(
            drawing.bike.spec.fault(
                "output",
                "tubes",
                f"the frame falls into {len(pieces)} pieces, so it cannot be printed as one",
                "see `frame3d build` for tubes that meet nothing, or choose another pose with --at",
            )
        )


def _apart(drawing: Drawing, parts: list[ModelPart]) -> None:
    """Fault if parts overlap; they may touch.

    Raises:
        MockupError: naming every pair that does.
    """
    faults = [
        Fault(
            "inconsistent",
            met.first,
            f"runs into {met.second} by {met.volume:.2g} mm³ at {drawing.options.ratio}, thickened no "
            "more than prints, and neither can give way without falling apart",
            "a larger scale, or leave one of them out with --with; see `frame3d check` for whether the "
            "bike's own parts meet",
        )
        for met in meetings(parts)
    ]
    if faults:
        raise MockupError(faults)


def _cuts_told(joints: Iterable[Joint]) -> Iterator[str]:
    """Yield sentences about cuts at which pieces are glued without a peg, or not in mid tube."""
    cut = [joint for joint in joints if joint.mark]
    for told, marks in (
        ("cut through more than a tube, as no cut in mid tube fits the bed",
         {joint.mark for joint in cut if joint.anywhere}),
        ("glued end to end, too thin for a peg",
         {joint.mark for joint in cut if joint.depth == 0}),
    ):  # fmt: skip
        if marks:
            yield f"{told}: {', '.join(sorted(marks, key=lambda mark: (len(mark), mark)))}"


def _pieces(
    drawing: Drawing, parts: list[ModelPart], joints: list[Joint]
) -> tuple[list[ModelPart], list[Joint]]:
    """Return all parts, cut where they do not fit the bed, with joints that name the right pieces."""
    marks: Iterator[str] = letters()
    options = drawing.options
    found: list[ModelPart] = []
    misfits: list[Misfit] = []
    for part in parts:
        result = fitted(part, options.bed, options, marks)
        if isinstance(result, Misfit):
            misfits.append(result)
            continue
        pieces, more = result
        if len(pieces) > 1:
            holders = [piece for piece in pieces if not piece.name.startswith("peg_")]
            joints = [_handed(joint, part.name, holders) for joint in joints] + more
        found += pieces
    if misfits:
        raise too_large(misfits, options)
    return found, joints


def _handed(joint: Joint, name: str, pieces: list[ModelPart]) -> Joint:
    """Return a joint with the name of a cut part replaced by that of the nearest piece."""
    if name not in (joint.peg, joint.hole):
        return joint
    near = min(pieces, key=lambda piece: _distance(piece, joint.at)).name
    return replace(
        joint,
        peg=near if joint.peg == name else joint.peg,
        hole=near if joint.hole == name else joint.hole,
    )


def _distance(piece: ModelPart, at: Array) -> float:
    """Return the distance of a point from the nearest vertex of a piece [mm]."""
    corners = np.asarray(piece.solid.to_mesh64().vert_properties)[:, :3]
    return float(np.linalg.norm(corners - at, axis=1).min())
