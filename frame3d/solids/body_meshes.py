"""Meshes of bodies and whole frames: meshes of their solids joined by exact booleans (manifold3d).

Needs no CAD kernel. Where surfaces graze each other, solids are meshed once more, finer there: see
`frame3d.solids.mesh` on what the tolerance is shared out to.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import combinations
from typing import TYPE_CHECKING, Final

import numpy as np

from frame3d.errors import SolidError
from frame3d.geometry.arrays import Array, Ints
from frame3d.solids.body import SolidBody
from frame3d.solids.mesh import SHARE, TOLERANCE, Grazed, Mesh, facets, solid_mesh
from frame3d.solids.sweep import Solid, Sweep

if TYPE_CHECKING:
    from manifold3d import Manifold

    from frame3d.bike.bike import Bike


MOST: Final = 24
"""Steps around are divided into so many at most where surfaces graze each other."""
SIMPLIFY: Final = 1e-3
"""Edges shorter than this are collapsed after booleans [mm]. STL's 32-bit numbers resolve 6e-5 mm a
metre from the origin."""

CRUMB: Final = 1.0
"""Pieces smaller than this are not part of a frame, but left over between two equal faces [mm³]."""


def shared(a: tuple[Solid, ...], b: tuple[Solid, ...]) -> float:
    """Return the volume that two bodies have in common, each a union of solids [mm³]."""
    shop = _MeshBuilder(TOLERANCE)
    return _volume(shop.together(a) ^ shop.together(b))


def overlaps(meshes: Mapping[str, Mesh]) -> list[tuple[str, str, float]]:
    """Return pairs of closed meshes with more than `CRUMB` in common: names and volume [mm³]."""
    made = {name: _manifold(mesh) for name, mesh in meshes.items()}
    pairs = ((a, b, _volume(made[a] ^ made[b])) for a, b in combinations(made, 2))
    return [(a, b, volume) for a, b, volume in pairs if volume > CRUMB]


def part_mesh(body: SolidBody, tolerance: float = TOLERANCE) -> Mesh:
    """Return a body as a closed mesh, no further than `tolerance` from the true surface [mm].

    Raises:
        MeshError: nothing is left of it.
    """
    shop = _MeshBuilder(tolerance)
    part = _part(shop, body)
    if shop.refine(part):
        part = _part(shop, body)
    return read_manifold(part.simplify(SIMPLIFY))


def _part(shop: _MeshBuilder, body: SolidBody) -> Manifold:
    taken = [shop.sweep(s) for s in (*body.own_voids, *body.holes, *body.drills)]
    taken += [shop.sweep(s) for cut in body.cuts for s in cut.tool]
    return _pieces(shop.minus(shop.filled(body), taken), body.name)[0]


def frame_mesh(bodies: Sequence[SolidBody], tolerance: float = TOLERANCE) -> Mesh:
    """Return the whole frame as a closed mesh: one shell, or one for each connected piece.

    Tubes are trimmed to within the wall of what they meet and overlap it, so that no two faces
    coincide. Then bores and drillings are taken out of the union, each only from its own part and
    from what is trimmed by that part, not from anything else that happens to lie there.

    Raises:
        MeshError: nothing is left of a body.
    """
    shop = _MeshBuilder(tolerance)
    made = _whole(shop, bodies)
    if shop.refine(made):
        made = _whole(shop, bodies)
    made = made.simplify(SIMPLIFY)
    shells = made.decompose()
    kept = [shell for shell in shells if abs(_volume(shell)) >= CRUMB]
    if len(kept) == len(shells):
        return read_manifold(made)
    return _together([read_manifold(shell) for shell in kept])


def _whole(shop: _MeshBuilder, bodies: Sequence[SolidBody]) -> Manifold:
    metal = {body.name: _trimmed(shop, body) for body in bodies}
    return shop.minus(shop.add(list(metal.values())), _hollows(shop, bodies, metal))


def _trimmed(shop: _MeshBuilder, body: SolidBody) -> Manifold:
    """Return a body, still filled, as it goes into the union."""
    whole = shop.filled(body)
    cores = [shop.sweep(s) for cut in body.cuts for s in cut.core]
    cores += [shop.sweep(s) for s in body.holes]
    # What the full cuts separate is no metal of the part, though slimmer cuts leave it attached.
    full = [shop.sweep(s) for cut in body.cuts for s in cut.tool]
    full += [shop.sweep(s) for s in body.holes]
    off = _pieces(shop.minus(whole, full), body.name)[1:]
    return _pieces(shop.minus(whole, [*cores, *off]), body.name)[0]


def _hollows(
    shop: _MeshBuilder, bodies: Sequence[SolidBody], metal: Mapping[str, Manifold]
) -> list[Manifold]:
    """Return what is taken out of the union: bores and drillings, less what they must leave.

    Args:
        shop: makes meshes.
        bodies: all of one rigid body.
        metal: what of each goes into the union, still filled, by name.
    """
    found = []
    cutters = {body.name: {cut.body for cut in body.cuts} for body in bodies}
    for body in bodies:
        for void, through in zip(body.voids, body.own_voids, strict=True):
            hollow = shop.sweep(through)
            left = [shop.filled(o) for o in bodies if o.name in cutters[body.name]]
            for other in bodies:
                if other is body or other.name in cutters[body.name]:
                    continue
                if body.name not in cutters[other.name]:
                    bores = [shop.sweep(s) for s in other.voids]
                    left += _within(shop, hollow, metal[other.name], bores)
                elif void != through:  # `other` closes the end as far as it covers it
                    left += _within(shop, hollow, metal[other.name], [shop.sweep(void)])
            found.append(shop.minus(hollow, left))
    for drill in dict.fromkeys(drill for body in bodies for drill in body.drills):
        hollow = shop.sweep(drill)
        drilled = [shop.filled(body) for body in bodies if drill in body.drills]
        left = []
        for body in bodies:
            if drill not in body.drills:
                bores = [shop.sweep(s) for s in body.voids]
                left += _within(shop, hollow, metal[body.name], [*drilled, *bores])
        found.append(shop.minus(hollow, left))
    return found


def _within(
    shop: _MeshBuilder, hollow: Manifold, metal: Manifold, taken: Sequence[Manifold]
) -> list[Manifold]:
    """Return metal without what is `taken`; nothing if no more than `CRUMB` of it lies in a hollow."""
    p, q = np.array(hollow.bounding_box()), np.array(metal.bounding_box())
    if (p[:3] > q[3:]).any() or (q[:3] > p[3:]).any():
        return []
    kept = shop.minus(metal, taken)
    return [kept] if _volume(hollow ^ kept) >= CRUMB else []


def mesh_of_part(bike: Bike, body: SolidBody, tolerance: float = TOLERANCE) -> Mesh:
    """Return `part_mesh` of a body of a bike.

    Raises:
        SolidError: nothing is left of it.
    """
    try:
        return part_mesh(body, tolerance)
    except MeshError as problem:
        raise SolidError(
            bike.spec.fault(
                "solid",
                body.path,
                f"{body.name} could not be made: {problem}",
                "make it longer or thicker, or move what it meets",
            )
        ) from problem


class MeshError(ValueError):
    """Fault of a mesh that cannot be made; `body` names the part, empty for the whole."""

    def __init__(self, body: str, message: str) -> None:
        super().__init__(message)
        self.body = body


class _MeshBuilder:
    """Maker of meshes of solids at one tolerance; each is made once."""

    def __init__(self, tolerance: float) -> None:
        self.tolerance = tolerance
        self._made: dict[Solid, Manifold] = {}
        self._joined: dict[tuple[Solid, ...], Manifold] = {}
        self._grazed: dict[Solid, Grazed] = {}

    def sweep(self, sweep: Solid) -> Manifold:
        """Return a sweep or a flat plate as a manifold."""
        if sweep not in self._made:
            mesh = solid_mesh(sweep, self.tolerance, self._grazed.get(sweep))
            self._made[sweep] = _manifold(mesh)
        return self._made[sweep]

    def filled(self, body: SolidBody) -> Manifold:
        """Return a body's metal before anything is taken out of it."""
        whole = self.together(body.metal)
        return whole if body.within is None else whole ^ self.sweep(body.within)

    def refine(self, made: Manifold) -> bool:
        """Mesh sweeps finer from now on where they graze each other in what was made of them."""
        places = _grazing(made)
        if not places:
            return False
        for sweep, solid in self._made.items():
            (which,) = np.asarray(solid.to_mesh64().run_original_id).tolist()
            if which in places and isinstance(sweep, Sweep) and not (sweep.box or sweep.rounds):
                sides = facets(sweep.size, self.tolerance)
                self._grazed[sweep] = _grazed(sweep, sides, *places[which])
        if self._grazed:
            self._made = {s: m for s, m in self._made.items() if s not in self._grazed}
            self._joined = {}
        return bool(self._grazed)

    def together(self, sweeps: tuple[Solid, ...]) -> Manifold:
        """Return the union of solids."""
        if sweeps not in self._joined:
            self._joined[sweeps] = self.add([self.sweep(s) for s in sweeps])
        return self._joined[sweeps]

    def add(self, solids: Sequence[Manifold]) -> Manifold:
        """Return the union of manifolds."""
        from manifold3d import Manifold, OpType

        if len(solids) == 1:
            return solids[0]
        return Manifold.batch_boolean(list(solids), OpType.Add)

    def minus(self, solid: Manifold, taken: Sequence[Manifold]) -> Manifold:
        """Return a manifold without others."""
        from manifold3d import Manifold, OpType

        if not taken:
            return solid
        return Manifold.batch_boolean([solid, *taken], OpType.Subtract)


