"""mockup.json: the contents of a scale model as plain data."""

from __future__ import annotations

from collections import Counter
from typing import Any

import numpy as np

from frame3d.caution import CAUTION
from frame3d.formats.documents import variant_document
from frame3d.mockup.model import ScaleModel
from frame3d.mockup.options import DENSITIES
from frame3d.mockup.part import Joint
from frame3d.mockup.parts.frame import left_out
from frame3d.mockup.printing.plates import Plates, Printed
from frame3d.paper.fonts import lacking

UNITS = {
    "length": "mm, of the print",
    "volume": "mm3",
    "angle": "degrees",
    "mass": "g, solid",
    "clearance": "mm, per side",
}


def mockup_document(model: ScaleModel, plates: Plates) -> dict[str, Any]:
    """Return scale, parts, plates, joints, thickened dimensions, balance and notes."""
    drawing, options = model.drawing, model.drawing.options
    size = model.envelope[1] - model.envelope[0]
    parts = [part_document(item, options.material) for item in plates.parts]
    spools: Counter[str] = Counter()
    for part in parts:
        spools[part["colour"]] += part["mass"]
    return {
        "name": drawing.bike.spec.name,
        **variant_document(drawing.bike.spec),
        "scale": options.scale,
        "ratio": options.ratio,
        "with": list(options.kits),
        "envelope": {
            "length": size[0], "width": size[1], "height": size[2],
            "from": model.envelope[0].tolist(), "to": model.envelope[1].tolist(),
        },
        "bed": list(options.bed),
        "minima": {"wall": options.wall, "rod": options.rod},
        "inside": "solid: a slicer leaves it as empty as it is told to",
        "clearances": {"fit": options.fit, "turn": options.turn},
        "material": {"name": options.material, "density_g_cm3": DENSITIES[options.material]},
        "mass": sum(spools.values()),
        "mass_by_colour": dict(spools),
        "thickened": [
            {"part": e.part, "size": e.size, "scaled": e.scaled, "printed": e.printed, "by": e.by}
            for e in drawing.ledger.entries
        ],
        "parts": parts,
        "plates": [
            {
                "number": plate.number,
                "file": plate_file(plate.number),
                "colours": list(plate.colours),
                "parts": [item.name for item in plate.items],
                "mass": sum(p["mass"] for p in parts if p["plate"] == plate.number),
            }
            for plate in plates.plates
        ],
        "joints": [joint_document(joint) for joint in model.joints],
        "balance": None if model.balance is None else {
            "centre_of_mass": list(model.balance.centre),
            "base": [list(corner) for corner in model.balance.base],
            "margin": model.balance.margin,
            "tips_at": model.balance.tips,
        },
        "changes": list(model.changes),
        "notes": [*model.notes, *left_out(drawing), *lacking(drawing.bike.spec.title)],
        "units": UNITS,
        "caution": CAUTION,
    }  # fmt: skip


def part_document(item: Printed, material: str) -> dict[str, Any]:
    """Return one part: its place in the model, its print pose, its material."""
    mesh = item.mesh
    volume = mesh.volume
    size = np.ptp(item.flat.vertices, axis=0)
    return {
        "number": item.number,
        "name": item.part.name,
        "file": part_file(item),
        "colour": item.part.colour,
        "plate": item.plate,
        "place": item.transform.tolist(),
        "pose": item.pose.turn.tolist(),
        "lies": size.tolist(),
        "stands": [mesh.vertices.min(axis=0).tolist(), mesh.vertices.max(axis=0).tolist()],
        "volume": volume,
        "mass": volume * DENSITIES[material] / 1000,
        "support": item.pose.support,
        "rests_on": item.pose.rests,
        "faces": len(mesh.triangles),
    }


def joint_document(joint: Joint) -> dict[str, Any]:
    """Return one joint."""
    return {
        "kind": joint.kind,
        "peg": joint.peg,
        "hole": joint.hole,
        "at": joint.at.tolist(),
        "along": joint.along.tolist(),
        "diameter": joint.diameter,
        "depth": joint.depth,
        "clearance": joint.clearance,
        "mark": joint.mark,
        "anywhere": joint.anywhere,
    }


def part_file(item: Printed) -> str:
    """Return the name of a part's STL: ``part_03_front_tyre.stl``."""
    return f"part_{item.number:02d}_{item.part.name}.stl"


def plate_file(number: int) -> str:
    """Return the name of a plate's 3MF: ``plate_2.3mf``."""
    return f"plate_{number}.3mf"
