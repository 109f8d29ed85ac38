"""geometry.json: the bike's figures, tube by tube, with masses."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.bodies.motion.mounts import MOTIONS, TRAVELS
from frame3d.bodies.motion.pose import Pose
from frame3d.formats import documents
from frame3d.formats.standing import Linked, link_motions
from frame3d.tubes.cuts.edge import cut_lengths
from frame3d.tubes.hardware import Hardware, LinkPlate, Lug
from frame3d.tubes.plate import Plate
from frame3d.tubes.tube import Dropout, End, Tube

if TYPE_CHECKING:
    from frame3d.bike.exchange import AsBuilt
    from frame3d.solids.model import FrameModel, FramePart

FORMAT = 1
"""Version of this document."""


def geometry_document(
    bike: Bike,
    model: FrameModel | None = None,
    as_built: AsBuilt | None = None,
    pose: Pose | None = None,
) -> dict[str, Any]:
    """Return all figures of a bike as plain data, in its drawn position.

    Args:
        bike: the solved bike.
        model: its solids, for masses; without it ``mass`` is None and tubes have none.
        as_built: the changes by exchanged parts.
        pose: pose of moving parts in the other files; as drawn if not given.
    """
    solved = documents.solve_document(bike)
    parts = {} if model is None else {part.name: part for part in model.parts}
    caution = solved.pop("caution")
    units = {
        **solved.pop("units"),
        "tubes": "mm",
        "angle": "degrees",
        "volume": "mm3",
        "mass_g": "g",
        "density_g_cm3": "g/cm3",
        "centre_of_mass": "mm",
        "pose": {name: "mm" if name in TRAVELS else "degrees" for name in MOTIONS},
        "motion": "mm",
    }
    stand = Pose() if pose is None else pose
    lengths = cut_lengths(bike.frame)
    out: dict[str, Any] = {
        "name": solved.pop("name"),
        "format": FORMAT,
        "units": units,
        **solved,
        "pose": asdict(stand),
        "links": _links(bike, model, stand),
        "tubes": [_tube(tube, lengths[tube.name], parts.get(tube.name)) for tube in bike.tubes],
        "shell": None if bike.shell is None else _shell(bike, parts.get("bottom_bracket")),
        "dropouts": [
            {
                "name": dropout.name,
                "link": dropout.link,
                "axle": dropout.axle,
                "thickness": dropout.thickness,
                "boss": dropout.boss,
                "bore": dropout.bore,
                "stays": [name for name, _ in dropout.stays],
                **_flat(dropout),
                **_on_dropout(dropout, parts),
                **_weight(parts.get(dropout.name)),
            }
            for dropout in bike.dropouts
        ],
        "pivots": [_hardware(item, parts.get(item.name)) for item in bike.pivots],
        "plates": [_plate(plate, parts.get(plate.name)) for plate in bike.plates],
        "bores": [
            {
                "tube": bore.tube,
                "at": bore.at,
                "diameter": bore.diameter,
                "depth": bore.depth,
                "code": bore.code,
            }
            for bore in bike.bores
        ],
        **_fork(bike, model),
        "mass": None if model is None else _mass(model),
    }
    if model is not None:
        out["notes"] = [*out["notes"], *(documents.note_document(note) for note in model.notes)]
    if as_built is not None:
        out["as_built"] = documents.as_built_document(as_built)
    out["caution"] = caution
    return out


def _mass(model: FrameModel) -> dict[str, Any]:
    return {
        "parts_g": {part.name: part.mass for part in model.parts},
        "total_g": model.mass,
        "centre_of_mass": model.centre,
        "volume": model.volume,
    }


def _fork(bike: Bike, model: FrameModel | None) -> dict[str, Any]:
    """Return tubes, plates and mass of a fork that the shop builds; nothing where it is bought."""
    if bike.fork is None:
        return {}
    own = None if model is None else model.fork
    parts = {} if own is None else {part.name: part for part in own.parts}
    lengths = cut_lengths(bike.fork.frame)
    return {
        "fork": {
            "tubes": [
                _tube(tube, lengths[tube.name], parts.get(tube.name)) for tube in bike.fork.tubes
            ],
            "plates": [_plate(plate, parts.get(plate.name)) for plate in bike.fork.plates],
            "mass": None if own is None else _mass(own),
        }
    }


def _links(bike: Bike, model: FrameModel | None, pose: Pose) -> list[dict[str, Any]]:
    """Return the links of the rear suspension: parts on each, and its motion from drawn to the pose.

    The motion is of points as columns (x, y, z, 1).
    """
    if bike.linkage is None:
        return []
    drawn: tuple[Linked, ...] = (*bike.tubes, *bike.dropouts, *bike.pivots, *bike.plates)
    parts = drawn if model is None else model.parts
    motions = link_motions(bike, pose)
    return [
        {
            "name": name,
            "parts": [part.name for part in parts if part.link == name],
            "motion": motions.get(name, np.eye(4)).tolist(),
        }
        for name in bike.linkage.links
    ]


def _tube(tube: Tube, cut_length: float, part: FramePart | None) -> dict[str, Any]:
    section = tube.section
    return {
        "name": tube.name,
        "key": tube.key,
        "side": tube.side,
        "link": tube.link,
        "from": tube.start.target,
        "to": tube.end.target,
        "axis": {
            "start": tube.axis.start,
            "end": tube.axis.end,
            "length": tube.axis.length,
            "tightest_bend": tube.axis.tightest,
        },
        "cut_length": cut_length,
        "section": {
            "s": section.s,
            "height": section.height,
            "width": section.width,
            "wall": section.wall,
            **({"corner_radii": section.rounds} if section.rounds else {}),
        },
        **_as_sold(tube),
        "start": _end(tube.start),
        "end": _end(tube.end),
        "cut_by": tube.cut_by,
        "material": tube.material,
        "density_g_cm3": tube.density,
        "colour": tube.colour,
        **_weight(part),
    }


def _as_sold(tube: Tube) -> dict[str, Any]:
    """Return what is cut off the tube as it is bought; nothing where the file does not say."""
    if tube.sold is None:
        return {}
    sold = tube.sold
    off = {"length": sold.length, "cut_off_start": sold.start, "cut_off_end": sold.end}
    return {"as_sold": off}


def _end(end: End) -> dict[str, Any]:
    return {
        "point": end.point,
        "cut": end.cut,
        "on": end.target,
        "angle": end.angle,
        "offset": end.offset,
        "long_point": end.long_point,
        "short_point": end.short_point,
    }


def _shell(bike: Bike, part: FramePart | None) -> dict[str, Any]:
    shell = bike.shell
    assert shell is not None
    return {
        "standard": shell.name,
        "width": shell.width,
        "middle": shell.middle,
        "axis": shell.place,
        "od": shell.od,
        "bore": shell.bore,
        **_weight(part),
    }


def _hardware(item: Hardware, part: FramePart | None) -> dict[str, Any]:
    out: dict[str, Any] = {"name": item.name, "link": item.link}
    if isinstance(item, LinkPlate):
        out |= {"kind": "link plate", "side": item.side, "bosses": [asdict(b) for b in item.bosses]}
    elif isinstance(item, Lug):
        out |= {
            "kind": "lug",
            "pivot": item.pivot,
            "side": item.side,
            "axle": item.axle,
            "thickness": item.thickness,
            "boss": item.boss,
            "bore": item.bore,
            "stays": [name for name, _ in item.stays],
        }
        if item.plate is not None:
            out["plate"] = _plate(item.plate, None)
    else:
        out |= {
            "kind": "housing",
            "seat": None if item.seat is None else asdict(item.seat),
            "pivot": item.pivot,
            "at": item.at,
            "width": item.width,
            "od": item.od,
            "bore": item.bore,
        }
    return {**out, **_weight(part)}


def _flat(dropout: Dropout) -> dict[str, Any]:
    """Return what a flat dropout has beside a plain one: plate, hoods, and its axle's slot."""
    if dropout.plate is None or dropout.hood is None:
        return {}
    slide = dropout.slide
    return {
        "plate": _plate(dropout.plate, None),
        "hood": asdict(dropout.hood),
        "slide": None
        if slide is None
        else {"front": slide.front, "back": slide.back, "stop": slide.stop_thread or None},
    }


