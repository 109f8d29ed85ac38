r"""Planes that cut a part through whatever is in their way, where no plane across limbs makes it fit.

Every outline of the section is one crossing. Its point is the middle of the largest circle in it:

        .-------------.
       /      .-.      \
      |      ( o )      |      o: the peg, if a cylinder around it lies within the part on both sides
       \      '-'      /
        '-------------'
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Final

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.mockup.fits import SPARE
from frame3d.mockup.options import Bed, Options
from frame3d.mockup.part import ModelPart
from frame3d.mockup.printing.bed_fit import overhang, upright
from frame3d.mockup.printing.plane import DEPTH, Crossing, Plane, peg_room
from frame3d.mockup.solid import area, circle, rod

if TYPE_CHECKING:
    from manifold3d import CrossSection, Manifold

STEP: Final = 2.0
"""Distance between the parallel planes that are compared [mm]."""
LEAST: Final = 8.0
"""Shortest piece along the plane's normal [mm]."""
SLICED: Final = 12
"""Largest number of planes whose sections are looked at."""


def any_planes(part: ModelPart, bed: Bed, options: Options) -> Iterator[Plane]:
    """Yield planes normal to the model's axes, best first.

    Ordered by the number of sides that still do not fit the bed, then the number of areas without a peg,
    the number of areas, the larger overhang of the two sides, and the distance from the part's middle.
    """
    points = np.asarray(part.solid.to_mesh64().vert_properties)[:, :3]
    rough: list[tuple[int, float, float, int, Array, float]] = []
    for i, normal in enumerate(np.eye(3)):
        height = points @ normal
        low, high = float(height.min()) + LEAST, float(height.max()) - LEAST
        for offset in np.arange(low, high, STEP):
            sides = [_side(points, i, offset, sign) for sign in (1.0, -1.0)]
            over = [overhang(side, bed, part.down) for side in sides]
            aside = abs(float(offset) - (low + high) / 2)
            over_most = round(max(*over, 0.0), 1)
            rough.append(
                (sum(o > 0 for o in over), over_most, aside, len(rough), normal, float(offset))
            )
    ranked: list[tuple[tuple[int, int, int, float, float], int, Plane]] = []
    for short, most, aside, number, normal, offset in sorted(rough, key=lambda e: e[:4])[:SLICED]:
        plane = any_plane(part.solid, normal, offset, options)
        bare = sum(not crossing.pegged for crossing in plane.crossings)
        ranked.append(((short, bare, len(plane.crossings), most, aside), number, plane))
    yield from (plane for _, _, plane in sorted(ranked, key=lambda e: e[:2]))


def any_plane(solid: Manifold, normal: Array, offset: float, options: Options) -> Plane:
    """Return a plane with its crossings with a solid."""
    own = upright(normal)
    flat = solid.transform(np.column_stack([own.T, np.zeros(3)])).slice(offset)
    found = []
    for outline in flat.decompose():
        middle, radius = _largest_circle(outline)
        at = own @ np.array([*middle, offset])
        found.append(Crossing(at, radius, _takes_peg(solid, at, normal, radius, options)))
    return Plane(normal, offset, tuple(found), anywhere=True)


def _side(points: Array, axis: int, offset: float, sign: float) -> Array:
    """Return the points of one side of a plane, and those of the other moved onto it.

    The section's own points are not known here; these bound it.
    """
    moved = points.copy()
    moved[:, axis] = sign * np.maximum(sign * points[:, axis], sign * offset)
    return moved


def _largest_circle(outline: CrossSection) -> tuple[tuple[float, float], float]:
    """Return middle and radius of the largest circle in an area, by offsetting it inward [mm]."""
    box = np.array(outline.bounds())
    low, high = 0.0, float(min(box[2:] - box[:2])) / 2
    inner = outline
    for _ in range(12):
        radius = (low + high) / 2
        smaller = outline.offset(-radius)
        if smaller.is_empty():
            high = radius
        else:
            low, inner = radius, smaller
    core = max(inner.decompose(), key=lambda piece: float(piece.area()))
    corners = np.vstack(core.to_polygons())
    middle = corners.mean(axis=0)
    if (area(circle(1e-3, *middle)) ^ outline.offset(1e-3 - low)).is_empty():
        middle = corners[int(np.argmin(np.linalg.norm(corners - middle, axis=1)))]
    return (float(middle[0]), float(middle[1])), low


def _takes_peg(solid: Manifold, at: Array, normal: Array, radius: float, options: Options) -> bool:
    """Return whether a peg with clearance and wall around it lies within the solid on both sides."""
    if radius < peg_room(options):
        return False
    deep = (DEPTH + SPARE) * normal
    around = rod(at - deep, at + deep, peg_room(options))
    return float((around - solid).volume()) < 1e-3 * float(around.volume())
