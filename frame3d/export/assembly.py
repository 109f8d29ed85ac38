"""Assembly: the frame and the parts that it carries, at any pose, as STEP and as GLB."""

from __future__ import annotations

from dataclasses import replace

from frame3d.bodies.body import Bodies, Body
from frame3d.bodies.pose import Pose
from frame3d.solids.mesh import Mesh
from frame3d.solids.model import Colour, FrameModel, Part


def mating_bodies(bodies: Bodies) -> tuple[Body, ...]:
    """The bodies that are drawn beside the frame's own."""
    return tuple(b for b in bodies.bodies if b.drawn and b.family != "frame")


def assembly_step(model: FrameModel, bodies: Bodies, pose: Pose) -> bytes:
    """Frame and mating parts as STEP, in the frame's axes; products carry the bodies' names.

    A body of several solids that do not join (cogs) is one product each, numbered from 1.

    Raises:
        SolidError: a part that the CAD kernel cannot make.
        OutputError: the kernel's writer fails.
    """
    from frame3d.errors import SolidError
    from frame3d.export.step import step
    from frame3d.solids import kernel
    from frame3d.solids.mating import solids_of

    parts: list[Part] = []
    for body in mating_bodies(bodies):
        try:
            made = solids_of(body, pose)
        except kernel.KernelError as problem:
            raise SolidError(
                model.layout.spec.fault(
                    "solid",
                    body.part,
                    f"{body.name} could not be made as a solid: {problem}",
                    "change its sizes a little",
                )
            ) from problem
        for i, shape in enumerate(made):
            name = body.name if len(made) == 1 else f"{body.name}_{i + 1}"
            bulk = kernel.bulk(shape)
            colour = _rgb(body.colour)
            parts.append(Part(name, name, None, colour, "", 0.0, shape, bulk.volume, bulk.centre))
    return step(replace(model, parts=(*model.parts, *parts)))


def assembly_glb(
    model: FrameModel, bodies: Bodies, pose: Pose, meshes: dict[str, Mesh] | None = None
) -> bytes:
    """Frame and mating parts as binary glTF; nodes carry the bodies' names. Needs no CAD kernel.

    Args:
        model: the frame.
        bodies: its mating parts.
        pose: where what moves stands.
        meshes: of the frame's parts by name; the model's own where left out.
    """
    from frame3d.export.glb import glb
    from frame3d.solids.outline_mesh import body_mesh

    every = dict(model.meshes if meshes is None else meshes)
    parts: list[Part] = []
    for body in mating_bodies(bodies):
        mesh = body_mesh(body, pose)
        every[body.name] = mesh
        parts.append(
            Part(
                body.name, body.name, None, _rgb(body.colour), "", 0.0, None, mesh.volume,
                (0.0, 0.0, 0.0),
            )
        )  # fmt: skip
    return glb(replace(model, parts=(*model.parts, *parts)), every)


def _rgb(colour: str) -> Colour:
    r, g, b = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    return (r, g, b)