def _on_dropout(dropout: Dropout, parts: Mapping[str, FramePart]) -> dict[str, Any]:
    """Return the eyes of a dropout and the brake mount on it, where it has such."""
    out: dict[str, Any] = {}
    if dropout.eyes:
        out["eyes"] = [asdict(eye) for eye in dropout.eyes]
    mount = dropout.mount
    if mount is not None:
        out["mount"] = {
            "name": mount.name,
            "kind": mount.kind,
            "thread": mount.thread,
            "apart": mount.apart,
            "caliper": mount.caliper,
            "bolts": mount.bolts,
            "blocks": [
                {
                    "name": one.name,
                    "face": one.face,
                    "way": one.way,
                    "width": one.width,
                    "sides": (one.inner, one.outer),
                    "length": one.length,
                    "hole": one.hole,
                    "depth": one.depth,
                    **_weight(parts.get(one.name)),
                }
                for one in mount.blocks
            ],
        }
    return out


def _plate(plate: Plate, part: FramePart | None) -> dict[str, Any]:
    """Return a plate, its outline as vertices (x, y, bulge) in a plane with axes of its own."""
    outline = plate.outline
    return {
        "name": plate.name,
        "key": plate.key,
        "kind": plate.kind,
        "side": plate.side,
        "link": plate.link,
        "on": plate.on,
        "plane": {"origin": plate.plane.origin, "x": plate.plane.x, "y": plate.plane.y},
        "faces": (plate.low, plate.high),
        "thickness": plate.thickness,
        "outline": outline.outer.vertices,
        "holes": [asdict(hole) for hole in outline.holes],
        "slots": [asdict(slot) for slot in outline.slots],
        "pockets": [
            {"outline": p.path.vertices, "depth": p.depth, "face": p.face, "note": p.note}
            for p in outline.pockets
        ],
        "material": plate.material,
        "density_g_cm3": plate.density,
        "colour": plate.colour,
        **_weight(part),
    }


def _weight(part: FramePart | None) -> dict[str, Any]:
    if part is None:
        return {}
    return {"volume": part.volume, "mass_g": part.mass, "centre_of_mass": part.centre}
