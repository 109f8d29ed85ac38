"""Plates with an outline of the user's own, in the side view at a lateral place."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from frame3d.geometry.closed_path import CornerError, Path
from frame3d.geometry.extrusion import Plane
from frame3d.geometry.outline import Hole, Outline, Pocket, Slot
from frame3d.geometry.vector import Point
from frame3d.parameters.models.flat_parts.cut_outs import OwnOutlineSpec, PocketSpec
from frame3d.parameters.models.flat_parts.plates import PathSpec
from frame3d.plates.tabs import MisfitError


def plane_of(spec: PathSpec, places: Mapping[str, Point]) -> Plane:
    """Return the plane of a plate: x forward and y up where it is not turned."""
    x, z = spec.at if not isinstance(spec.at, str) else places[spec.at][::2]
    turn = math.radians(spec.turn)
    c, s = math.cos(turn), math.sin(turn)
    return Plane((x, spec.y, z), (c, 0.0, s), (-s, 0.0, c))


def outline_of(spec: PathSpec | OwnOutlineSpec, under: str = "") -> Outline:
    """Return the outline, anticlockwise however it was written.

    Args:
        spec: as the file writes it.
        under: what its keys stand under, for faults, with a dot at its end.

    Raises:
        MisfitError: corners that cannot be rounded so.
    """
    return Outline(
        _edge(spec, under).anticlockwise(),
        tuple(
            Hole(*hole.at, hole.diameter, hole.fit or "", hole.thread or "", hole.note or "")
            for hole in spec.holes
        ),
        tuple(Slot(*s.at, s.length, s.width, s.angle, s.note or "") for s in spec.slots),
        tuple(_pocket(pocket) for pocket in spec.pockets),
    )


def _edge(spec: PathSpec | OwnOutlineSpec, under: str) -> Path:
    if spec.path is not None:
        return _path(spec.path)
    assert spec.corners is not None
    try:
        return Path.rounded([(c[0], c[1], c[2] if len(c) > 2 else 0.0) for c in spec.corners])
    except CornerError as problem:
        raise MisfitError(
            f"{under}corners.{problem.corner}",
            str(problem),
            f"a radius of at most {problem.most:.2f}" if problem.most > 0 else "other corners",
        ) from None


def _path(vertices: Sequence[Sequence[float]]) -> Path:
    return Path(tuple((v[0], v[1], v[2] if len(v) > 2 else 0.0) for v in vertices))


def _pocket(spec: PocketSpec) -> Pocket:
    if spec.path is not None:
        path = _path(spec.path).anticlockwise()
    else:
        assert spec.at is not None
        assert spec.diameter is not None
        path = Path.circle(*spec.at, spec.diameter)
    return Pocket(path, spec.depth, spec.face, spec.note or "")
