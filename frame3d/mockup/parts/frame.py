"""The frame: tubes thickened to what prints, bored for the pins of other parts."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.bodies.motion.pose import matrix
from frame3d.geometry.closed_path import Path
from frame3d.geometry.disc_hull import Flat
from frame3d.geometry.extrusion import Extrusion
from frame3d.geometry.outline import Hole
from frame3d.geometry.section import Section
from frame3d.mockup.cuttable_spans import limbs_of
from frame3d.mockup.drawing import Drawing
from frame3d.mockup.fits import Peg
from frame3d.mockup.interfaces import AIR, SOCKET, head_radius, hub_radius, seat_peg
from frame3d.mockup.options import PEG
from frame3d.mockup.part import Made, ModelPart
from frame3d.mockup.parts.links import links
from frame3d.mockup.solid import CHORD, Y, minus, rod, swept, together
from frame3d.solids.bodies import BOTTOM_BRACKET, bodies
from frame3d.solids.body import SolidBody
from frame3d.solids.slot import Slot
from frame3d.solids.sweep import Solid
from frame3d.tubes.hardware import Lug
from frame3d.tubes.on_dropout import DropoutMount
from frame3d.tubes.plate import Plate
from frame3d.tubes.tube import Dropout, Shell, Tube

if TYPE_CHECKING:
    from manifold3d import Manifold


PLATES: Final = "plates"
"""What `Drawing.eased` calls all lugs and plates of the suspension."""


def frame(drawing: Drawing) -> Made:
    """Return the frame as one part.

    Every tube is solid: no wall of a bicycle tube prints at a model's scale, and a slicer makes its own
    hollow.
    """
    bike = thickened(drawing)
    made = (_undrilled(body, drawing) for body in bodies(bike))
    pieces = [*(piece_of(body, drawing) for body in made), *links(drawing)]
    whole = together(pieces).scale((drawing.scale,) * 3)
    whole = together([whole, *_cups(drawing, bike)])
    bored = minus(whole, _bores(drawing, bike))
    limbs = limbs_of(drawing, bike)
    # Printed lying on its side: standing, it would need several times the support.
    return Made(
        (ModelPart("frame", bike.spec.colour, bored, limbs, down=Y, upright=True, anywhere=True),)
    )


def left_out(drawing: Drawing) -> tuple[str, ...]:
    """Return in words what of the frame the model does not have; empty where it has all."""
    bike = drawing.bike
    small = [eye.name for dropout in bike.dropouts for eye in dropout.eyes]
    mounts = (dropout.mount for dropout in bike.dropouts)
    small += [one.name for one in mounts if one is not None and not _prints(one, drawing)]
    keys = dict.fromkeys(f"{f.key}.{f.name}" for f in bike.frame.features if not f.implied)
    slots = (
        ("the axle's slots are holes in the model, where the axle stands",)
        if any(dropout.slide is not None for dropout in bike.dropouts)
        else ()
    )
    found = [*slots]
    if keys:
        said = ", ".join(keys).replace("_", " ")
        found.append(f"features of tubes are too small to print, and left out of the model: {said}")
    if small:
        said = ", ".join(dict.fromkeys(small)).replace("_", " ")
        found.append(f"features of dropouts are too small to print, and left out: {said}")
    return tuple(found)


def thickened(drawing: Drawing) -> Bike:
    """Return the bike with every tube as a solid bar thick enough to print [mm of the bike]."""
    bike = drawing.bike
    tubes = tuple(_bar(drawing, tube) for tube in bike.tubes)
    dropouts = tuple(_plate(drawing, dropout) for dropout in bike.dropouts)
    pivots = tuple(_lug(drawing, p) if isinstance(p, Lug) else p for p in bike.pivots)
    plates = tuple(_flat_part(drawing, plate) for plate in bike.plates)
    shell = None if bike.shell is None else _shell(drawing, bike.shell)
    frame = replace(
        bike.frame,
        tubes=tubes,
        dropouts=dropouts,
        pivots=pivots,
        plates=plates,
        shell=shell,
        bores=(),
        features=(),
    )
    return replace(bike, frame=frame)


def _bar(drawing: Drawing, tube: Tube) -> Tube:
    """Return a tube as a solid bar, thickened by the same amount along its length, so tapers stay."""
    section, options, wall = tube.section, drawing.options, drawing.wall(tube.key)
    least = drawing.rod(tube.key)
    if tube.key == "head_tube" and drawing.has("fork"):
        least = max(least, drawing.steerer_pin + 2 * (options.turn + wall))
    if tube.key == "seat_tube" and drawing.has("saddle"):
        least = max(least, PEG + 2 * (options.fit + wall))
    sizes, grown = {}, []
    for name, own in (("height", section.height), ("width", section.width)):
        size = "diameter" if section.is_round else name
        part = tube.name if tube.side is None else tube.key
        if (section.is_round and name == "width") or tube.side == "right":
            printed = max(min(own) * drawing.scale, least)
        else:
            printed = drawing.least(part, size, min(own), least)
        more = printed / drawing.scale - min(own)
        sizes[name] = tuple(value + more for value in own)
        grown.append(more)
    solid, more = (0.0,) * len(section.s), min(grown) / 2
    rounds = tuple((a + more, b + more, c + more, d + more) for a, b, c, d in section.rounds)
    return replace(tube, section=Section(section.s, sizes["height"], sizes["width"], solid, rounds))


def _plate(drawing: Drawing, dropout: Dropout) -> Dropout:
    options, scale = drawing.options, drawing.scale
    if drawing.has("wheels"):
        hole = drawing.axle_pin("rear") + 2 * options.fit
    else:
        hole = max(dropout.bore * scale, PEG)
    boss, thickness = hole + 2 * options.wall, options.wall
    if dropout.side == "left":
        boss = drawing.least("rear_dropout", "diameter", dropout.boss, boss)
        thickness = drawing.least("rear_dropout", "thickness", dropout.thickness, thickness)
    else:
        boss = max(dropout.boss * scale, boss)
        thickness = max(dropout.thickness * scale, thickness)
    made = replace(dropout, bore=hole / scale, boss=boss / scale, thickness=thickness / scale)
    made = _with_mount(drawing, replace(made, eyes=()))
    return made if dropout.plate is None else _flat_dropout(drawing, made, dropout.plate)


def _with_mount(drawing: Drawing, made: Dropout) -> Dropout:
    """Return a dropout with ears as thick as it is, and with its mount only where that prints."""
    y = made.axle[1]
    low, high = sorted((y, y + math.copysign(made.thickness, y)))
    ears = tuple(replace(ear, low=low, high=high) for ear in made.ears)
    mount = made.mount
    if mount is not None and not _prints(mount, drawing):
        mount = None
    if mount is not None:
        blocks = tuple(
            replace(one, inner=min(one.inner, low), outer=max(one.outer, high))
            for one in mount.blocks
        )
        mount = replace(mount, blocks=blocks)
    return replace(made, ears=ears, mount=mount)


def _prints(mount: DropoutMount, drawing: Drawing) -> bool:
    """Whether the blocks of a brake mount are large enough to print."""
    least = min(one.width for one in mount.blocks) * drawing.scale
    return least >= drawing.options.wall


def _flat_dropout(drawing: Drawing, made: Dropout, plate: Plate) -> Dropout:
    """Return a flat dropout with one hole, where its axle stands, and metal about it that prints."""
    x, y, _ = (float(v) for v in plate.plane.of(np.array([made.axle]))[0])
    least = made.thickness
    low = plate.high - least if made.side == "left" else plate.low
    outline = plate.outline
    axle = 1 if outline.holes and outline.holes[0].at == (0.0, 0.0) else 0
    others = replace(
        outline, holes=outline.holes[axle:], slots=outline.slots[made.slide is not None :]
    )
    kept = _flat_part(drawing, replace(plate, outline=others)).outline
    bored = replace(kept, holes=(Hole(x, y, made.bore), *kept.holes))
    return replace(
        made,
        plate=replace(plate, outline=bored, low=low, high=low + least),
        slide=None,
        ring=made.boss,
    )


def _lug(drawing: Drawing, lug: Lug) -> Lug:
    """Return a pivot's lug with its thickness increased on both faces."""
    key, wall = lug.name.removesuffix(f"_{lug.side}"), drawing.wall(PLATES)
    thickness = drawing.least(key, "plate's thickness", lug.thickness, wall) / drawing.scale
    x, y, z = lug.axle
    more = (thickness - lug.thickness) / 2
    plate = lug.plate
    if plate is not None:
        plate = replace(plate, low=plate.low - more, high=plate.high + more)
    at = (x, y - more if lug.side == "left" else y + more, z)
    return replace(lug, axle=at, thickness=thickness, plate=plate)


