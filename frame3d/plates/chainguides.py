r"""The plate of a chainguide's tabs: a round about each hole, joined by a ring that opens to the rear.

Seen from the drive side, x forward::

          .-.                   e: a hole's direction from the shell's centre
         ( o `-._               lobe: the round about it, up to its tangents
          |  |   `.  ring       n: normal of the tangent to round and ring, `turn` from e:
          |__|_.   \                 cos(turn) = (ring - radius) / circle radius
             (shell) .-.
                `.  ( o )
          .__.-' /   `-'
         ( o___.'

Both ends run straight down to the shell, beside the first hole and the last.
"""

from __future__ import annotations

import math
from itertools import pairwise

from frame3d.geometry.closed_path import Path, Vertex
from frame3d.geometry.extrusion import Plane
from frame3d.geometry.outline import Hole, Outline
from frame3d.parameters.models.flat_parts.plates import ChainguideSpec
from frame3d.parameters.models.tube_features.kinds import SCREWS
from frame3d.plates.surface import SUNK, Edges
from frame3d.plates.tabs import MisfitError
from frame3d.tubes.tube import Shell

PLANE = Plane((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
"""The side view as the drive side shows it; heights above it are -y."""
TOUCHING = 1e-6
"""Less of the ring is not left between two rounds [degrees]."""


def edges_of(spec: ChainguideSpec, shell: Shell) -> Edges:
    """Return the plate's edge, and the same with its inner edge in the shell.

    Raises:
        MisfitError: rounds or ring do not go about the shell.
    """
    inner, middle, ring = shell.od / 2, spec.circle / 2, spec.outer
    if spec.radius >= inner - SUNK:
        raise MisfitError(
            "radius", "the rounds are as wide as the shell", f"less than {inner - SUNK:.1f}"
        )
    if middle - SCREWS[spec.thread].major / 2 <= inner:
        raise MisfitError(
            "circle",
            f"its holes reach into the shell of {shell.od:g} mm",
            f"more than {2 * inner + SCREWS[spec.thread].major:g}",
        )
    if not inner + 1.0 <= ring < middle + spec.radius:
        raise MisfitError(
            "ring",
            "it does not run between the shell and the rounds' outer edge",
            f"from {inner + 1:.1f} to less than {middle + spec.radius:.1f}",
        )
    turn = math.degrees(math.acos((ring - spec.radius) / middle))
    for one, other in pairwise(spec.angles):
        if other - one < 2 * turn + TOUCHING:
            raise MisfitError(
                "angles",
                f"holes {other - one:g}° apart leave no ring between their rounds, which take "
                f"{2 * turn:.1f}°",
                "further apart, a larger ring, or a smaller radius",
            )
    return Edges(_path(spec, inner, turn), _path(spec, inner - SUNK, turn))


def outline_of(spec: ChainguideSpec, edge: Path) -> Outline:
    """Return the plate's outline with its holes."""
    size = SCREWS[spec.thread].major
    holes = (_polar(angle, spec.circle / 2) for angle in spec.angles)
    return Outline(edge, tuple(Hole(x, y, size, thread=spec.thread) for x, y in holes))


def _path(spec: ChainguideSpec, inner: float, turn: float) -> Path:
    """Return the edge anticlockwise, from the shell beside the first hole on."""
    first, last = spec.angles[0], spec.angles[-1]
    low = math.degrees(math.asin(spec.radius / inner))
    found: list[Vertex] = [(*_polar(first - low, inner), 0.0)]
    for angle in spec.angles:
        start = -90.0 if angle == first else -turn
        end = 90.0 if angle == last else turn
        found.append((*_beside(spec, angle, start), _bulge(end - start)))
        found.append((*_beside(spec, angle, end), 0.0))
        if angle != last:
            following = spec.angles[spec.angles.index(angle) + 1] - turn
            found.append((*_polar(angle + turn, spec.outer), _bulge(following - angle - turn)))
            found.append((*_polar(following, spec.outer), 0.0))
    back = first - last - 2 * low
    found.append((*_polar(last + low, inner), _bulge(back / 2)))
    found.append((*_polar(last + low + back / 2, inner), _bulge(back / 2)))
    return Path(tuple(found))


def _polar(angle: float, radius: float) -> tuple[float, float]:
    turn = math.radians(angle)
    return radius * math.cos(turn), radius * math.sin(turn)


def _beside(spec: ChainguideSpec, angle: float, turn: float) -> tuple[float, float]:
    """Return the point of a hole's round in a direction `turn` from the hole's own [degrees]."""
    (x, y), (u, v) = _polar(angle, spec.circle / 2), _polar(angle + turn, spec.radius)
    return x + u, y + v


def _bulge(sweep: float) -> float:
    return math.tan(math.radians(sweep) / 4)
