"""Binary STL: the frame as one closed surface, or one for each separate piece and each link."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from frame3d.bodies.motion.pose import Matrix
from frame3d.errors import OutputError, SolidError
from frame3d.formats.standing import moved
from frame3d.solids.body_meshes import CRUMB, MeshError, frame_mesh, overlaps
from frame3d.solids.mesh import TOLERANCE, Mesh
from frame3d.solids.model import FrameModel

HEADER = b"frame3d: mm, x forward, y left, z up; geometry only, no claim about strength"
RECORD = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("spare", "<u2")])


AGREEMENT = 1e-4
"""Largest relative difference between the volume of the whole and of its parts, with equal tolerances;
measured on the demos at 0.5 to 0.01 mm: at most 5e-6."""


def stl(
    model: FrameModel,
    tolerance: float = TOLERANCE,
    motions: Mapping[str, Matrix] | None = None,
    meshes: Mapping[str, Mesh] | None = None,
) -> bytes:
    """Return the frame as binary STL in mm.

    STL has no units, and no text except for its 80-byte header.

    Args:
        model: the frame.
        tolerance: largest distance between the surface and the true frame [mm].
        motions: of links from their drawn positions, by name: (4, 4) float [mm].
        meshes: each part's mesh at that tolerance, by name; the model's own if not given.

    Raises:
        OutputError: the surface is not closed in 32-bit numbers.
        SolidError: parts overlap.
        DisagreementError: the whole and its parts do not have equal volumes.
    """
    motions = {} if motions is None else motions
    meshes = model.meshes if meshes is None else meshes
    links = dict.fromkeys(body.link for body in model.bodies)
    try:
        wholes = []
        for link in links:
            bodies = [body for body in model.bodies if body.link == link]
            mesh = frame_mesh(bodies, tolerance)
            hold(model, mesh, {body.name: meshes[body.name] for body in bodies})
            wholes.append(moved(mesh, motions.get(link or "")))
        return encode(*wholes)
    except MeshError as problem:
        raise OutputError(
            model.bike.spec.fault(
                "output",
                "tubes",
                f"the frame gives no STL: {problem}",
                "choose another tolerance, or move tubes that only just touch",
            )
        ) from problem


def hold(model: FrameModel, whole: Mesh, parts: Mapping[str, Mesh]) -> None:
    """Fault if the mesh of a rigid body and the meshes of its parts do not have equal volumes.

    Args:
        model: the frame, for faults.
        whole: all of one rigid body.
        parts: its parts by name.

    Raises:
        SolidError: parts overlap; each pair is named.
        DisagreementError: the volumes differ, although no parts overlap.
    """
    expected = sum(mesh.volume for mesh in parts.values())
    if abs(whole.volume - expected) <= AGREEMENT * expected + CRUMB:
        return
    paths = {body.name: body.path for body in model.bodies}
    faults = [
        model.bike.spec.fault(
            "solid",
            paths[b],
            f"{a} and {b} lie in one another: {volume:.0f} mm³ of metal are in both",
            "move one of them, or let it end on the other, so that it is cut to fit",
        )
        for a, b, volume in overlaps(parts)
    ]
    if faults:
        raise SolidError(faults)
    raise DisagreementError(
        f"the frame as one surface has {whole.volume:.0f} mm³ of metal where its parts have "
        f"{expected:.0f} mm³; nothing was written"
    )


class DisagreementError(RuntimeError):
    """Two meshes of the same metal differ: a defect of frame3d, not of the file."""


def encode(*meshes: Mesh, header: bytes = HEADER) -> bytes:
    """Return closed meshes as binary STL: 84 bytes of header and count, 50 bytes a triangle.

    Args:
        meshes: each closed.
        header: text of up to 80 bytes.

    Raises:
        MeshError: a surface does not stay closed.
    """
    records = np.concatenate([_records(mesh) for mesh in meshes])
    return header.ljust(80)[:80] + np.uint32(len(records)).tobytes() + records.tobytes()


def _records(mesh: Mesh) -> NDArray[np.void]:
    """Return a mesh's triangles as STL records, without those that vanish in 32-bit numbers.

    Vertices that become equal in 32-bit numbers are merged. Where that would join surfaces that are too
    close for these numbers, all vertices are kept, one step of the numbers apart.
    """
    rounded = mesh.vertices.astype("<f4")
    # Points as twelve bytes each: equal ones have the same bytes once -0 is 0.
    points = np.ascontiguousarray(rounded + np.float32(0)).view("V12").ravel()
    _, first, index = np.unique(points, return_index=True, return_inverse=True)
    vertices, triangles = rounded[first], index.reshape(-1)[mesh.triangles]
    distinct = (triangles != np.roll(triangles, 1, axis=1)).all(axis=1)
    triangles = triangles[distinct]
    if not is_closed(triangles):
        vertices, triangles = _apart(rounded), mesh.triangles
    if not is_closed(triangles):
        raise MeshError("", "its surface does not stay closed in STL's 32-bit numbers")
    corners = vertices[triangles].astype(np.float64)
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    length = np.linalg.norm(normal, axis=1, keepdims=True)
    records = np.zeros(len(corners), dtype=RECORD)
    records["normal"] = normal / np.where(length > 0, length, 1.0)
    records["corners"] = corners
    return records


def _apart(vertices: NDArray[np.float32]) -> NDArray[np.float32]:
    """Return the vertices with coincident ones moved apart by a step of the 32-bit numbers."""
    moved = vertices.copy()
    while True:
        again = np.ones(len(moved), dtype=bool)
        again[np.unique(moved, axis=0, return_index=True)[1]] = False
        if not again.any():
            return moved
        moved[again, 0] = np.nextafter(moved[again, 0], np.float32(np.inf))


def is_closed(triangles: NDArray[np.int64]) -> bool:
    """Return whether every edge is used once in each direction; triangles: (m, 3) int."""
    edges = np.concatenate([triangles[:, [i, (i + 1) % 3]] for i in range(3)]).astype(np.int64)
    # Each edge as one number.
    base = int(edges.max(initial=0)) + 1
    there = np.sort(edges @ [base, 1])
    back = np.sort(edges @ [1, base])
    return bool((np.diff(there) > 0).all()) and bool(np.array_equal(there, back))
