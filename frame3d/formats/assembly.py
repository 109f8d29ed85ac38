"""The frame and the parts that it carries as STEP and GLB, at any pose."""

from __future__ import annotations

from dataclasses import replace

from frame3d.bike.bike import Bike
from frame3d.bodies.body import Bodies, Body
from frame3d.bodies.motion.mounts import FRAME, SWING, Mount
from frame3d.bodies.motion.pose import Pose
from frame3d.bodies.placement import Placement
from frame3d.formats.animation import strokes_of
from frame3d.formats.standing import STEERS, link_motions, part_mount, steering_motion
from frame3d.solids.mesh import Mesh
from frame3d.solids.model import FrameModel, FramePart, mesh_part, rgb


def mating_bodies(bodies: Bodies) -> tuple[Body, ...]:
    """Return the bodies that are drawn besides the frame's."""
    return tuple(b for b in bodies.bodies if b.drawn and b.family != "frame")


def steered_parts(model: FrameModel) -> tuple[FramePart, ...]:
    """Return the parts of a fork that the shop builds, in a sub-assembly that steers."""
    fork = model.fork
    return () if fork is None else tuple(replace(part, link=STEERS) for part in fork.parts)


def assembly_step(model: FrameModel, bodies: Bodies, pose: Pose) -> bytes:
    """Return frame and mating parts as STEP, in the frame's axes; products have the bodies' names.

    A body of several separate solids (cogs) is one product for each, numbered from 1. Parts on a link of
    the rear suspension are in that link's sub-assembly, see `frame3d.formats.step`; those of a fork that
    the shop builds, in its own solids, are in one that steers.

    Raises:
        SolidError: the CAD kernel cannot make a part.
        OutputError: the kernel's writer fails.
    """
    from frame3d.errors import SolidError
    from frame3d.formats.step import step
    from frame3d.solids import occ
    from frame3d.solids.mating import solids_of

    parts: list[FramePart] = [*steered_parts(model)]
    own = {part.name for part in parts}
    for body in mating_bodies(bodies):
        if body.name in own:
            continue
        link = _link(model.bike, body.mount)
        try:
            made = solids_of(body, pose if link is None else Pose())
        except occ.KernelError as problem:
            raise SolidError(
                model.bike.spec.fault(
                    "solid",
                    body.part,
                    f"{body.name} could not be made as a solid: {problem}",
                    "change its sizes a little",
                )
            ) from problem
        for i, shape in enumerate(made):
            name = body.name if len(made) == 1 else f"{body.name}_{i + 1}"
            bulk = occ.bulk(shape)
            parts.append(
                FramePart(
                    name=name,
                    key=name,
                    side=None,
                    colour=rgb(body.colour),
                    material="",
                    density=0.0,
                    shape=shape,
                    volume=bulk.volume,
                    centre=bulk.centre,
                    link=link,
                )
            )
    whole = replace(model, parts=(*model.parts, *parts))
    return step(whole, link_motions(model.bike, pose) | steering_motion(model.bike, pose))


def assembly_glb(
    model: FrameModel,
    bodies: Bodies,
    pose: Pose,
    meshes: dict[str, Mesh] | None = None,
) -> bytes:
    """Return frame and mating parts as binary glTF; nodes have the bodies' names. Needs no CAD kernel.

    Animations show the rear travel, the fork's and the steering, where the bike has them.

    Args:
        model: the frame.
        bodies: its mating parts.
        pose: where what moves stands.
        meshes: of the frame's parts as drawn, by name; the model's own if not given.
    """
    from frame3d.formats.glb import glb
    from frame3d.solids.outline_mesh import body_mesh

    place = Placement(model.bike)
    mounts = {part.name: part_mount(place, part) for part in model.parts}
    every = dict(model.meshes if meshes is None else meshes)
    mating: list[FramePart] = []
    fork = {} if model.fork is None else model.fork.meshes
    for body in mating_bodies(bodies):
        mesh = fork.get(body.name) or body_mesh(body)
        every[body.name] = mesh
        mounts[body.name] = body.mount
        mating.append(mesh_part(body.name, body.colour, mesh))
    moving = {name: mount for name, mount in mounts.items() if mount != FRAME}
    whole = replace(model, parts=(*model.parts, *mating))
    return glb(whole, every, moving, pose, strokes_of(model.bike))


def _link(bike: Bike, mount: Mount) -> str | None:
    """Return the name of the link that a mount is; None for other mounts."""
    swings = any(step.kind == SWING for step in mount.steps)
    links = () if bike.linkage is None else bike.linkage.links
    return mount.name if swings and mount.name in links else None
