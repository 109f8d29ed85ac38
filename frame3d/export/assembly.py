"""Assembly: the frame and the parts that it carries, at any pose, as STEP and as GLB."""

from __future__ import annotations

from dataclasses import replace

from frame3d.bodies.body import Bodies, Body
from frame3d.bodies.mounts import FRAME, SWING, Mount
from frame3d.bodies.place import Place
from frame3d.bodies.pose import Pose
from frame3d.export.animation import strokes_of
from frame3d.export.standing import body_mount, link_motions, part_mount
from frame3d.geometry.layout import Layout
from frame3d.solids.mesh import Mesh
from frame3d.solids.model import Colour, FrameModel, Part


def mating_bodies(bodies: Bodies) -> tuple[Body, ...]:
    """The bodies that are drawn beside the frame's own."""
    return tuple(b for b in bodies.bodies if b.drawn and b.family != "frame")


def assembly_step(model: FrameModel, bodies: Bodies, pose: Pose) -> bytes:
    """Frame and mating parts as STEP, in the frame's axes; products carry the bodies' names.

    A body of several solids that do not join (cogs) is one product each, numbered from 1. What is
    fixed to a link of the rear suspension is among that link's products, see `frame3d.export.step`.

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
        link = _link(model.layout, body_mount(body))
        try:
            made = solids_of(body, pose if link is None else Pose())
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
            parts.append(
                Part(name, name, None, colour, "", 0.0, shape, bulk.volume, bulk.centre, link)
            )
    whole = replace(model, parts=(*model.parts, *parts))
    return step(whole, link_motions(model.layout, pose))


def assembly_glb(
    model: FrameModel,
    bodies: Bodies,
    pose: Pose,
    meshes: dict[str, Mesh] | None = None,
) -> bytes:
    """Frame and mating parts as binary glTF; nodes carry the bodies' names. Needs no CAD kernel.

    Animations show the rear travel, the fork's and the steering, where the bike has them.

    Args:
        model: the frame.
        bodies: its mating parts.
        pose: where what moves stands.
        meshes: of the frame's parts by name, where drawn; the model's own where left out.
    """
    from frame3d.export.glb import glb
    from frame3d.solids.outline_mesh import body_mesh

    place = Place(model.layout)
    mounts = {part.name: part_mount(place, part) for part in model.parts}
    every = dict(model.meshes if meshes is None else meshes)
    mating: list[Part] = []
    for body in mating_bodies(bodies):
        mesh = body_mesh(body)
        every[body.name] = mesh
        mounts[body.name] = body_mount(body)
        mating.append(
            Part(
                body.name, body.name, None, _rgb(body.colour), "", 0.0, None, mesh.volume,
                (0.0, 0.0, 0.0),
            )
        )  # fmt: skip
    moving = {name: mount for name, mount in mounts.items() if mount != FRAME}
    whole = replace(model, parts=(*model.parts, *mating))
    return glb(whole, every, moving, pose, strokes_of(model.layout))


def _link(layout: Layout, mount: Mount) -> str | None:
    """The link of the rear suspension that a mount is; None for all others."""
    swings = any(step.kind == SWING for step in mount.steps)
    links = () if layout.linkage is None else layout.linkage.links
    return mount.name if swings and mount.name in links else None


def _rgb(colour: str) -> Colour:
    r, g, b = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    return (r, g, b)
