"""Choose the pose in which a part is printed: the one that needs least support."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.mockup.part import ModelPart
from frame3d.mockup.solid import axes, hull_of
from frame3d.solids.mesh import Mesh

if TYPE_CHECKING:
    from manifold3d import Manifold

OVERHANG: Final = 45.0
"""Faces that overhang by a larger angle from the vertical need support [degrees] (trade pages)."""
SLACK: Final = 1.5
"""Tolerance on `OVERHANG`: parts are designed with faces of exactly that angle [degrees]."""
TOUCHES: Final = 0.05
"""Faces no higher than this above the plate rest on it [mm]."""
FACES: Final = 24
"""Number of faces of the convex hull, largest first, that are tried on the plate besides the axes."""
STANDS: Final = 4.0
"""A part that rests on a smaller area is likely to come off the plate [mm²]; common practice, no
source."""
LOOSE, TALL, UNSTEADY, HIDDEN = 200.0, 0.3, 1e5, 1e6
"""Penalties as volumes of support [mm³]: for resting on no area, for each millimetre of height, for a
part that would tip over, for letters that do not face up."""


@dataclass(frozen=True, eq=False)
class PrintPose:
    """A pose on the plate."""

    turn: Array
    """Rotation (3, 3) from the model's axes to the plate's, z up."""
    support: float
    """Volume of support, from overhanging faces down to the plate [mm³]."""
    rests: float
    """Area that rests on the plate [mm²]."""
    height: float
    """Height over the plate [mm]."""
    cost: float
    """Support plus penalties [mm³]; poses are sorted by it."""


def poses(part: ModelPart, mesh: Mesh) -> list[PrintPose]:
    """Return the possible poses, best first; a face with letters should face up."""
    downs = np.array(_directions(part, mesh))
    support, rests, height = support_of(mesh, downs)
    cost = support + TALL * height + LOOSE * np.maximum(0.0, 1 - rests / STANDS)
    if part.face is not None:
        cost = cost + HIDDEN * (-downs @ part.face < 0.9)
    found: list[PrintPose] = []
    for i in np.argsort(np.round(cost, 3), kind="stable"):
        more = 0.0 if len(found) > 3 or _is_steady(mesh, downs[i]) else UNSTEADY
        found.append(
            PrintPose(_turn(downs[i]), float(support[i]), float(rests[i]), float(height[i]),
                 float(cost[i]) + more)
        )  # fmt: skip
    return sorted(found, key=lambda pose: round(pose.cost, 3))


def support_of(mesh: Mesh, downs: Array) -> tuple[Array, Array, Array]:
    """Return support volume [mm³], resting area [mm²] and height [mm] of a mesh, (k,) float each.

    Support is a column from every face that overhangs by more than `OVERHANG` down to the plate.

    Args:
        mesh: the part.
        downs: unit directions that face the plate, (k, 3).
    """
    height = -mesh.vertices @ downs.T
    low = height.min(axis=0)
    height = height - low
    a, b, c = (mesh.vertices[mesh.triangles[:, i]] for i in range(3))
    normal = np.cross(b - a, c - a) / 2
    size = np.linalg.norm(normal, axis=1)[:, None]
    facing = normal @ downs.T
    at = [height[mesh.triangles[:, i]] for i in range(3)]
    top = np.maximum(np.maximum(at[0], at[1]), at[2])
    rests = (top < TOUCHES) & (facing > 0.99 * size)
    hangs = (facing > size * np.cos(np.radians(OVERHANG - SLACK))) & ~rests
    volume = np.where(hangs, facing * (at[0] + at[1] + at[2]) / 3, 0.0).sum(axis=0)
    return volume, np.where(rests, facing, 0.0).sum(axis=0), height.max(axis=0)


def _turn(down: Array) -> Array:
    """Return a rotation that takes `down` to -z: (3, 3)."""
    aside = np.array([1.0, 0.0, 0.0]) if abs(down[0]) < 0.9 else np.array([0.0, 1.0, 0.0])
    return axes(np.zeros(3), -down, aside)[:, :3].T


def _is_steady(mesh: Mesh, down: Array) -> bool:
    """Return whether the centre of mass lies over the hull of vertices within 0.4 mm of the plate."""
    vertices = mesh.vertices @ _turn(down).T
    low = vertices[:, 2] < vertices[:, 2].min() + 0.4
    if low.sum() < 3:
        return False
    corners = hull_of(vertices[low][:, :2])
    centre = _turn(down) @ mesh.centre
    edges = np.roll(corners, -1, axis=0) - corners
    to = centre[:2] - corners
    return bool((edges[:, 0] * to[:, 1] - edges[:, 1] * to[:, 0] > 0).all())


def _directions(part: ModelPart, mesh: Mesh) -> list[Array]:
    """Return unit directions that could face the plate: `down`, faces of the hull, and the axes."""
    found: list[Array] = [] if part.down is None else [part.down / np.linalg.norm(part.down)]
    for way in (*_flats(part.solid.hull()), *np.eye(3), *-np.eye(3)):
        if not found or float((np.array(found) @ way).max()) < 0.9998:
            found.append(way)
    return found


def _flats(hull: Manifold) -> list[Array]:
    """Return unit normals of the largest flat faces of a convex hull, at most `FACES`."""
    mesh = hull.to_mesh64()
    v = np.asarray(mesh.vert_properties)[:, :3]
    a, b, c = (v[np.asarray(mesh.tri_verts)[:, i]] for i in range(3))
    normal = np.cross(b - a, c - a) / 2
    size = np.linalg.norm(normal, axis=1)
    keep = size > 1e-9
    unit = np.round(normal[keep] / size[keep, None], 3)
    keys, index = np.unique(unit, axis=0, return_inverse=True)
    areas = np.bincount(index.ravel(), weights=size[keep])
    order = np.argsort(-np.round(areas, 6), kind="stable")[:FACES]
    return [keys[i] / np.linalg.norm(keys[i]) for i in order]
