"""A GLB that moves, read back by pygltflib, trimesh and VTK, of which the last plays its animations."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh
from pygltflib import GLTF2
from vtkmodules.vtkIOImport import vtkGLTFImporter
from vtkmodules.vtkRenderingCore import vtkRenderer, vtkRenderWindow

from frame3d.bodies.motion.pose import Pose
from frame3d.formats.animation import SECONDS
from tests.formats.gltf import TO_FRAME
from tests.formats.suspended import glb, layout, model
from tests.sampling import first

Array = np.ndarray[Any, np.dtype[np.float64]]


def test_pygltflib_finds_every_target() -> None:
    gltf = GLTF2().load_from_bytes(glb().data)
    assert [a.name for a in gltf.animations] == ["Rear travel", "Fork travel", "Steering"]
    for animation in gltf.animations:
        for channel in animation.channels:
            assert gltf.nodes[channel.target.node].mesh is not None
            assert channel.target.path in ("translation", "rotation")
            sampler = animation.samplers[channel.sampler]
            assert sampler.interpolation == "LINEAR"
            assert gltf.accessors[sampler.input].count == gltf.accessors[sampler.output].count


def test_trimesh_puts_nodes_where_the_pose_does() -> None:
    scene = trimesh.load(io.BytesIO(glb().data), file_type="glb")
    for name in glb().nodes:
        transform, geometry = scene.graph[name]
        places = trimesh.transform_points(scene.geometry[geometry].vertices, transform)
        ours = (places @ TO_FRAME[:3, :3].T) * 1000
        goal = glb().placed(name)
        assert ours.min(axis=0) == pytest.approx(goal.min(axis=0), abs=1e-3), name
        assert ours.max(axis=0) == pytest.approx(goal.max(axis=0), abs=1e-3), name
    volume = sum(scene.geometry[part.name].volume for part in model().parts)
    assert volume * 1e9 == pytest.approx(model().volume, rel=2e-3)


def played(file: Path, animation: int, time: float) -> list[Array]:
    """Boxes of all parts where VTK has them, low and high corner, in its own order [mm]."""
    window, renderer = vtkRenderWindow(), vtkRenderer()
    window.SetOffScreenRendering(True)
    window.AddRenderer(renderer)
    importer = vtkGLTFImporter()
    importer.SetFileName(str(file))
    importer.SetRenderWindow(window)
    importer.Update()
    assert importer.GetNumberOfAnimations() == 3
    importer.EnableAnimation(animation)
    assert importer.UpdateAtTimeValue(time)
    actors = importer.GetRenderer().GetActors()
    actors.InitTraversal()
    boxes = []
    for _ in range(actors.GetNumberOfItems()):
        box = np.array(actors.GetNextActor().GetBounds()).reshape(3, 2).T
        boxes.append(box @ TO_FRAME[:3, :3].T * 1000)
    return boxes


def boxes_at(pose: Pose) -> list[Array]:
    """Boxes about the boxes of parts as drawn, which is how VTK boxes a part that is moved."""
    there, drawn = glb(pose), glb(Pose())
    boxes = []
    for name in there.nodes:
        own = drawn.vertices(name)
        corners = np.array(np.meshgrid(*np.array([own.min(axis=0), own.max(axis=0)]).T))
        points = np.vstack([corners.reshape(3, -1), np.ones(8)])
        moved = (there.local(name) @ points)[:3].T @ TO_FRAME[:3, :3].T * 1000
        boxes.append(np.array([moved.min(axis=0), moved.max(axis=0)]))
    return boxes


def furthest(boxes: list[Array], found: list[Array]) -> float:
    """How far the box that fits worst is from the one found that is nearest to it [mm]."""
    return max(min(float(np.abs(box - other).max()) for other in found) for box in boxes)


@pytest.mark.parametrize("time", first(1, [0.37, SECONDS / 2, 3.1]))
def test_vtk_plays_the_rear_travel_as_the_mechanism_moves(tmp_path: Path, time: float) -> None:
    """Every part, against nodes that stand at the pose that the animation shows then."""
    file = tmp_path / "frame.glb"
    file.write_bytes(glb(Pose()).data)
    linkage = layout().linkage
    assert linkage is not None
    travel = linkage.full_travel * (1 - abs(time - SECONDS / 2) / (SECONDS / 2))
    found = played(file, 0, time)
    assert len(found) == len(glb(Pose()).nodes)
    assert furthest(boxes_at(Pose(rear=travel)), found) < 0.05
    assert furthest(boxes_at(Pose()), found) > 1.0  # as drawn it does not fit
