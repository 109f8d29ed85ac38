"""The README's pictures, made anew: ``python -m tests.pictures``.

Frames are drawn from their GLB, the scale model from its assembly, by vtk (it comes with cadquery).
"""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
import trimesh

import frame3d
from frame3d.cli.commands import main

CONFIGS = Path(__file__).parents[1] / "configs"
EDGE = 35.0
"""Angle between two faces from which their common edge is drawn [degrees]."""


def meshes(file: Path, keep: Callable[[str], bool]) -> Iterator[tuple[str, trimesh.Trimesh]]:
    """Meshes of a GLB in its own axes (y up), by the names of their nodes."""
    scene = trimesh.load(file, force="scene")
    for node in scene.graph.nodes_geometry:
        if keep(node):
            matrix, name = scene.graph[node]
            yield node, scene.geometry[name].copy().apply_transform(matrix)


def actors(mesh: trimesh.Trimesh, edges: bool) -> Iterator[Any]:
    """A mesh shaded smooth up to its sharp edges, and those edges as lines."""
    from vtkmodules.util.numpy_support import numpy_to_vtk, numpy_to_vtkIdTypeArray
    from vtkmodules.vtkCommonCore import vtkPoints
    from vtkmodules.vtkCommonDataModel import vtkCellArray, vtkPolyData
    from vtkmodules.vtkFiltersCore import vtkFeatureEdges, vtkPolyDataNormals
    from vtkmodules.vtkRenderingCore import vtkActor, vtkPolyDataMapper

    joined = trimesh.Trimesh(mesh.vertices, mesh.faces, process=False)
    joined.merge_vertices(merge_norm=True, merge_tex=True)
    points, cells, data = vtkPoints(), vtkCellArray(), vtkPolyData()
    points.SetData(numpy_to_vtk(np.ascontiguousarray(joined.vertices), deep=True))
    rows = np.column_stack([np.full(len(joined.faces), 3), joined.faces]).astype(np.int64)
    cells.ImportLegacyFormat(numpy_to_vtkIdTypeArray(rows.ravel(), deep=True))
    data.SetPoints(points)
    data.SetPolys(cells)
    normals = vtkPolyDataNormals()
    normals.SetInputData(data)
    normals.SetFeatureAngle(EDGE)
    normals.SplittingOn()
    material = getattr(mesh.visual, "material", None)
    colour = getattr(material, "baseColorFactor", None)
    rgb = (
        (0.5, 0.5, 0.5)
        if colour is None
        else tuple((float(c) / 255) ** (1 / 2.2) for c in colour[:3])
    )
    mapper, actor = vtkPolyDataMapper(), vtkActor()
    mapper.SetInputConnection(normals.GetOutputPort())
    mapper.ScalarVisibilityOff()
    actor.SetMapper(mapper)
    actor.GetProperty().SetColor(*rgb)
    actor.GetProperty().SetAmbient(0.1)
    yield actor
    if edges:
        sharp, mapper, actor = vtkFeatureEdges(), vtkPolyDataMapper(), vtkActor()
        sharp.SetInputData(data)
        sharp.SetFeatureAngle(EDGE)
        sharp.BoundaryEdgesOff()
        sharp.NonManifoldEdgesOff()
        sharp.ColoringOff()
        mapper.SetInputConnection(sharp.GetOutputPort())
        mapper.ScalarVisibilityOff()
        actor.SetMapper(mapper)
        actor.GetProperty().SetColor(0.06, 0.06, 0.06)
        actor.GetProperty().SetLineWidth(1.5)
        yield actor


def picture(
    file: Path, out: Path, size: tuple[int, int], keep: Callable[[str], bool], *, edges: bool
) -> None:
    """Draw a GLB from its drive side, a little from above and from the front."""
    import vtkmodules.vtkRenderingOpenGL2  # noqa: F401  registers the renderer
    from vtkmodules.vtkIOImage import vtkPNGWriter
    from vtkmodules.vtkRenderingCore import vtkRenderer, vtkRenderWindow, vtkWindowToImageFilter

    renderer, window = vtkRenderer(), vtkRenderWindow()
    renderer.SetBackground(1, 1, 1)
    for _, mesh in meshes(file, keep):
        for actor in actors(mesh, edges):
            renderer.AddActor(actor)
    window.SetOffScreenRendering(1)
    window.SetMultiSamples(8)
    window.SetSize(*size)
    window.AddRenderer(renderer)
    camera = renderer.GetActiveCamera()
    camera.ParallelProjectionOn()
    # glTF: z forward, y up, x to the left; the drive side is on the right.
    camera.SetPosition(-1.0, 0.3, 0.35)
    camera.SetFocalPoint(0, 0, 0)
    camera.SetViewUp(0, 1, 0)
    renderer.ResetCamera()
    camera.Zoom(1.45)
    window.Render()
    grab, writer = vtkWindowToImageFilter(), vtkPNGWriter()
    grab.SetInput(window)
    writer.SetInputConnection(grab.GetOutputPort())
    writer.SetFileName(str(out))
    writer.Write()


def run(*words: str) -> None:
    """A command of frame3d's, which has to succeed."""
    try:
        main([*words, "-q"])
    except SystemExit as left:
        if left.code not in (None, 0):
            raise


def draw() -> None:
    """All three."""
    with tempfile.TemporaryDirectory() as folder:
        for name in ("trail_hardtail_29", "trail_full_140"):
            file = CONFIGS / f"{name}.yaml"
            frame = {tube.name for tube in frame3d.solve(frame3d.load(file)).tubes}
            run("build", str(file), "-o", f"{folder}/{name}")
            shown = (
                *frame,
                "bottom_bracket",
                "rear_dropout",
                "lug_",
                "housing_",
                "plate_",
                "shock",
            )

            def keep(node: str, shown: tuple[str, ...] = shown) -> bool:
                return node.startswith(shown)

            glb = Path(folder) / name / "frame.glb"
            picture(glb, CONFIGS / f"{name}.png", (1200, 760), keep, edges=True)
        run(
            "mockup", str(CONFIGS / "trail_hardtail_29.yaml"), "--scale", "1:6", "-o", f"{folder}/m"
        )
        model = next(Path(folder, "m").rglob("*.glb"))
        picture(model, CONFIGS / "trail_hardtail_29_model.png", (1000, 620), bool, edges=False)


if __name__ == "__main__":
    draw()
