r"""The metal of a post mount: two square posts, each on a tower down to its stay, drilled blind.

Section across the stay, along the bolt, seen from ahead; `thickness` is along the stay, as wide as the
face::

               face
             .-----.          the bolt is `outward` of the rotor's middle, where the stay seldom is:
             | | | |          the tower leans over to the stay's axis, and the stay cuts it
             | |_| |  thread
             |      \
              \   .-+-.
               \ (  +  )  stay
                 `---'
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.geometry.closed_path import Path
from frame3d.geometry.convex_hull import convex_hull
from frame3d.geometry.extrusion import Extrusion, Plane
from frame3d.geometry.vector import Vector, cross, point
from frame3d.tubes.cuts.mitre import level
from frame3d.tubes.cuts.overlap import Envelope
from frame3d.tubes.features.feature import Feature
from frame3d.tubes.features.stand import Spot, directions, reach, root, spot
from frame3d.tubes.tube import Tube

FLOOR: Final = 2.0
"""Metal under the thread's end [mm]; common practice, no source."""
ROOT: Final = 0.6
"""Half width of a tower at the stay's axis, as a share of the stay's least half there."""
EDGE: Final = 25
"""Points of one side of a tower's edge on its stay."""
GRID: Final = (40, 24, 60)
"""Places at which a tower's metal is looked for: across, along the stay, along the bolt."""


@dataclass(frozen=True)
class Tower:
    """A post with its tower, as solid before the stay cuts it."""

    name: str
    """With its side."""
    label: str
    spot: Spot
    """Where the middle of its foot is on the stay's outside."""
    face: Vector
    """Middle of its face, (3,) [mm]."""
    way: Vector
    """Unit direction of the bolt out of it, (3,)."""
    metal: Extrusion
    diameter: float
    """Of the thread's hole [mm]."""
    depth: float
    """Of that hole [mm]."""

    @property
    def bottom(self) -> Vector:
        """Middle of the hole's bottom, (3,) [mm]."""
        return self.face - self.depth * self.way

    @property
    def height(self) -> float:
        """From the face to the stay's axis, along the bolt [mm]."""
        return float((self.face - self.spot.axis) @ self.way)

    @property
    def aside(self) -> float:
        """Lateral distance from the bolt's axis to the stay's, positive outward [mm]."""
        return float(self.spot.axis[1] - self.face[1])


def towers(feature: Feature, tube: Tube) -> tuple[Tower, ...]:
    """Return the posts of a post mount; none of any other feature."""
    if feature.mount is None or feature.spec.kind != "post_mount":
        return ()
    return tuple(_towers(feature, tube))


def _towers(feature: Feature, tube: Tube) -> Iterator[Tower]:
    spec = feature.spec
    assert feature.mount is not None
    for label, post in zip(feature.labels, feature.mount.posts, strict=True):
        zero, quarter = directions(tube, post.s)
        basis = np.array([tube.axis.tangent(post.s), zero, quarter])
        axis = tube.axis.at(post.s)
        face, way = axis + np.array(post.face) @ basis, np.array(post.way) @ basis
        half, low = spec.outside / 2, float((face - axis) @ way)
        aside, thick = float(axis[1] - face[1]), least_half(tube, post.s)
        foot = min(half, ROOT * thick)
        deep = spec.inside + FLOOR
        corners = convex_hull(
            np.array(
                [
                    (-half, 0.0), (half, 0.0), (-half, -deep), (half, -deep),
                    (aside - foot, -low), (aside + foot, -low),
                ]
            )
        )  # fmt: skip
        path = Path(tuple((x, y, 0.0) for x, y in corners.tolist()))
        plane = Plane(point(face), (0.0, 1.0, 0.0), point(way))
        yield Tower(
            name=feature.named(label),
            label=label,
            spot=spot(tube, post.s, post.angle),
            face=face,
            way=way,
            metal=Extrusion(path, plane, -half, half),
            diameter=spec.screw.major,
            depth=spec.inside,
        )


