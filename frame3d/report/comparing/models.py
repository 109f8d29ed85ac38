"""The bikes of a comparison in 3D: one GLB for all, in which equal surfaces stand once."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, Final

from frame3d.clearance.result import Report
from frame3d.family.measured import Measured
from frame3d.looks.model_file import packed
from frame3d.looks.surfaces import NO_EDGES, Surface
from frame3d.progress import Progress
from frame3d.report.comparing.data import Comparison
from frame3d.report.data import poses
from frame3d.report.meshes import meshes_of
from frame3d.report.scene import sags, scene_document
from frame3d.report.texts import Texts

FRAME = 0.4
"""Largest distance of a frame's mesh from the true surface [mm]: coarser than on the page of one bike,
since several stand on this one."""
PLACES: Final = 4
"""Decimals of points [mm] and normals, so that what differs by rounding alone is equal."""
NOTHING: Final = Report((), (), None)
"""Clearances are not shown in the picture of a comparison."""


@dataclass(frozen=True)
class Models:
    """What the page shows in 3D."""

    glb: bytes
    """Every surface of any bike once; empty where there is nothing to show."""
    scenes: tuple[dict[str, Any], ...]
    """The scene document of each bike; its parts name their nodes."""
    poses: tuple[list[dict[str, Any]], ...]
    """The positions that matter, of each bike."""


class _Shared:
    """Surfaces by their content."""

    def __init__(self) -> None:
        self.surfaces: dict[str, Surface] = {}
        self._nodes: dict[bytes, str] = {}

    def node(self, surface: Surface) -> str:
        """Return the name of the node of a surface; equal ones have one."""
        surface = Surface(
            surface.points.round(PLACES) + 0.0,  # no negative zero
            surface.normals.round(PLACES) + 0.0,
            surface.corners,
            surface.edges,
        )
        arrays = (surface.points, surface.normals, surface.corners, surface.edges)
        digest = hashlib.sha256()
        for array in arrays:
            digest.update(repr(array.shape).encode())
            digest.update(array.tobytes())
        name = self._nodes.setdefault(digest.digest(), f"s{len(self._nodes)}")
        self.surfaces.setdefault(name, surface)
        return name


def models(comparison: Comparison, texts: Texts, progress: Progress | None = None) -> Models:
    """Mesh all bikes.

    Args:
        comparison: the bikes.
        texts: for titles of parts.
        progress: called with what is being made and the share done, 0 to 1.

    Raises:
        SolidError: a frame cannot be meshed.
    """
    shared = _Shared()
    made: dict[int, dict[str, Any]] = {}
    for i, (member, one) in enumerate(zip(comparison.members, comparison.measured, strict=True)):
        if progress is not None:
            progress(f"model of {member.label}", i / len(comparison.members))
        if id(member.bike) not in made:
            made[id(member.bike)] = _scene(one, shared, texts)
    scenes = tuple(made[id(member.bike)] for member in comparison.members)
    surfaces = list(shared.surfaces.items())
    return Models(
        packed(surfaces) if surfaces else b"",
        scenes,
        tuple(
            poses(scene["motions"], sags(one.scene), texts)
            for scene, one in zip(scenes, comparison.measured, strict=True)
        ),
    )


def _scene(one: Measured, shared: _Shared, texts: Texts) -> dict[str, Any]:
    """Return a bike's scene document, whose parts name the nodes that all bikes share."""
    meshes = meshes_of(one.scene.bike, one.scene.parts, frame_within=FRAME, quick_outlines=True)
    scene = scene_document(one.scene, NOTHING, meshes, {}, texts)
    surfaces = dict(meshes.surfaces)
    return {**scene, "parts": list(_with_nodes(scene["parts"], surfaces, shared))}


def _with_nodes(
    parts: Iterable[dict[str, Any]], surfaces: Mapping[str, Surface], shared: _Shared
) -> Iterator[dict[str, Any]]:
    """Yield parts with their nodes; one that only stands elsewhere on another bike shares its own."""
    for part in parts:
        surface = surfaces[part["name"]]
        first = surface.points[0]
        own = shared.node(replace(surface, points=surface.points - first, edges=NO_EDGES))
        named = {**part, "node": own, "shift": first.tolist()}
        if "looks" in part:
            named["looks"] = [
                {**look, "node": shared.node(surfaces[look["node"]])} for look in part["looks"]
            ]
        yield named
