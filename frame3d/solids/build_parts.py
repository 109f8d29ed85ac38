"""Make every part, cut it, and compare it with its mesh."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from OCP.TopoDS import TopoDS_Shape

from frame3d.bike.bike import Bike
from frame3d.errors import Fault, SolidError
from frame3d.geometry.vector import mirrored
from frame3d.solids import occ
from frame3d.solids.bodies import bodies
from frame3d.solids.body import SolidBody, mirrors
from frame3d.solids.body_meshes import MeshError, part_mesh
from frame3d.solids.mesh import Mesh
from frame3d.solids.model import FrameModel, FramePart, rgb
from frame3d.solids.sweep import Solid, Sweep

Progress = Callable[[str, float], None]
"""Called with the name of the next part and the fraction done, from 0 to 1."""

FRAME_SHARE = 0.75
"""Share of the work that the frame takes where the fork is built too."""
AGREEMENT = 5e-3
"""Greatest relative difference between a solid's volume and its mesh's. The mesh booleans share no
code with the kernel's, and the kernel's own checks let wrong results pass."""


@dataclass(frozen=True, slots=True)
class Way:
    """A way to have the kernel cut a part."""

    slack: float = 0.0
    """Surfaces within this of each other count as touching [mm]. Without any, surfaces that meet by
    hair's breadths, as a cone's edge along another tube's seam, may be left uncut."""
    nudge: float = 0.0
    """By how much what cuts is made wider [mm]. A few tubes are left uncut at just one size of the
    tool; 10 nm beside it they are cut."""
    splines: bool = False
    """Whether what cuts is given as B-splines. Two cylinders whose intersection is a closed curve
    broken by an end's plane may be left uncut whatever the slack and size: the kernel intersects
    cylinders by closed forms, and splines by marching along the curve."""


WAYS = (
    *(Way(slack=slack) for slack in (0.0, 1e-5, 1e-4)),
    *(Way(nudge=nudge) for nudge in (1e-5, -1e-5)),
    Way(splines=True),
)
"""Tried one after the other until one gives the metal that the mesh says."""


def make(bike: Bike, progress: Progress | None = None) -> FrameModel:
    """Return the frame's solids.

    Args:
        bike: the solved bike.
        progress: called before each part.

    Returns:
        Parts in build order: bottom bracket shell, housings, tubes, dropouts, lugs, link plates,
        gussets, tabs and other plates; the same of a fork that the shop builds.

    Raises:
        SolidError: parts that cannot be made, all of them, each with what to change.
    """
    if bike.fork is not None:
        whole = make(replace(bike, fork=None), _part_of(progress, 0.0, FRAME_SHARE))
        fork = make(bike.fork, _part_of(progress, FRAME_SHARE, 1.0))
        return replace(whole, bike=bike, fork=fork)
    made = bodies(bike)
    shop = PartBuilder()
    parts: list[FramePart] = []
    meshes: dict[str, Mesh] = {}
    faults: list[Fault] = []
    for i, body in enumerate(made):
        if progress is not None:
            progress(body.name, i / len(made))
        try:
            meshes[body.name] = part_mesh(body)
            parts.append(sound_part(shop, body, meshes[body.name]))
        except (occ.KernelError, MeshError) as problem:
            faults.append(_fault(bike, body, str(problem)))
    if faults:
        raise SolidError(faults)
    if progress is not None:
        progress("done", 1.0)
    return FrameModel(bike, made, tuple(parts), meshes)


def _part_of(progress: Progress | None, low: float, high: float) -> Progress | None:
    """Return progress that runs from one share of the whole to another."""
    if progress is None:
        return None
    return lambda what, share: progress(what, low + (high - low) * share)


class PartBuilder:
    """Maker of parts that keeps solids and left parts which others need again."""

    def __init__(self) -> None:
        self._solids: dict[Solid, TopoDS_Shape] = {}
        self._left: dict[str, tuple[SolidBody, FramePart]] = {}

    def part(self, body: SolidBody, way: Way) -> FramePart:
        """Return the part of a body; mirrored from the left part where it is its mirror image.

        Args:
            body: what to make.
            way: how it is cut.
        """
        left = self._left.get(body.key) if body.side == "right" else None
        if left is not None and mirrors(left[0], body):
            part = left[1]
            return replace(
                part,
                name=body.name,
                side=body.side,
                shape=occ.mirrored(part.shape),
                centre=mirrored(part.centre),
            )
        shape = self._shape(body, way)
        bulk = occ.bulk(shape)
        part = FramePart(
            name=body.name,
            key=body.key,
            side=body.side,
            colour=rgb(body.colour),
            material=body.material,
            density=body.density,
            shape=shape,
            volume=bulk.volume,
            centre=bulk.centre,
            link=body.link,
        )
        if body.side == "left":
            self._left[body.key] = (body, part)
        return part

    def _shape(self, body: SolidBody, way: Way) -> TopoDS_Shape:
        if body.bore is not None:
            outside = body.metal[0]
            assert isinstance(outside, Sweep)  # on the axis of its bore
            whole = occ.hollow(outside, body.bore)
            taken = body.voids[1:]
        else:
            whole = occ.fuse([self._solid(s) for s in body.metal])
            taken = body.voids
            if body.within is not None:
                whole = occ.common(whole, self._solid(body.within))
        tools = [self._solid(_wider(s, way.nudge)) for cut in body.cuts for s in cut.tool]
        if way.splines:
            tools = [occ.as_splines(tool) for tool in tools]
        shape = occ.largest(occ.cut(whole, tools, way.slack))
        holes = [self._solid(s) for s in (*taken, *body.holes, *body.drills)]
        return occ.largest(occ.cut(shape, holes, way.slack))

    def _solid(self, sweep: Solid) -> TopoDS_Shape:
        if sweep not in self._solids:
            self._solids[sweep] = occ.solid(sweep)
        return self._solids[sweep]


def sound_part(shop: PartBuilder, body: SolidBody, mesh: Mesh) -> FramePart:
    """Return the part of a body, cut in the first of `WAYS` that gives what the mesh says.

    Raises:
        KernelError: none does.
    """
    for way in WAYS:
        try:
            part = shop.part(body, way)
            check_part(part, mesh)
        except occ.KernelError as problem:
            failed = problem
        else:
            return part
    raise failed


def _wider(solid: Solid, by: float) -> Solid:
    """A swept tool, wider by so much [mm]; a plate as it is."""
    if by == 0 or not isinstance(solid, Sweep):
        return solid
    return solid.resized(by)


def check_part(part: FramePart, mesh: Mesh) -> None:
    """Fault if a part is invalid or its volume differs from its mesh's.

    Raises:
        KernelError: it is wrong.
    """
    expected = mesh.volume
    if not occ.is_valid(part.shape):
        raise occ.KernelError("the kernel calls its own result invalid")
    if not part.volume > 0 or abs(part.volume - expected) > AGREEMENT * expected + 1.0:
        raise occ.KernelError(
            f"the kernel made {part.volume:.0f} mm³ of metal where {expected:.0f} mm³ are expected"
        )


def _fault(bike: Bike, body: SolidBody, problem: str) -> Fault:
    others = ", ".join(cut.body for cut in body.cuts)
    hint = "change its ends, bends or sizes a little"
    if others:
        hint += f", or those of what it is cut by: {others}"
    return bike.spec.fault(
        "solid", body.path, f"{body.name} could not be made as a solid: {problem}", hint
    )