def least_half(tube: Tube, s: float) -> float:
    """Return half of the tube's least size at `s` [mm]."""
    return min(float(tube.section.height_at(s)), float(tube.section.width_at(s))) / 2


def cannot_stand(feature: Feature, tube: Tube, own: Envelope) -> str | None:
    """Return why posts cannot stand on their stay, as the end of a sentence; else None."""
    for i, one in enumerate(towers(feature, tube)):
        beside = abs(one.aside) - feature.spec.outside / 2 - _half_across(tube, one.spot.s)
        if beside > 0:
            return (
                f"post {i + 1} stands {beside:.1f} mm beside the tube: its bolt is at y "
                f"{one.face[1]:.1f}, the tube's axis at {one.spot.axis[1]:.1f}; outward says how far "
                "beside the rotor"
            )
        over = one.height - reach(tube, one.spot.axis, one.way)
        if over <= 0:
            return (
                f"the face of post {i + 1} lies {-over:.1f} mm lower than the tube's outside, where no "
                "caliper has room: more height, or another build.rear_brake.angle"
            )
        if one.depth + FLOOR > one.height:
            return (
                f"the thread of post {i + 1}, {one.depth:g} mm deep, goes down past the tube's axis: at "
                f"most {one.height - FLOOR:.1f}"
            )
        deepest = float(own.depth(_ring(one)).max())
        if deepest > 0:
            return (
                f"the thread of post {i + 1}, {one.depth:g} mm deep, reaches {deepest:.1f} mm into the "
                "tube: more height, another build.rear_brake.angle, or less depth"
            )
    return None


def _half_across(tube: Tube, s: float) -> float:
    """Return how far the tube's outside is from its axis, straight to the left [mm]."""
    up, side = tube.axis.frame(s)
    y = np.array([0.0, 1.0, 0.0])
    return float(
        np.hypot(
            float(y @ up) * float(tube.section.height_at(s)),
            float(y @ side) * float(tube.section.width_at(s)),
        )
        / 2
    )


def _ring(one: Tower) -> Array:
    """Return points of a thread's hole, at its wall and of its bottom: (n, 3) [mm]."""
    across = np.array([0.0, 1.0, 0.0])
    along = cross(across, one.way)
    turn = np.linspace(0.0, 2 * np.pi, 48, endpoint=False)[:, None]
    edge = one.diameter / 2 * (np.cos(turn) * across + np.sin(turn) * along)
    wall = [one.face - far * one.way + edge for far in np.linspace(0.0, one.depth, 25).tolist()]
    return np.vstack([*wall, one.bottom])


def footprint(feature: Feature, tube: Tube) -> list[Array]:
    """Return for each tower its edge on the stay's outside, closed: (n, 3) [mm]."""
    found = []
    for one in towers(feature, tube):
        half = one.metal.high
        z = np.linspace(-half, half, EDGE)
        left, right = (_where_in(one, tube, chain, z) for chain in _sides(one))
        share = np.linspace(0.0, 1.0, EDGE)[1:-1, None]
        ends = []
        for i in (0, -1):  # over both faces of the thickness, column by column
            x = (left[i] + share * (right[i] - left[i]))[:, 0]
            low, high = _span(np.array([v[:2] for v in one.metal.path.vertices]), x)
            flat = np.full(len(x), z[i])
            ends.append(
                _entered(one, tube, np.stack([x, high, flat], 1), np.stack([x, low, flat], 1))
            )
        ring = np.vstack([left, ends[1], right[::-1], ends[0][::-1], left[:1]])
        found.append(one.metal.plane.place(ring))
    return found