def _flat_part(drawing: Drawing, plate: Plate) -> Plate:
    """Return a plate without holes and slots that would not print: small, or with thin metal beside."""
    outline, wall, scale = plate.outline, drawing.options.wall, drawing.scale
    far = wall / scale

    def prints(path: Path, width: float) -> bool:
        gap, _ = outline.outer.gap(path)
        others = [one for one in outline.inner if one != path]
        return width >= far and min([gap, *(path.gap(one)[0] for one in others)]) >= far

    kept = replace(
        outline,
        holes=tuple(hole for hole in outline.holes if prints(hole.path, hole.diameter)),
        slots=tuple(slot for slot in outline.slots if prints(slot.path, slot.width)),
        pockets=(),
    )
    return replace(plate, outline=kept)


def _undrilled(body: SolidBody, drawing: Drawing) -> SolidBody:
    """Return a body; a shell without its bore where the spindle's hole in it is beside its middle.

    Blocks of a brake mount are without their holes.
    """
    beside = drawing.shell_offset > 0 and drawing.has("cranks")
    if body.path.startswith("build.dropout.features."):
        return replace(body, holes=())
    return replace(body, voids=()) if beside and body.name == BOTTOM_BRACKET else body


def _shell(drawing: Drawing, shell: Shell) -> Shell:
    options, scale = drawing.options, drawing.scale
    if drawing.has("cranks"):
        bore = drawing.spindle_pin + 2 * options.turn
        around = 2 * (drawing.wall("bottom_bracket") + drawing.shell_offset * scale)
        od = drawing.least("bottom_bracket", "diameter", shell.od, bore + around)
    else:
        od = drawing.least("bottom_bracket", "diameter", shell.od, options.rod)
        bore = min(shell.bore * scale, od - 2 * options.wall)
    return replace(shell, od=od / scale, bore=max(bore, 0.1) / scale)


