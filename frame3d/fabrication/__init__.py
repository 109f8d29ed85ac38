"""The workshop pack: templates, cut list, fixture sheet, drawing, parts, bends.

Light until `fabricate` is called: ezdxf and reportlab come in with it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from frame3d.bike.bike import Bike
from frame3d.errors import Fault, Note, TubeError

PAPER_NAMES = ("A4", "Letter")


@dataclass(frozen=True, slots=True)
class Written:
    """What was written, and what could not be made."""

    files: tuple[Path, ...]
    faults: tuple[Fault, ...]
    notes: tuple[Note, ...]
    removed: tuple[Path, ...] = ()
    """Of the pack before, which this one no longer has."""


def fabricate(
    bike: Bike,
    folder: Path,
    *,
    paper: str = "A4",
    progress: Callable[[str, float], None] | None = None,
) -> Written:
    """Write the workshop pack of a solved bike, all of it or nothing.

    What the pack before wrote there and this one no longer has, such as a renamed tube's template, is
    taken away, unless somebody changed it since.

    Args:
        bike: from `frame3d.solve`.
        folder: made if need be; each template's own DXF and SVG go into ``templates`` within.
        paper: one of `PAPER_NAMES`.
        progress: called with what is being made and the share done, 0 to 1.

    Raises:
        OutputError: a file cannot be written; those of before are untouched.
        TubeError: nothing is left of the head tube or the seat tube.
    """
    from frame3d.fabrication.manifest import LISTING, listing, outdated, remove
    from frame3d.fabrication.pack import Maker
    from frame3d.fabrication.partial_layout import salvaged
    from frame3d.formats.writer import write

    maker = Maker(bike, paper, progress)
    left_out: tuple[Fault, ...] = ()
    while gone := maker.vanished():
        bike, faults = salvaged(bike.spec, TubeError(gone))
        maker = Maker(bike, paper, progress)
        left_out += faults
    pack = maker.make()
    old = outdated(folder, pack.files)
    files = write({**pack.files, LISTING: listing(pack.files)}, folder)
    remove(old)
    return Written(files, (*left_out, *pack.faults), tuple(pack.notes), tuple(old))