def _sides(one: Tower) -> tuple[Array, Array]:
    """Return a tower's left and right side from its face down to its foot: (n, 2) each [mm]."""
    corners = [(x, y) for x, y, _ in one.metal.path.vertices]
    half, low = one.metal.high, -one.height
    found = []
    for start, step in ((-half, 1), (half, -1)):
        i = corners.index((start, 0.0))
        chain = [corners[i]]
        while len(chain) < len(corners):
            i = (i + step) % len(corners)
            chain.append(corners[i])
            if corners[i][1] <= low + 1e-9:
                break
        found.append(np.array(chain))
    return found[0], found[1]


def _where_in(one: Tower, tube: Tube, chain: Array, z: Array) -> Array:
    """Return where a side first enters the stay, at places z of the thickness: (n, 3) in its plane."""
    flat = z[:, None]
    found = np.column_stack([np.tile(chain[-1], (len(z), 1)), flat])
    open_still = np.ones(len(z), dtype=bool)
    for a, b in pairwise(chain):
        starts, ends = (np.column_stack([np.tile(p, (len(z), 1)), flat]) for p in (a, b))
        inside = level(tube, one.metal.plane.place(ends))[0] < 0
        here = open_still & inside
        if here.any():
            found[here] = _entered(one, tube, starts[here], ends[here])
            open_still &= ~inside
    return found


def _entered(one: Tower, tube: Tube, starts: Array, ends: Array) -> Array:
    """Return where lines enter the stay, in the tower's plane: (n, 3), (n, 3) -> (n, 3) [mm]."""

    def outside(share: Array) -> Array:
        points = starts + share[:, None] * (ends - starts)
        return -level(tube, one.metal.plane.place(points))[0]

    share = root(outside, np.zeros(len(starts)), np.ones(len(starts)))
    return np.asarray(starts + share[:, None] * (ends - starts))


def weighed(one: Tower, tube: Tube) -> tuple[float, Array]:
    """Return volume [mm³] and first moment (3,) [mm⁴] of a tower outside of its stay, drilled."""
    points, amounts, step = places(one)
    # At the stay's surface a place counts by how far it lies outside.
    outside = np.clip(level(tube, points)[0] / step + 0.5, 0.0, 1.0)
    amount = outside * amounts
    hole = np.pi / 4 * one.diameter**2 * one.depth
    moment = amount @ points - hole * (one.face + one.bottom) / 2
    return float(amount.sum() - hole), np.asarray(moment)


def places(one: Tower) -> tuple[Array, Array, Array]:
    """Return places spread over a whole tower: (n, 3) [mm], volume [mm³] and height [mm] of each."""
    metal = one.metal
    corners = np.array([(x, y) for x, y, _ in metal.path.vertices])
    across, along, deep = GRID
    (left, _), (right, _) = corners.min(axis=0), corners.max(axis=0)
    x = left + (right - left) * (np.arange(across) + 0.5) / across
    low, high = _span(corners, x)
    z = metal.low + metal.thickness * (np.arange(along) + 0.5) / along
    share = (np.arange(deep) + 0.5) / deep
    y = low[:, None] + (high - low)[:, None] * share
    local = np.stack(
        np.broadcast_arrays(x[:, None, None], y[:, None, :], z[None, :, None]), axis=-1
    ).reshape(-1, 3)
    each = (high - low) / deep * (right - left) / across * metal.thickness / along
    step = np.repeat((high - low) / deep, along * deep)
    return metal.plane.place(local), np.repeat(each, along * deep), step


def _span(corners: Array, x: Array) -> tuple[Array, Array]:
    """Return the lower and upper edge of a convex figure at places x: (n,) each."""
    following = np.roll(corners, -1, axis=0)
    low, high = np.full(len(x), np.inf), np.full(len(x), -np.inf)
    for (x0, y0), (x1, y1) in zip(corners.tolist(), following.tolist(), strict=True):
        if x0 == x1:
            continue
        on = (x >= min(x0, x1)) & (x <= max(x0, x1))
        y = y0 + (y1 - y0) * (x - x0) / (x1 - x0)
        low = np.where(on, np.minimum(low, y), low)
        high = np.where(on, np.maximum(high, y), high)
    return low, high
