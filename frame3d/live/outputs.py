"""Everything that can be written of a bike, one line each, for pages that offer it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from frame3d.bike.bike import Bike
from frame3d.progress import Progress

BED: Final = "220x220x250"
"""Of a common printer, as the command has it [mm]."""
Write = Callable[[Bike, Path, Progress], tuple[Path, ...]]
"""Writes files of a solved bike into a folder, says how far it is, and returns what it has written.

Raises FrameError where it cannot; files of before are untouched then.
"""


@dataclass(frozen=True, slots=True)
class Output:
    """Something that can be written."""

    key: str
    """As the command that does the same; its texts are ``output.<key>.title`` and ``.says``."""
    write: Write
    needs_tubes: bool = True
    """Whether there is nothing to write where a file describes no tubes."""


def _build(bike: Bike, folder: Path, progress: Progress) -> tuple[Path, ...]:
    from frame3d.formats import write_all
    from frame3d.solids import make

    model = make(bike, lambda what, share: progress(what, 0.75 * share))
    return write_all(model, folder, lambda what, share: progress(what, 0.75 + 0.25 * share))


def _fabricate(bike: Bike, folder: Path, progress: Progress) -> tuple[Path, ...]:
    from frame3d.errors import OutputError
    from frame3d.fabrication import fabricate

    written = fabricate(bike, folder, progress=progress)
    if written.faults:  # what could be made of the pack is written
        raise OutputError(written.faults)
    return written.files


def _report(bike: Bike, folder: Path, progress: Progress) -> tuple[Path, ...]:
    from frame3d.report.data import gather
    from frame3d.report.page import write_report

    return (write_report(gather(bike, progress=progress), folder),)


def _mockup(bike: Bike, folder: Path, progress: Progress) -> tuple[Path, ...]:
    from frame3d.mockup import mockup
    from frame3d.mockup.read_options import read_options

    options = read_options(bike, bed=BED)
    return mockup(bike, options, folder / "mockup", progress=progress)[0]


OUTPUTS: Final[tuple[Output, ...]] = (
    Output("build", _build),
    Output("fabricate", _fabricate),
    Output("mockup", _mockup),
    Output("report", _report, needs_tubes=False),
)
"""In the order in which pages offer them. An exporter is one more line, and its texts."""


def output(key: str) -> Output:
    """Return the output of that key.

    Raises:
        KeyError: there is none.
    """
    for one in OUTPUTS:
        if one.key == key:
            return one
    raise KeyError(key)
