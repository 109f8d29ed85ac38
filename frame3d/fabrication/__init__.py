"""The workshop pack: templates, cut list, fixture sheet, drawing, parts, bends, flat parts.

Light until `fabricate` is called: ezdxf and reportlab come in with it.

Every sheet but the DXF of a flat part (`flat/`) is one `Sheet` (`paper/sheet.py`): an ezdxf document
at 1:1 with named layers. Its DXF is that document; `render.py` draws SVG and PDF from its entities
and nothing else, so the three cannot differ. (ezdxf's own PDF backend truncates pages to whole
points; reportlab takes them exactly.) Lettering (`paper/fonts.py`, for the scale model's how-to too)
is Helvetica, which every PDF reader has; a line with letters beyond Windows-1252 is set in DejaVu
Sans, from matplotlib's files, and embedded; what that lacks too (Chinese, Japanese, emoji) prints as
`?` in the PDF and as itself in DXF and SVG.

`dimension.py` letters a drawing last, each text where fewest lines run through it;
`page_elements.fitted` sets what is too wide smaller, then shorter.

Where a tube's metal ends is told by `tubes/cuts/edge.py`. `develop.py` lays the outside flat.
`tests/reference/test_mitre_templates.py` wraps every edge of every demo back and holds it to an
edge of the solid. The drawing takes its lines from the meshes of `solids/body_meshes.py`
(`silhouette.py`): the kernel's exact hidden-line removal took two minutes for the side view of the
demo and serves as the test's reference.

What features are on tubes is told by `on_tubes/`: the marking templates' edges come from
`tubes/features/edges.py`, and are held to the solids' as the mitres' are.

`partial_layout.py` solves a file again without the tubes that are at fault, for the rest of the
pack.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from frame3d.bike.bike import Bike
from frame3d.errors import Fault, Note, TubeError

if TYPE_CHECKING:
    from frame3d.fabrication.flat.nest import Stock
    from frame3d.parameters.reading.tube_stock import TubeStock

PAPER_NAMES = ("A4", "Letter")
MANIFEST = "pack.sha256"
"""Name of the list of a pack's files; see `frame3d.formats.manifest`."""


@dataclass(frozen=True, slots=True)
class Written:
    """The files written, and the faults of those that could not be made."""

    files: tuple[Path, ...]
    faults: tuple[Fault, ...]
    notes: tuple[Note, ...]
    removed: tuple[Path, ...] = ()
    """Files of the pack before that this one no longer has."""
    kept: tuple[Path, ...] = ()
    """Such files that somebody has changed since, which stay."""


def fabricate(
    bike: Bike,
    folder: Path,
    *,
    paper: str = "A4",
    tube_stock: TubeStock | None = None,
    plate_stock: Stock | None = None,
    progress: Callable[[str, float], None] | None = None,
) -> Written:
    """Write the workshop pack of a solved bike, all of it or nothing (`formats.writer.write`).

    Files that the pack before wrote there and this one no longer has, such as a renamed tube's template,
    are deleted, unless somebody changed them since.

    Args:
        bike: from `frame3d.solve`.
        folder: created if missing; each template's own DXF and SVG go into its folder ``templates``,
            those of flat parts into ``plates``.
        paper: one of `PAPER_NAMES`.
        tube_stock: the shop's own tubes; given, the pack says what each tube is cut from.
        plate_stock: sheets on which the flat parts are nested; None for none.
        progress: called with what is being made and the share done, 0 to 1.

    Raises:
        OutputError: a file cannot be written; older files are unchanged.
        TubeError: the cuts leave nothing of the head tube or the seat tube.
    """
    from frame3d.fabrication.pack import Maker
    from frame3d.fabrication.partial_layout import salvaged
    from frame3d.formats.writer import timestamp, write

    timestamp()  # libraries read SOURCE_DATE_EPOCH too, and do not say what is wrong with it
    maker = Maker(bike, paper, progress, tube_stock, plate_stock)
    left_out: tuple[Fault, ...] = ()
    while gone := maker.vanished():
        bike, faults = salvaged(bike.spec, TubeError(gone))
        maker = Maker(bike, paper, progress, tube_stock, plate_stock)
        left_out += faults
    pack = maker.make()
    done = write(pack.files, folder, manifest=MANIFEST, progress=progress)
    faults = (*left_out, *pack.faults)
    return Written(done.files, faults, tuple(pack.notes), done.removed, done.kept)
