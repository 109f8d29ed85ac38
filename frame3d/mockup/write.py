"""The files of a scale model: STL of parts, 3MF of plates, assembly, instructions, mockup.json."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from frame3d.formats.documents import dumps
from frame3d.formats.glb import glb
from frame3d.formats.stl import encode
from frame3d.formats.threemf import threemf
from frame3d.mockup.document import mockup_document, part_file, plate_file
from frame3d.mockup.howto import howto
from frame3d.mockup.model import ScaleModel
from frame3d.mockup.printing.plates import Plates
from frame3d.solids.model import FrameModel, mesh_part

DOCUMENT: Final = "mockup.json"
MANIFEST: Final = "mockup.sha256"
"""Name of the list of a model's files; see `frame3d.formats.manifest`."""
HEADER: Final = b"frame3d: scale model, mm, as it lies on the plate; geometry only"


def files(
    model: ScaleModel, plates: Plates, progress: Callable[[str, float], None]
) -> tuple[dict[str, bytes], dict[str, Any]]:
    """Return the contents of all files by name, and the document of mockup.json."""
    document = mockup_document(model, plates)
    found: dict[str, bytes] = {}
    for item in plates.parts:
        found[part_file(item)] = encode(item.flat, header=HEADER)
    name = model.drawing.bike.spec.title
    for i, plate in enumerate(plates.plates):
        progress(plate_file(plate.number), i / (len(plates.plates) + 3))
        items = [item for item in plates.parts if item.plate == plate.number]
        found[plate_file(plate.number)] = threemf(
            _pieces(model, plates, [item.part.name for item in items]),
            {item.part.name: item.flat for item in items},
            title=f"{name}, {document['ratio']}, plate {plate.number} of {len(plates.plates)}",
            places={item.part.name: item.transform for item in items},
        )
    progress("assembly.glb", 0.8)
    every = [item.part.name for item in plates.parts]
    meshes = {item.part.name: item.mesh for item in plates.parts}
    found["assembly.glb"] = glb(_pieces(model, plates, every), meshes)
    progress("howto.pdf", 0.9)
    found["howto.pdf"] = howto(model, plates, document)
    document = {**document, "files": [*found, DOCUMENT, MANIFEST]}
    found[DOCUMENT] = dumps(document).encode("utf-8")
    return found, document


def _pieces(model: ScaleModel, plates: Plates, names: list[str]) -> FrameModel:
    """Return the parts as a FrameModel for exporters."""
    material = model.drawing.options.material
    parts = [
        mesh_part(item.part.name, item.part.colour, item.mesh, material)
        for item in plates.parts
        if item.part.name in names
    ]
    return FrameModel(model.drawing.bike, (), tuple(parts), {})
