"""A part's mesh as it will be written: one closed, manifold, outward shell without slivers."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from frame3d.errors import Fault, MockupError
from frame3d.mockup.printing.slivers import without_slivers
from frame3d.solids.body_meshes import read_manifold
from frame3d.solids.mesh import Mesh

if TYPE_CHECKING:
    from manifold3d import Manifold

GRID: Final = 2.0**-13
"""Grid on which vertices are written, about 1e-4 [mm]. STL's 32-bit numbers hold its points exactly up
to 2 m, so the triangles that are checked are those that are written."""
SLIVER: Final = 1e-6
"""Smallest accepted area of a triangle [mm²]."""
THIN: Final = 3 * GRID
"""Triangles of smaller height are removed where possible [mm]. Rounding to the grid moves vertices by up
to 0.87 of its step, two of them against each other; higher triangles do not turn over by that."""
SIMPLIFY: Final = GRID
"""Finer details are removed [mm]; the grid would not hold them."""
CRUMB: Final = 0.01
"""Largest overlap of two parts that only touch [mm³]."""
LOOSE: Final = 0.1
"""Separate pieces up to this volume are removed: cuts leave them, and they are too small to print
[mm³]."""


def meshed(solid: Manifold) -> Mesh:
    """Return a solid as the mesh that will be written: on the grid, without slivers.

    A boolean's result remembers from which solids its faces came, and `simplify` keeps the seams between
    them, however fine. `as_original` forgets them first.
    """
    return snapped(read_manifold(_one(solid.as_original().simplify(SIMPLIFY))))


def problems(mesh: Mesh) -> list[str]:
    """Return sentences that say what is wrong with a mesh, tested with trimesh; empty if nothing is."""
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
    """Return the number of connected components of the surface."""
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
    """Fault if a mesh has `problems`; meshes are given by name.

    Raises:
        MockupError: naming every such mesh.
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
    """Return a solid without inner voids, which nobody sees, and without pieces up to `LOOSE`.

    The shell of a void encloses a negative volume.
    """
    from manifold3d import Manifold

    pieces = solid.decompose()
    kept = [piece for piece in pieces if piece.volume() > LOOSE]
    if not kept or len(kept) == len(pieces):
        return solid
    return kept[0] if len(kept) == 1 else Manifold.compose(kept)


def snapped(mesh: Mesh) -> Mesh:
    """Return the mesh with its vertices on the grid and without slivers.

    Vertices that would coincide are moved apart by one step of the grid, along the outward normal, so
    that thin walls and gaps do not close.
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
    """Return outward unit normals at vertices: (n, 3) float."""
    corners = mesh.vertices[mesh.triangles]
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    total = np.zeros_like(mesh.vertices)
    for i in range(3):
        np.add.at(total, mesh.triangles[:, i], normal)
    size = np.linalg.norm(total, axis=1, keepdims=True)
    return np.asarray(np.where(size > 0, total / np.where(size > 0, size, 1.0), (0.0, 0.0, 1.0)))
