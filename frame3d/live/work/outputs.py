"""The outputs that the page offers for a bike."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from frame3d.live.solved_text import SolvedText
from frame3d.progress import Progress

BED: Final = "220x220x250"
"""Bed of a common printer, the command's default [mm]."""
Write = Callable[[SolvedText, Path, Progress], tuple[Path, ...]]
"""Writes files of a solved bike into a folder, reports progress, and returns the files written.

Raises FrameError where it cannot; then older files are unchanged.
"""


@dataclass(frozen=True, slots=True)
class Output:
    """An output."""

    key: str
    """Name of the command that does the same; its texts are ``output.<key>.title`` and ``.says``."""
    write: Write
    needs_tubes: bool = True
    """Whether the output needs a file that describes tubes."""


def _build(solved: SolvedText, folder: Path, progress: Progress) -> tuple[Path, ...]:
    from frame3d.formats import write_all
    from frame3d.solids import make

    model = make(solved.bike, lambda what, share: progress(what, 0.75 * share))
    return write_all(model, folder, lambda what, share: progress(what, 0.75 + 0.25 * share))


def _fabricate(solved: SolvedText, folder: Path, progress: Progress) -> tuple[Path, ...]:
    from frame3d.errors import OutputError
    from frame3d.fabrication import fabricate

    written = fabricate(solved.bike, folder, progress=progress)
    if written.faults:  # what could be made of the pack is written
        raise OutputError(written.faults)
    return written.files


def _report(solved: SolvedText, folder: Path, progress: Progress) -> tuple[Path, ...]:
    from frame3d.bike.choice import solve_choice
    from frame3d.bike.exchange import as_built
    from frame3d.family.of_file import tables_of
    from frame3d.family.wanted import Source
    from frame3d.parameters.reading.change import exchanges
    from frame3d.report.data import gather
    from frame3d.report.page import write_report

    bike, name, variants = solved.bike, solved.name, solved.bike.spec.variants
    built = None
    if bike.exchanged:
        built = as_built(solve_choice(solved.text, name, solved.choice).drawn, bike)
    offered = None
    if variants.sizes or variants.settings:
        offered = tables_of(Source(name, solved.text), solved.choice)
    data = gather(bike, built, exchanges(bike.spec), progress, offered)
    return write_report(data, folder, progress).files


def _mockup(solved: SolvedText, folder: Path, progress: Progress) -> tuple[Path, ...]:
    from frame3d.mockup import mockup
    from frame3d.mockup.read_options import read_options

    options = read_options(solved.bike, bed=BED)
    return mockup(solved.bike, options, folder / "mockup", progress=progress)[0].files


OUTPUTS: Final[tuple[Output, ...]] = (
    Output("build", _build),
    Output("fabricate", _fabricate),
    Output("mockup", _mockup),
    Output("report", _report, needs_tubes=False),
)
"""All outputs, in the order in which the page offers them. To add one, add a line here and its texts."""


def output(key: str) -> Output:
    """Return the output of that key.

    Raises:
        KeyError: there is none.
    """
    for one in OUTPUTS:
        if one.key == key:
            return one
    raise KeyError(key)