def piece_of(body: SolidBody, drawing: Drawing) -> Manifold:
    """Return a part of the frame with its cuts and holes, at its link's pose [mm of the bike]."""
    tolerance = CHORD / drawing.scale
    metal = together(swept(_printable(drawing, body, solid), tolerance) for solid in body.metal)
    cores = [swept(sweep, tolerance) for cut in body.cuts for sweep in cut.core]
    taken = [*cores, *(swept(sweep, tolerance) for sweep in (*body.holes, *body.voids))]
    left = minus(metal, taken)
    if taken:
        left = max(left.decompose(), key=lambda piece: float(piece.volume()))
    if body.link is None:
        return left
    return left.transform(matrix(drawing.place.link(body.link), drawing.pose)[:3])


def _printable(drawing: Drawing, body: SolidBody, solid: Solid) -> Solid:
    """Return plates and arms at least as thick as a wall; other solids are thick enough already."""
    wall = drawing.wall(PLATES)
    least = wall / drawing.scale
    if isinstance(solid, Flat):
        more = max(least - solid.thickness, 0.0) / 2
        if more > 0:
            drawing.least(body.key, "plate's thickness", solid.thickness, wall)
        return replace(solid, low=solid.low - more, high=solid.high + more)
    if isinstance(solid, Extrusion):
        more = max(least - solid.thickness, 0.0) / 2
        if more > 0:
            drawing.least(body.key, "plate's thickness", solid.thickness, wall)
        return solid.thickened(more)
    if isinstance(solid, Slot) or not solid.box or min(*solid.height, *solid.width) >= least:
        return solid
    thin = min(*solid.height, *solid.width)
    drawing.least(body.key, "arm's thickness", thin, wall)
    grown = (tuple(max(v, least) for v in sizes) for sizes in (solid.height, solid.width))
    height, width = grown
    return replace(solid, height=height, width=width)


