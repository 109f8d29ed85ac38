"""DXF files of flat parts, read by ezdxf and shapely."""

from __future__ import annotations

import math
from typing import Any

import pytest

from frame3d.fabrication.flat.cut_files import part_dxf
from frame3d.fabrication.flat.parts import SheetPart, sheet_parts
from tests.fabrication.crossing import crossed
from tests.fabrication.flat.samples import gusset, own_plate, read, ring, strip, trail
from tests.plates.test_dropouts import OWN, SLIDING
from tests.plates.test_dropouts import bike as flat_bike

PARTS = {
    "own": own_plate,
    "gusset": gusset,
    "strip": strip,
    "rocker": lambda: sheet_parts(trail())[0],
    "hooded": lambda: dropout({"kind": "hooded", "hanger": {"kind": "fixed"}}),
    "sliding": lambda: dropout(SLIDING),
    "outlined": lambda: dropout({"kind": "hooded", "outline": OWN}),
}


def dropout(given: dict[str, Any]) -> SheetPart:
    """The last of the sheets of a hardtail with such dropouts: the right one's, or both."""
    return sheet_parts(flat_bike(given))[-1]


@pytest.fixture(params=PARTS)
def part(request: pytest.FixtureRequest) -> SheetPart:
    made = PARTS[request.param]()
    assert isinstance(made, SheetPart)
    return made


def test_closed_valid_and_as_large_as_the_face(part: SheetPart) -> None:
    """The largest ring less the others; hole centres and diameters to 1e-6 mm."""
    doc = read(part_dxf(part, "A bike"))
    auditor = doc.audit()
    assert not auditor.errors
    assert not auditor.fixes
    assert doc.header["$INSUNITS"] == 4  # millimetres
    cut = [e for e in doc.modelspace() if e.dxf.layer == "CUT"]
    assert {e.dxftype() for e in cut} <= {"LWPOLYLINE", "CIRCLE"}
    assert all(e.closed for e in cut if e.dxftype() == "LWPOLYLINE")
    rings = sorted((ring(e) for e in cut), key=lambda r: -r.area)
    assert all(r.is_valid for r in rings)
    assert all(rings[0].contains(r) for r in rings[1:])
    area = rings[0].area - sum(r.area for r in rings[1:])
    assert area == pytest.approx(part.outline.area, rel=1e-6)
    circles = [
        (e.dxf.center.x, e.dxf.center.y, 2 * e.dxf.radius) for e in cut if e.dxftype() == "CIRCLE"
    ]
    assert len(circles) == len(part.outline.holes)
    for found, hole in zip(circles, part.outline.holes, strict=True):
        assert found == pytest.approx((hole.x, hole.y, hole.diameter), abs=1e-6)


def test_as_large_as_the_solids_face() -> None:
    """The CAD kernel's solid of the link's plate, bored by its cylinders: face, volume and mass."""
    import cadquery as cq

    from frame3d.solids import occ
    from frame3d.tubes.hardware import LinkPlate

    bike = trail()
    (part,) = sheet_parts(bike)
    plate = next(item for item in bike.pivots if isinstance(item, LinkPlate))
    solid = cq.Shape.cast(occ.solid(plate.plate))
    for boss in plate.bosses:
        at = cq.Vector(boss.x, plate.plate.low - 1, boss.z)
        solid = solid.cut(
            cq.Solid.makeCylinder(boss.bore / 2, plate.plate.thickness + 2, at, cq.Vector(0, 1, 0))
        )
    face = max((face.Area() for face in solid.Faces()), default=0)
    assert part.outline.area == pytest.approx(face, rel=1e-6)
    assert part.grams == pytest.approx(solid.Volume() * part.density * 1e-3, rel=1e-6)


def test_what_is_said_and_where(part: SheetPart) -> None:
    doc = read(part_dxf(part, "A bike"))
    texts = {layer: " ".join(e.dxf.text for e in doc.modelspace()
                             if e.dxftype() == "TEXT" and e.dxf.layer == layer)
             for layer in ("MARK", "NOTE", "CUT")}  # fmt: skip
    for said in (part.name, f"{part.thickness:g} mm", part.material, part.quantity):
        assert said in texts["MARK"]
    assert "Kerf is left to the shop" in texts["NOTE"]
    assert "no claim about strength" in texts["NOTE"]
    assert texts["CUT"] == ""
    assert crossed(doc.modelspace(), through=()) == []
    assert part_dxf(part, "A bike") == part_dxf(part, "A bike")


def test_pockets_and_bores_have_marks_of_their_own() -> None:
    doc = read(part_dxf(own_plate(), "A bike"))
    (pocket,) = [e for e in doc.modelspace() if e.dxf.layer == "POCKET_BACK"]
    assert ring(pocket).area == pytest.approx(math.pi * 16**2, rel=1e-6)
    lines = [e for e in doc.modelspace() if e.dxf.layer == "MARK" and e.dxftype() == "LINE"]
    assert len(lines) == 4  # crosses of the bearing's bore and the threaded hole
    assert not doc.layers.get("NOTE").dxf.plot
    assert "POCKET_FRONT" not in doc.layers
