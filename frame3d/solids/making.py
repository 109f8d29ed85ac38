"""From a layout to solids: every part made, cut, and held against its mesh."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from OCP.TopoDS import TopoDS_Shape

from frame3d.errors import Fault, SolidError
from frame3d.geometry.layout import Layout
from frame3d.geometry.vector import mirrored
from frame3d.solids import kernel
from frame3d.solids.bodies import bodies
from frame3d.solids.body import Body, mirrors
from frame3d.solids.mesh import Mesh, MeshError, part_mesh
from frame3d.solids.model import Colour, FrameModel, Part
from frame3d.solids.sweep import Solid, Sweep

Progress = Callable[[str, float], None]
"""Takes what is being made and the share done, from 0 to 1."""

AGREEMENT = 5e-3
"""Greatest relative difference between a solid's volume and its mesh's. The mesh booleans share
nothing with the kernel's, and the kernel's own checks let wrong results pass."""

SLACKS = (0.0, 1e-5, 1e-4)
"""Slack of cuts that is tried, one after the other [mm]. Without any, surfaces that meet by hair's
breadths, as a cone's edge along another tube's seam, may be left uncut."""


def make(layout: Layout, progress: Progress | None = None) -> FrameModel:
    """The frame's solids.

    Args:
        layout: the solved bike.
        progress: called before each part.

    Returns:
        Parts in build order: bottom bracket shell, housings, tubes, dropouts, lugs, link plates.

    Raises:
        SolidError: parts that cannot be made, all of them, each with what to change.
    """
    made = bodies(layout)
    shop = _Shop()
    parts: list[Part] = []
    meshes: dict[str, Mesh] = {}
    faults: list[Fault] = []
    for i, body in enumerate(made):
        if progress is not None:
            progress(body.name, i / len(made))
        try:
            meshes[body.name] = part_mesh(body)
            parts.append(_sound(shop, body, meshes[body.name]))
        except (kernel.KernelError, MeshError) as problem:
            faults.append(_fault(layout, body, str(problem)))
    if faults:
        raise SolidError(faults)
    if progress is not None:
        progress("done", 1.0)
    return FrameModel(layout, made, tuple(parts), meshes)


class _Shop:
    """Makes parts; keeps sweeps and left parts that others need again."""

    def __init__(self) -> None:
        self._solids: dict[Solid, TopoDS_Shape] = {}
        self._left: dict[str, tuple[Body, Part]] = {}

    def part(self, body: Body, slack: float) -> Part:
        """The part of a body; a right one is mirrored where it is its left one's mirror image.

        Args:
            body: what to make.
            slack: of the cuts [mm].
        """
        left = self._left.get(body.key) if body.side == "right" else None
        if left is not None and mirrors(left[0], body):
            part = left[1]
            return replace(
                part,
                name=body.name,
                side=body.side,
                shape=kernel.mirrored(part.shape),
                centre=mirrored(part.centre),
            )
        shape = self._shape(body, slack)
        bulk = kernel.bulk(shape)
        part = Part(
            body.name, body.key, body.side, _rgb(body.colour), body.material, body.density,
            shape, bulk.volume, bulk.centre, body.link,
        )  # fmt: skip
        if body.side == "left":
            self._left[body.key] = (body, part)
        return part

    def _shape(self, body: Body, slack: float) -> TopoDS_Shape:
        if body.bore is not None:
            outside = body.metal[0]
            assert isinstance(outside, Sweep)  # on the axis of its bore
            whole = kernel.hollow(outside, body.bore)
            taken = body.voids[1:]
        else:
            whole = kernel.fuse([self._solid(s) for s in body.metal])
            taken = body.voids
        tools = [self._solid(s) for cut in body.cuts for s in cut.tool]
        shape = kernel.largest(kernel.cut(whole, tools, slack))
        holes = [self._solid(s) for s in (*taken, *body.holes, *body.drills)]
        return kernel.largest(kernel.cut(shape, holes, slack))

    def _solid(self, sweep: Solid) -> TopoDS_Shape:
        if sweep not in self._solids:
            self._solids[sweep] = kernel.solid(sweep)
        return self._solids[sweep]


def _sound(shop: _Shop, body: Body, mesh: Mesh) -> Part:
    """The part of a body, its cuts with as little slack as gives what the mesh says.

    Raises:
        KernelError: none does.
    """
    for slack in SLACKS:
        try:
            part = shop.part(body, slack)
            _check(part, mesh)
        except kernel.KernelError as problem:
            failed = problem
        else:
            return part
    raise failed


def _check(part: Part, mesh: Mesh) -> None:
    expected = mesh.volume
    if not kernel.is_valid(part.shape):
        raise kernel.KernelError("the kernel calls its own result invalid")
    if not part.volume > 0 or abs(part.volume - expected) > AGREEMENT * expected + 1.0:
        raise kernel.KernelError(
            f"the kernel made {part.volume:.0f} mm³ of metal where {expected:.0f} mm³ are expected"
        )


def _fault(layout: Layout, body: Body, problem: str) -> Fault:
    others = ", ".join(cut.body for cut in body.cuts)
    hint = "change its ends, bends or sizes a little"
    if others:
        hint += f", or those of what it is cut by: {others}"
    return layout.spec.fault(
        "solid", body.path, f"{body.name} could not be made as a solid: {problem}", hint
    )


def _rgb(colour: str) -> Colour:
    r, g, b = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    return (r, g, b)
