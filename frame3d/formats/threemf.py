"""3MF: a named, coloured object for each part, for slicers (3MF Core Specification 1.3)."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterable, Mapping
from xml.sax.saxutils import escape, quoteattr

import numpy as np
from numpy.typing import NDArray

from frame3d.caution import CAUTION
from frame3d.formats.writer import timestamp
from frame3d.solids.mesh import Mesh
from frame3d.solids.model import Colour, FrameModel

CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
"""Namespace of the core specification."""
MODEL = "3D/3dmodel.model"
CONTENT_TYPES = """<?xml version="1.0" encoding="UTF-8"?>
<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">
 <Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>
 <Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/>
</Types>
"""
RELATIONSHIPS = f"""<?xml version="1.0" encoding="UTF-8"?>
<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">
 <Relationship Target="/{MODEL}" Id="rel0"
  Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/>
</Relationships>
"""


def threemf(
    model: FrameModel,
    meshes: Mapping[str, Mesh] | None = None,
    *,
    title: str | None = None,
    places: Mapping[str, NDArray[np.float64]] | None = None,
) -> bytes:
    """Return the frame's parts as 3MF, in mm and in their places.

    Args:
        model: the frame.
        meshes: a closed mesh for each part by name; the model's own if not given.
        title: the bike's name if not given.
        places: motion (3, 4) of each part from its mesh to its place, by name, for points as columns
            [mm]; others are not moved.
    """
    meshes = model.meshes if meshes is None else meshes
    title = model.bike.spec.title if title is None else title
    places = {} if places is None else places
    materials = list(dict.fromkeys((part.material, part.colour) for part in model.parts))
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<model unit="millimeter" xml:lang="en-US" xmlns="{CORE}">',
        f' <metadata name="Title">{escape(title)}</metadata>',
        f' <metadata name="Description">{escape(CAUTION)}</metadata>',
        ' <metadata name="Application">frame3d</metadata>',
        " <resources>",
        '  <basematerials id="1">',
    ]
    lines += [
        f"   <base name={quoteattr(material)} displaycolor={quoteattr(_hex(colour))}/>"
        for material, colour in materials
    ]
    lines.append("  </basematerials>")
    for number, part in enumerate(model.parts, start=2):
        index = materials.index((part.material, part.colour))
        lines.append(
            f'  <object id="{number}" type="model" name={quoteattr(part.name)} '
            f'partnumber={quoteattr(part.key)} pid="1" pindex="{index}">'
        )
        lines += _mesh(meshes[part.name])
        lines.append("  </object>")
    lines += [" </resources>", " <build>"]
    lines += [
        f'  <item objectid="{number}"{_transform(places.get(part.name))}/>'
        for number, part in enumerate(model.parts, start=2)
    ]
    lines += [" </build>", "</model>", ""]
    return _package(
        {
            "[Content_Types].xml": CONTENT_TYPES,
            "_rels/.rels": RELATIONSHIPS,
            MODEL: "\n".join(lines),
        }
    )


def _mesh(mesh: Mesh) -> Iterable[str]:
    yield "   <mesh>"
    yield "    <vertices>"
    for x, y, z in np.round(mesh.vertices, 5) + 0.0:
        yield f'     <vertex x="{x:.9g}" y="{y:.9g}" z="{z:.9g}"/>'
    yield "    </vertices>"
    yield "    <triangles>"
    for a, b, c in mesh.triangles.tolist():
        yield f'     <triangle v1="{a}" v2="{b}" v3="{c}"/>'
    yield "    </triangles>"
    yield "   </mesh>"


def _transform(place: NDArray[np.float64] | None) -> str:
    """Return an item's transform attribute, m00 m01 m02 m10 ... m32, empty for None.

    3MF's matrix is for points as rows (core specification, from memory), so it lists our columns.
    """
    if place is None:
        return ""
    numbers = " ".join(f"{value:.9g}" for value in np.round(place.T.ravel(), 9) + 0.0)
    return f' transform="{numbers}"'


def _hex(colour: Colour) -> str:
    """Return a colour as 3MF writes it: #RRGGBB, sRGB."""
    return "#" + "".join(f"{round(255 * value):02X}" for value in colour)


def _package(members: Mapping[str, str]) -> bytes:
    """Return a zip archive with fixed dates and permissions, members in the order given."""
    date = timestamp().timetuple()[:6]
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED, compresslevel=6) as archive:
        for name, text in members.items():
            member = zipfile.ZipInfo(name, date)
            member.compress_type = zipfile.ZIP_DEFLATED
            member.external_attr = 0o644 << 16
            member.create_system = 3
            archive.writestr(member, text.encode("utf-8"))
    return stream.getvalue()
