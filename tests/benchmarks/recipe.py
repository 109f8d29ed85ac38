"""What the demo's solids are made from, as plain numbers: the recipe for the bare script."""

from __future__ import annotations

import json
import sys
from itertools import pairwise
from pathlib import Path
from typing import Any

import frame3d
from frame3d.geometry.centreline import Arc
from frame3d.solids.bodies import bodies
from frame3d.solids.body import mirrors
from frame3d.solids.sweep import Sweep


def sweep(s: Sweep) -> dict[str, Any]:
    """Axis pieces, stations with sizes and upright directions."""
    places = sorted({*s.s, *(float(x) for x in s.axis.starts)})
    return {
        "straight": s.axis.is_straight,
        "box": s.box,
        "start": s.axis.start,
        "length": s.axis.length,
        "s": s.s,
        "height": s.height,
        "width": s.width,
        "arcs": [
            (float(at), float(at + piece.length))
            for at, piece in zip(s.axis.starts, s.axis.pieces, strict=False)
            if isinstance(piece, Arc)
        ],
        "frames": {
            repr(x): {
                "at": s.axis.at(x).tolist(),
                "along": s.axis.tangent(x).tolist(),
                "up": s.axis.frame(x)[0].tolist(),
                "side": s.axis.frame(x)[1].tolist(),
            }
            for x in {*places, *((a + b) / 2 for a, b in pairwise(places))}
        },
    }


def recipe(path: Path) -> list[dict[str, Any]]:
    """Every part: its sweeps, and whose mirror image it is."""
    made = bodies(frame3d.solve(frame3d.load(path)))
    left = {body.key: body for body in made if body.side == "left"}
    return [
        {
            "name": body.name,
            "colour": body.colour,
            "mirror_of": left[body.key].name
            if body.side == "right" and body.key in left and mirrors(left[body.key], body)
            else None,
            "metal": [sweep(s) for s in body.metal],
            "bore": None if body.bore is None else sweep(body.bore),
            "cuts": [sweep(s) for cut in body.cuts for s in cut.tool],
            "holes": [
                sweep(s)
                for s in (
                    *(body.voids if body.bore is None else body.voids[1:]),
                    *body.holes,
                    *body.drills,
                )
            ],
        }
        for body in made
    ]


if __name__ == "__main__":
    Path(sys.argv[2]).write_text(json.dumps(recipe(Path(sys.argv[1]))))