def _cups(drawing: Drawing, bike: Bike) -> list[Manifold]:
    """Return the headset's fixed part at both ends of the head tube, with a gap to rotating parts."""
    head = next((t for t in bike.tubes if t.key == "head_tube"), None)
    headset = bike.spec.build.headset
    if head is None or headset is None:
        return []
    up, scale, options = drawing.place.up, drawing.scale, drawing.options
    around = drawing.steerer_pin / 2 + options.turn + options.wall if drawing.has("fork") else 0.0
    stacks = (
        (drawing.node("head_tube_bottom"), -up, head.section.height[0], headset.lower_stack),
        (drawing.node("head_tube_top"), up, head.section.height[-1], headset.upper_stack),
    )
    found = []
    for at, out, diameter, stack in stacks:
        reach = (0.0 if stack is None else stack) * scale - AIR
        if reach > 0.1:
            radius = max(0.94 * diameter * scale / 2, around)
            found.append(rod(at - 0.5 * out, at + reach * out, radius))
    return found


def _face(drawing: Drawing) -> float:
    """Return a distance from the centre plane beyond the shell's faces [mm]."""
    shell = drawing.bike.shell
    return 1.0 + (0.0 if shell is None else shell.half * drawing.scale)


def _bores(drawing: Drawing, bike: Bike) -> list[Manifold]:
    options, scale, taken = drawing.options, drawing.scale, []
    head = next((t for t in bike.tubes if t.key == "head_tube"), None)
    if head is not None:
        radius = drawing.steerer_pin / 2
        if not drawing.has("fork"):
            # Without a fork, the bore is as wide as on the bike if the wall allows.
            narrow = min(*head.section.height, *head.section.width) * scale
            radius = min(radius, narrow / 2 - options.wall - options.turn)
        if radius > 0.5:
            low, high = drawing.node("head_tube_bottom"), drawing.node("head_tube_top")
            peg = Peg(low, high - low, Y, radius, keyed=False)
            length = float(np.linalg.norm(high - low))
            beyond = 60.0 * scale
            taken.append(peg.hole(-beyond, length + beyond, options.turn))
    if any(t.key == "seat_tube" for t in bike.tubes) and drawing.has("saddle"):
        peg = seat_peg(drawing)
        taken.append(peg.hole(-SOCKET * PEG, 2.0, options.fit))
    if drawing.shell_offset > 0 and drawing.has("cranks"):
        half = _face(drawing)
        taken.append(rod(-half * Y, half * Y, drawing.spindle_pin / 2 + options.turn))
    for dropout in bike.dropouts:
        # Cut the axle's bore and the hub's space again, since links may have filled them.
        mount = drawing.place.link(dropout.link)
        out = Y if dropout.side == "left" else -Y
        at, far = drawing.at(dropout.axle, mount), 2 * dropout.thickness * scale
        taken.append(rod(at - far * out, at + 2 * far * out, dropout.bore * scale / 2))
        space = dropout.boss * scale / 2
        if drawing.has("wheels"):
            space = max(space, hub_radius(drawing, "rear") + options.turn)
        taken.append(rod(at - far * out, at, space))
        if drawing.has("wheels") and dropout.side == "left":
            # A face for the axle's head.
            face = at + dropout.thickness * scale * out
            taken.append(rod(face, face + 3 * out, head_radius(drawing, "rear") + options.fit))
    return taken
