"""Fabrication: the workshop pack: templates, cut list, fixture sheet, drawing, parts, bends.

Light until `fabricate` is called: ezdxf and reportlab come in with it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from frame3d.errors import Fault, Note
from frame3d.geometry.layout import Layout

PAPER_NAMES = ("A4", "Letter")


@dataclass(frozen=True, slots=True)
class Written:
    """What was written, and what could not be made."""

    files: tuple[Path, ...]
    faults: tuple[Fault, ...]
    notes: tuple[Note, ...]


def fabricate(
    layout: Layout,
    folder: Path,
    *,
    paper: str = "A4",
    progress: Callable[[str, float], None] | None = None,
) -> Written:
    """Write the workshop pack of a solved bike.

    Args:
        layout: from `frame3d.solve`.
        folder: made if need be; each template's own DXF and SVG go into ``templates`` within.
        paper: one of `PAPER_NAMES`.
        progress: called with what is being made and the share done, 0 to 1.

    Raises:
        OutputError: a file cannot be written; those of before are untouched.
    """
    from frame3d.export.writer import write
    from frame3d.fabrication.pack import Maker

    pack = Maker(layout, paper, progress).make()
    inner = {n.partition("/")[2]: data for n, data in pack.files.items() if "/" in n}
    outer = {n: data for n, data in pack.files.items() if "/" not in n}
    files = write(inner, folder / "templates") if inner else ()
    for name in pack.failed:  # no template of before may pass for this one's
        for suffix in ("dxf", "svg"):
            for old in (folder / "templates").glob(f"{name}*.{suffix}"):
                if old.stem.removeprefix(name).strip("_0123456789") == "":
                    old.unlink()
    return Written((*write(outer, folder), *files), tuple(pack.faults), tuple(pack.notes))
