"""A part's mesh as it will be written: one closed, manifold, outward shell without slivers."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from frame3d.errors import Fault, MockupError
from frame3d.mockup.printing.slivers import without_slivers
from frame3d.solids.mesh import Mesh, read_manifold

if TYPE_CHECKING:
    from manifold3d import Manifold

GRID: Final = 2.0**-13
"""Vertices are written on this grid [mm], about 1e-4: STL's 32-bit numbers hold its points exactly up
to 2 m, so that the faces which are checked are those that are written."""
SLIVER: Final = 1e-6
"""No face is smaller than this [mm²]."""
THIN: Final = 3 * GRID
"""Faces lower than this are taken out where that can be done [mm]: rounding to the grid moves corners by
up to 0.87 of it, two of them against each other, so that what is higher keeps its side up."""
SIMPLIFY: Final = GRID
"""Details finer than this are taken out [mm]: no more than the grid would take."""
CRUMB: Final = 0.01
"""Overlap of two parts that touch [mm³]."""
LOOSE: Final = 0.1
"""Pieces up to this are crumbs that cuts leave, too small to print [mm³]."""


def meshed(solid: Manifold) -> Mesh:
    """A solid as the mesh that will be written: on the grid, without slivers.

    Where faces of two parts meet, or of one part twice, the solid remembers a seam, which it would keep
    however fine its corners are; as an original it has none.
    """
    return snapped(read_manifold(_one(solid.as_original().simplify(SIMPLIFY))))


def problems(mesh: Mesh) -> list[str]:
    """What is wrong with a mesh, by trimesh; empty where nothing is."""
    import trimesh

    body = trimesh.Trimesh(mesh.vertices, mesh.triangles, process=False)
    found = []
    if not body.is_watertight:
        found.append("it is not closed")
    if not body.is_winding_consistent:
        found.append("its faces do not all turn the same way")
    if body.is_watertight and body.volume <= 0:
        found.append("its faces look inward")
    count = shells(mesh)
    if count != 1:
        found.append(f"it is {count} shells, not one")
    smallest = float(body.area_faces.min()) if len(mesh.triangles) else 0.0
    if smallest < SLIVER:
        found.append(f"it has a face of {smallest:.1e} mm²")
    return found


def shells(mesh: Mesh) -> int:
    """Number of connected pieces of the surface."""
    label = np.arange(len(mesh.vertices))
    edges = np.vstack([mesh.triangles[:, [0, 1]], mesh.triangles[:, [1, 2]]])
    while True:
        low = np.minimum(label[edges[:, 0]], label[edges[:, 1]])
        new = label.copy()
        np.minimum.at(new, edges[:, 0], low)
        np.minimum.at(new, edges[:, 1], low)
        new = new[new]
        if np.array_equal(new, label):
            return len(np.unique(label[mesh.triangles]))
        label = new


def passed(meshes: dict[str, Mesh]) -> None:
    """Refuse bad parts.

    Raises:
        MockupError: naming every part that is no single closed shell.
    """
    faults = [
        Fault(
            "output",
            name,
            f"the part cannot be printed: {', '.join(found)}",
            "choose another scale, or leave the part out with --with; please report it, as this is a "
            "defect of frame3d's",
        )
        for name, mesh in meshes.items()
        if (found := problems(mesh))
    ]
    if faults:
        raise MockupError(faults)


def _one(solid: Manifold) -> Manifold:
    """A solid without the voids inside it, which no one sees, and without crumbs.

    Shells of voids enclose a negative volume.
    """
    from manifold3d import Manifold

    pieces = solid.decompose()
    kept = [piece for piece in pieces if piece.volume() > LOOSE]
    if not kept or len(kept) == len(pieces):
        return solid
    return kept[0] if len(kept) == 1 else Manifold.compose(kept)


def snapped(mesh: Mesh) -> Mesh:
    """On the grid and without slivers.

    No two corners fall together: walls and gaps finer than the grid keep a step of it, so that the
    surface stays what it is.
    """
    mesh = without_slivers(mesh, 10 * SLIVER, THIN)
    cells = np.round(mesh.vertices / GRID)
    for _ in range(8):
        _, first, count = np.unique(cells, axis=0, return_index=True, return_counts=True)
        if (count == 1).all():
            break
        late = np.setdiff1d(np.arange(len(cells)), first)
        cells[late] += np.round(1.2 * _normals(mesh)[late])
    return without_slivers(Mesh(cells * GRID + 0.0, mesh.triangles), 10 * SLIVER, THIN)


def _normals(mesh: Mesh) -> NDArray[np.float64]:
    """Outward unit directions at corners: (n, 3) float."""
    corners = mesh.vertices[mesh.triangles]
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    total = np.zeros_like(mesh.vertices)
    for i in range(3):
        np.add.at(total, mesh.triangles[:, i], normal)
    size = np.linalg.norm(total, axis=1, keepdims=True)
    return np.asarray(np.where(size > 0, total / np.where(size > 0, size, 1.0), (0.0, 0.0, 1.0)))