def _grazing(made: Manifold) -> dict[int, tuple[Array, Ints]]:
    """Where surfaces graze each other along edges of what was made of them.

    A sharp edge, or a deep groove, is off by what its faces are off, over the sine h of half the angle
    between them: steps √(SHARE / h) times as fine would do. But where surfaces touch at the edge's tip,
    h goes down to nothing in a length l, and what is seen here is its value where the coarse tip ends,
    at l = SHARE / h times the tolerance: as near as the tolerance it is h² / SHARE. So steps are
    SHARE / h times as fine, and one more, as h is that of facets.

    Returns:
        for each surface, by its id: ends of edges (n, 3) [mm], and into how many its steps are to be
        divided there (n,).
    """
    mesh = made.to_mesh64()
    vertices = np.asarray(mesh.vert_properties, dtype=np.float64)[:, :3]
    triangles = np.asarray(mesh.tri_verts, dtype=np.int64)
    run = np.asarray(mesh.run_index, dtype=np.int64) // 3
    owner = np.repeat(np.asarray(mesh.run_original_id, dtype=np.int64), np.diff(run))
    corners = vertices[triangles]
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    normal /= np.maximum(np.linalg.norm(normal, axis=1, keepdims=True), 1e-300)
    count = len(triangles)
    tails, heads = triangles.ravel(order="F"), np.roll(triangles, -1, axis=1).ravel(order="F")
    # Each edge is run once either way.
    there = np.lexsort((heads, tails))
    back = np.lexsort((tails, heads))
    f, g, tails, heads = there % count, back % count, tails[there], heads[there]
    # Their faces turn back on each other: only half of that is left between them.
    half = np.sqrt(np.maximum(1 + np.einsum("ij,ij->i", normal[f], normal[g]), 0.0) / 2)
    parts = np.ceil(SHARE / np.maximum(half, SHARE / MOST) - 1e-9).astype(np.int64)
    parts += parts > 1
    sharp = (parts > 1) & (owner[f] != owner[g])
    found = {}
    for which in np.unique(owner[f[sharp]]).tolist():
        own = sharp & (owner[f] == which)
        points = vertices[np.concatenate([tails[own], heads[own]])]
        found[which] = (points, np.tile(parts[own], 2))
    return found


