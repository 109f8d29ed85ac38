"""The scale model: from a solved bike to plates that can be printed. Needs no CAD kernel.

`options.py` and `read_options.py` turn the command line's texts into `Options`. `Drawing` is a
solved bike at a scale and pose; makers (`parts/`) return `ModelPart`s, as manifolds in the bike's axes
at the print's scale, and `Joint`s; `interfaces.py` has the sizes that two makers share. `model.py`
stands the bike level, thickens less where parts would overlap (`easing.py`), cuts one part back where
they still do (`giving_way.py`), puts the bike on its stand, refuses parts that overlap
(`meeting.py`), and cuts what does not fit the bed (`printing/bed_fit.py`, `split.py`, `any_plane.py`).
`ScaleModel.changes` lists what was made otherwise than drawn or asked for.
`plates.py` turns every part into the mesh that is written (`check.py`, by trimesh), chooses its print
pose (`orientation.py`) and nests it on a plate (`nesting.py`); `write.py` makes the files.

- Thickening goes through `Drawing.least`, which notes it in the ledger; where a gap is kept beside a
  thickened body, the body beyond the gap has to move too (`frame._lug`). A tube is thickened by the same
  amount along its length, so its taper and its axis stay; everything else about the frame comes out of
  the same `solids.bodies` as the full-size one.
- Clearances are per side and in the print's millimetres. Pegs have a flat (`fits.py`): it keys them
  and lets them print lying. All sides of circles are multiples of eight, so that what is made to
  lean by 45 degrees does.
- A part says where it may be cut: `limbs` are stretches of it without junctions, `planes` are cuts
  made for it. A cut takes one plane, and all its pegs point along the plane's normal; otherwise the
  pieces could not be slid together. A frame is cut before it stands on end, which would take
  several times the support; it stands only where no cut helps (`ModelPart.upright`).
- Meshes are written on a grid of 2^-13 mm (about 1e-4), whose points STL's 32-bit numbers hold
  exactly: the triangles that are checked are those that are written. `slivers.py` removes triangles
  without area, or lower than the grid can hold, by edge collapses that do not move the surface and by
  edge flips; vertices that the grid would merge are kept a step apart.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from frame3d.errors import MockupError

if TYPE_CHECKING:
    from frame3d.bike.bike import Bike
    from frame3d.bodies.motion.pose import Pose
    from frame3d.formats.writer import WrittenSet
    from frame3d.mockup.options import Options

__all__ = ["mockup"]


def mockup(
    bike: Bike,
    options: Options,
    folder: Path,
    *,
    pose: Pose | None = None,
    progress: Callable[[str, float], None] | None = None,
) -> tuple[WrittenSet, dict[str, Any]]:
    """Write a scale model: ``part_*.stl``, ``plate_*.3mf``, ``assembly.glb``, ``howto.pdf``,
    ``mockup.json``, ``mockup.sha256``; all of it or nothing, see `frame3d.formats.writer.write`.

    Args:
        bike: the solved bike.
        options: of the model; see `frame3d.mockup.read_options.read_options`.
        folder: created if missing.
        pose: of suspension, fork and cranks; as drawn if not given.
        progress: called with what is being done and the share done, 0 to 1.

    Returns:
        what was written, and what mockup.json holds.

    Raises:
        MockupError: parts overlap, do not fit the bed, or cannot be printed.
        OutputError: a file cannot be written; older files are unchanged.
    """
    from frame3d.bodies.motion.pose import Pose as Stand
    from frame3d.formats.writer import timestamp, write
    from frame3d.mockup.drawing import Drawing
    from frame3d.mockup.model import model
    from frame3d.mockup.printing.plates import plates
    from frame3d.mockup.write import MANIFEST, files

    timestamp()  # check SOURCE_DATE_EPOCH: libraries read it too, and give no clear error
    tell = progress or (lambda _what, _share: None)
    tell("parts", 0.0)
    try:
        made = model(Drawing(bike, options, Stand() if pose is None else pose))
        tell("plates", 0.3)
        laid = plates(made)
    except MockupError as error:  # faults of the model's own parts, which stand on no line
        file = bike.spec.place("")
        faults = (f if f.place is not None else replace(f, place=file) for f in error.faults)
        raise MockupError(faults) from error
    found, document = files(made, laid, lambda what, share: tell(what, 0.7 + 0.25 * share))
    tell("files", 0.95)
    return write(found, folder, manifest=MANIFEST, progress=tell), document
