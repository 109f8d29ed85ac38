"""A model's parts as meshes, in their print poses, on plates."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.mockup.model import ScaleModel
from frame3d.mockup.part import ModelPart
from frame3d.mockup.printing.bed_fit import misfit, too_large
from frame3d.mockup.printing.check import meshed, passed, snapped
from frame3d.mockup.printing.nesting import Laid, NestedPart, PlateOf, fits, laid, packed
from frame3d.mockup.printing.orientation import PrintPose, poses
from frame3d.solids.mesh import Mesh


@dataclass(frozen=True, eq=False)
class Printed:
    """A part ready to print."""

    number: int
    """Number of the part, from 1."""
    part: ModelPart
    mesh: Mesh
    """In its place in the model [mm]."""
    flat: Mesh
    """In its print pose: on z = 0, with its bounding box's corner at the origin [mm]."""
    pose: PrintPose
    laid: Laid
    plate: int
    """Number of its plate, from 1."""
    place: NestedPart
    """Its place on the plate."""

    @property
    def transform(self) -> Array:
        """Rigid motion from `flat` to the place on the plate: (3, 4)."""
        a = np.radians(self.place.angle)
        turn = np.array(
            [[np.cos(a), -np.sin(a), 0.0], [np.sin(a), np.cos(a), 0.0], [0.0, 0.0, 1.0]]
        )
        lifted = self.mesh.vertices @ self.pose.turn.T
        low = lifted.min(axis=0)
        shift = turn @ np.array([low[0], low[1], 0.0]) + np.array([*self.place.shift, 0.0])
        return np.column_stack([turn, shift])


@dataclass(frozen=True, eq=False)
class Plates:
    """All parts and their plates."""

    parts: tuple[Printed, ...]
    plates: tuple[PlateOf, ...]


def plates(model: ScaleModel) -> Plates:
    """Check all parts, choose their print poses and place them on plates.

    Raises:
        MockupError: a part is not one closed shell, or fits no plate.
    """
    options = model.drawing.options
    meshes = {part.name: meshed(part.solid) for part in model.parts}
    chosen: dict[str, tuple[PrintPose, Laid]] = {}
    misfits = []
    for part in model.parts:
        found = _lying(model, part, meshes[part.name])
        if found is None:
            misfits.append(misfit(part.name, part.solid, options.bed))
        else:
            chosen[part.name] = found
    if misfits:
        raise too_large(misfits, options)
    made = packed([item for _, item in chosen.values()], options.bed, options.mixed)
    where = {item.name: (plate.number, item) for plate in made for item in plate.items}
    printed = []
    for number, part in enumerate(model.parts, start=1):
        pose, item = chosen[part.name]
        mesh = meshes[part.name]
        plate, place = where[part.name]
        printed.append(
            Printed(
                number=number,
                part=part,
                mesh=mesh,
                flat=_flat(mesh, pose),
                pose=pose,
                laid=item,
                plate=plate,
                place=place,
            )
        )
    passed({item.part.name: item.flat for item in printed})
    return Plates(tuple(printed), made)


def _lying(model: ScaleModel, part: ModelPart, mesh: Mesh) -> tuple[PrintPose, Laid] | None:
    """Return the pose of least support that fits the bed; None where none fits."""
    for pose in poses(part, mesh):
        item = laid(part.name, part.colour, mesh, pose.turn)
        if fits(item, model.drawing.options.bed):
            return pose, item
    return None


def _flat(mesh: Mesh, pose: PrintPose) -> Mesh:
    """Return the mesh in its print pose, as it is written to the file."""
    vertices = mesh.vertices @ pose.turn.T
    return snapped(Mesh(vertices - vertices.min(axis=0), mesh.triangles))