def _grazed(sweep: Sweep, sides: int, points: Array, parts: Ints) -> Grazed:
    """Where a sweep is grazed: steps around with such points, and the next ones; along, from the first
    to the last.

    Args:
        sweep: its surface holds the points.
        sides: even steps around.
        points: (n, 3) [mm].
        parts: how many a step is divided into there: (n,).
    """
    s, _ = sweep.axis.approach(points)
    centre, up, across = sweep.axis.frames(s)
    x, y = (np.einsum("ij,ij->i", points - centre, way) for way in (across, up))
    width, height = (np.interp(s, sweep.s, size) for size in (sweep.width, sweep.height))
    turn = np.arctan2(y / height, x / width) / (2 * np.pi / sides)
    counts = np.ones(sides, dtype=np.int64)
    for beside in (-0.5, 0.5):
        np.maximum.at(counts, np.floor(turn + beside).astype(np.int64) % sides, parts)
    return Grazed(tuple(counts.tolist()), float(s.min()), float(s.max()))


def _pieces(solid: Manifold, name: str) -> list[Manifold]:
    """Return the connected pieces of a solid, the largest first, without crumbs.

    Raises:
        MeshError: nothing is left.
    """
    found = sorted(solid.decompose(), key=_volume, reverse=True)
    found = [piece for piece in found if _volume(piece) >= CRUMB]
    if not found:
        raise MeshError(name, "nothing is left of it after its cuts")
    return found


def _manifold(mesh: Mesh) -> Manifold:
    from manifold3d import Manifold, Mesh64

    vertices = np.ascontiguousarray(mesh.vertices)
    return Manifold(Mesh64(vertices, np.ascontiguousarray(mesh.triangles.astype(np.uint64))))


def _volume(solid: Manifold) -> float:
    return float(solid.volume())


def read_manifold(solid: Manifold) -> Mesh:
    """Return a manifold's triangles, in an order that depends only on their places."""
    mesh = solid.to_mesh64()
    vertices = np.asarray(mesh.vert_properties, dtype=np.float64)[:, :3] + 0.0
    triangles = np.asarray(mesh.tri_verts, dtype=np.int64)
    order = np.lexsort(np.round(vertices, 6).T[::-1])
    rank = np.empty_like(order)
    rank[order] = np.arange(len(order))
    vertices, triangles = vertices[order], rank[triangles]
    lead = np.argmin(triangles, axis=1)
    triangles = np.stack(
        [triangles[np.arange(len(triangles)), (lead + i) % 3] for i in range(3)], axis=1
    )
    return Mesh(vertices, triangles[np.lexsort(triangles.T[::-1])])


def _together(meshes: Sequence[Mesh]) -> Mesh:
    """Return several meshes as one, in an order that depends only on their places."""
    ranked = sorted(meshes, key=lambda mesh: mesh.vertices[0].tolist())
    starts = np.cumsum([0, *(len(mesh.vertices) for mesh in ranked)])
    return Mesh(
        np.vstack([mesh.vertices for mesh in ranked]),
        np.vstack([mesh.triangles + s for mesh, s in zip(ranked, starts, strict=False)]),
    )
