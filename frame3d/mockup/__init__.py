"""The scale model: from a solved bike to plates that can be printed. Needs no CAD kernel."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from frame3d.bike.bike import Bike
    from frame3d.bodies.motion.pose import Pose
    from frame3d.mockup.options import Options

__all__ = ["mockup"]


def mockup(
    bike: Bike,
    options: Options,
    folder: Path,
    *,
    pose: Pose | None = None,
    progress: Callable[[str, float], None] | None = None,
) -> tuple[tuple[Path, ...], dict[str, Any]]:
    """Write a scale model: ``part_*.stl``, ``plate_*.3mf``, ``assembly.glb``, ``howto.pdf``,
    ``mockup.json``.

    Args:
        bike: the solved bike.
        options: of the model; see `frame3d.mockup.read_options.read_options`.
        folder: created if missing.
        pose: of suspension, fork and cranks; as drawn if not given.
        progress: called with what is being done and the share done, 0 to 1.

    Returns:
        the files written, and what mockup.json holds.

    Raises:
        MockupError: parts overlap, do not fit the bed, or cannot be printed.
        OutputError: a file cannot be written; older files are unchanged.
    """
    from frame3d.bodies.motion.pose import Pose as Stand
    from frame3d.mockup.drawing import Drawing
    from frame3d.mockup.model import model
    from frame3d.mockup.printing.plates import plates
    from frame3d.mockup.write import files, written

    tell = progress or (lambda _what, _share: None)
    tell("parts", 0.0)
    made = model(Drawing(bike, options, Stand() if pose is None else pose))
    tell("plates", 0.3)
    laid = plates(made)
    found, document = files(made, laid, lambda what, share: tell(what, 0.7 + 0.25 * share))
    tell("files", 0.95)
    return written(found, folder), document
