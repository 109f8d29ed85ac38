"""Flat parts for tests, all invented, and the suspension demo's."""

from __future__ import annotations

import io
from functools import cache
from typing import Any

import ezdxf
import numpy as np
import shapely
from ezdxf.document import Drawing
from ezdxf.math import bulge_to_arc

import frame3d
from frame3d.bike.bike import Bike
from frame3d.fabrication.flat.parts import SheetPart, at_datum
from frame3d.geometry.closed_path import Path
from frame3d.geometry.outline import Hole, Outline, Pocket, Slot
from tests.fabrication.bikes import CONFIGS

STEEL = 7.85


def own_plate() -> SheetPart:
    """A plate with everything: an inner corner, a bearing, a thread, a slot, a pocket."""
    corners = [(0, 0, 8), (90, 0, 8), (110, 40, 14), (50, 70, 10), (50, 40, 6), (0, 40, 8)]
    holes = (
        Hole(14, 14, 6.5, note="bolt"),
        Hole(90, 20, 5, thread="M6", note="guide"),
        Hole(70, 38, 26, fit="N7", note="bearing"),
    )
    outline = Outline(
        Path.rounded(corners),
        holes,
        (Slot(36, 26, 24, 8, 20, "cable"),),
        (Pocket(Path.circle(70, 38, 32), 2, "back"),),
    )
    assert not outline.flaws()
    return SheetPart("own_plate", "Own plate", at_datum(outline), 5, "4130", STEEL, 1, 1)


def gusset() -> SheetPart:
    """A triangle without holes."""
    outline = Outline.rounded([(0, 0, 0), (70, 0, 2), (70, 4, 2), (4, 45, 2), (0, 45, 2)])
    return SheetPart("head_gusset", "Head gusset", at_datum(outline), 4, "4130", STEEL, 2)


def strip(holes: int = 16) -> SheetPart:
    """A long plate with many holes."""
    corners = [(0, 0, 5), (260, 0, 5), (260, 90, 5), (0, 90, 5)]
    made = [Hole(20 + 30 * (i // 2), 20 + 50 * (i % 2), 6) for i in range(holes)]
    return SheetPart(
        "strip", "Strip", at_datum(Outline.rounded(corners, made)), 4, "4130", STEEL, 1
    )


BEARINGS = "suspension.pivots.rocker_pivot={housing: rocker, od: 34, axle: 12, bearing: {od: 28, width: 8}}"


@cache
def trail(*sets: str) -> Bike:
    """The suspension demo."""
    return frame3d.solve(frame3d.load(CONFIGS / "trail_full_140.yaml", sets=sets))


def read(data: bytes) -> Drawing:
    """A DXF, read again."""
    return ezdxf.read(io.StringIO(data.decode()))  # type: ignore[attr-defined]


def ring(entity: Any) -> shapely.Polygon:
    """The inside of a closed polyline or circle of a DXF; arcs by ezdxf's own reading of bulges."""
    if entity.dxftype() == "CIRCLE":
        return shapely.Polygon([(p.x, p.y) for p in entity.flattening(1e-6)])
    points = list(entity.get_points("xyb"))
    found: list[tuple[float, float]] = []
    for (x, y, bulge), (u, v, _) in zip(points, [*points[1:], points[0]], strict=True):
        if bulge == 0:
            found.append((x, y))
            continue
        centre, first, last, radius = bulge_to_arc((x, y), (u, v), bulge)
        last += 2 * np.pi if last < first else 0.0
        turns = np.linspace(first, last, 2000)[:: 1 if bulge > 0 else -1][:-1]
        around = zip(np.cos(turns).tolist(), np.sin(turns).tolist(), strict=True)
        found += [(centre.x + radius * c, centre.y + radius * s) for c, s in around]
    return shapely.Polygon(found)
