"""A frame as STEP, STL, 3MF, GLB and JSON: one module for each format, from model to bytes.

A module in `formats/` with one function, model → bytes, and a line in `formats.write_all`. It
changes nothing that it is given, takes dates only from `writer.timestamp` (`SOURCE_DATE_EPOCH`),
and gives the same bytes on every run, in every process.

`writer.write` is the one way to the disk: a set of files appears whole or not at all (`journal.py`), one
run at a time (`folder_lock.py`), and outdated files of the last set are removed (`manifest.py`).

At a pose. Solids and meshes are made once, as drawn, and moved to a pose: STEP places each link's
sub-assembly (products are the same at every pose), STL and 3MF move meshes by
`standing.link_motions`, GLB has meshes where they are drawn and nodes that stand at the pose. A
part of the frame knows its `link`; mating parts have mounts.

Animations. `animation.py` turns a motion into keyframes, as many as keep every point within 0.05 mm
of its true place between two of them, where viewers interpolate translations linearly and rotations
by slerp. Parts that move alike share the data; the node tree is flat, so that each animation is
complete by itself, with everything else at the file's pose. `tests/formats/gltf.py` reads them by the
standard's formulas alone.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from frame3d.bike.exchange import AsBuilt
    from frame3d.bodies.motion.pose import Pose
    from frame3d.solids.model import FrameModel

__all__ = ["document_of", "write_all"]

MANIFEST = "build.sha256"
"""Name of the list of a set's files, see `frame3d.formats.manifest`; for bikes with a built fork."""


def write_all(
    model: FrameModel,
    folder: Path,
    progress: Callable[[str, float], None] | None = None,
    *,
    tolerance: float | None = None,
    as_built: AsBuilt | None = None,
    pose: Pose | None = None,
) -> tuple[Path, ...]:
    """Write the frame and the bike.

    ``frame.step``, ``frame.stl``, ``frame.3mf`` hold the frame alone; ``frame.glb`` and
    ``assembly.step`` also the parts that it carries; ``geometry.json`` all figures. A fork that the shop
    builds is in the last three too, and by itself in ``fork.step``, ``fork.stl`` and ``fork.3mf``.

    All files are made before the first is written, and all are on the disk before the first old one is
    replaced.

    Args:
        model: the frame.
        folder: created if missing.
        progress: called before each file with its name and the share done, from 0 to 1.
        tolerance: of STL and 3MF [mm]; `frame3d.solids.mesh.TOLERANCE` if not given, as always for GLB.
        as_built: the changes by exchanged parts, for geometry.json.
        pose: pose of all moving parts, in all files; as drawn if not given.

    Returns:
        the files written.

    Raises:
        OutputError: a file cannot be made or written; older files are unchanged.
        SolidError: parts overlap.
        DisagreementError: see `frame3d.formats.stl.hold`; nothing is written.
    """
    from frame3d.bodies import bodies_of
    from frame3d.bodies.motion.pose import Pose as Stand
    from frame3d.formats.assembly import assembly_glb, assembly_step
    from frame3d.formats.documents import dumps
    from frame3d.formats.standing import link_motions, standing_meshes
    from frame3d.formats.step import step
    from frame3d.formats.stl import stl
    from frame3d.formats.threemf import threemf
    from frame3d.formats.writer import timestamp, write
    from frame3d.solids.body_meshes import mesh_of_part
    from frame3d.solids.mesh import TOLERANCE

    timestamp()  # check SOURCE_DATE_EPOCH: libraries read it too, and give no clear error
    meshes = model.meshes
    if tolerance is None:
        tolerance = TOLERANCE
    elif tolerance != TOLERANCE:
        meshes = {body.name: mesh_of_part(model.bike, body, tolerance) for body in model.bodies}
    carried = bodies_of(model.bike)
    stand = Stand() if pose is None else pose
    motions = link_motions(model.bike, stand)
    fork = _fork_makers(model, tolerance, stand)
    makers: dict[str, Callable[[], bytes]] = {
        "frame.step": lambda: step(model, motions),
        "frame.stl": lambda: stl(model, tolerance, motions, meshes),
        "frame.3mf": lambda: threemf(model, standing_meshes(model.parts, meshes, motions)),
        **fork,
        "frame.glb": lambda: assembly_glb(model, carried, stand),
        "assembly.step": lambda: assembly_step(model, carried, stand),
        "geometry.json": lambda: dumps(document_of(model, as_built, stand)).encode("utf-8"),
    }
    files: dict[str, bytes] = {}
    for i, (name, make) in enumerate(makers.items()):
        if progress is not None:
            progress(name, i / len(makers))
        files[name] = make()
    if progress is not None:
        progress("done", 1.0)
    # Without a built fork the set has always the same names; once it had one, a list tells what is old.
    manifest = MANIFEST if fork or (folder / MANIFEST).exists() else None
    return write(files, folder, manifest=manifest, progress=progress).files


def _fork_makers(model: FrameModel, tolerance: float, pose: Pose) -> dict[str, Callable[[], bytes]]:
    """Return what makes the files of a fork that the shop builds, turned with the bar; none without."""
    from dataclasses import replace

    from frame3d.formats.assembly import steered_parts
    from frame3d.formats.standing import STEERS, standing_meshes, steering_motion
    from frame3d.formats.step import step
    from frame3d.formats.stl import stl
    from frame3d.formats.threemf import threemf
    from frame3d.solids.body_meshes import mesh_of_part
    from frame3d.solids.mesh import TOLERANCE

    fork = model.fork
    if fork is None:
        return {}
    meshes = fork.meshes
    if tolerance != TOLERANCE:
        meshes = {body.name: mesh_of_part(fork.bike, body, tolerance) for body in fork.bodies}
    motion = steering_motion(model.bike, pose)
    still = {"": motion[STEERS]} if motion else {}  # of parts on no link
    return {
        "fork.step": lambda: step(replace(fork, parts=steered_parts(model)), motion),
        "fork.stl": lambda: stl(fork, tolerance, still, meshes),
        "fork.3mf": lambda: threemf(fork, standing_meshes(fork.parts, meshes, still)),
    }


def document_of(
    model: FrameModel, as_built: AsBuilt | None = None, pose: Pose | None = None
) -> dict[str, Any]:
    """Return the contents of geometry.json as plain data; see `frame3d.formats.geometry_json`."""
    from frame3d.formats.geometry_json import geometry_document

    return geometry_document(model.bike, model, as_built, pose)
