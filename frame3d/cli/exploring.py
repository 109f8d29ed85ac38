"""The command that finds bikes which meet the wishes of a study."""

from __future__ import annotations

import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import click

from frame3d.cli import streams
from frame3d.cli.options import JSON, OUT, QUIET, Number
from frame3d.cli.request import FALLS_SHORT, OK, Request, sizes

if TYPE_CHECKING:
    from frame3d.explore.exploration import Exploration
    from frame3d.explore.pool import Standing
    from frame3d.explore.run import Limit
    from frame3d.explore.study.study import Study

SEARCH: Final = 600.0
"""Time of a search without a limit of its own [s]."""
STORE: Final = "designs.sqlite"
TABLE: Final = "designs.csv"
_SHARE: Final = 0.95
"""Share of the progress bar for all but the proofs."""


@click.command()
@click.argument("study", type=click.Path(path_type=Path))
@OUT
@click.option(
    "--keep",
    type=click.IntRange(0, 100),
    default=3,
    show_default=True,
    help="So many of the best are written as parameter files, each proved by a full check.",
)
@click.option(
    "--budget",
    type=Number(1.0, 1e7),
    metavar="SECONDS",
    help="End after so long. Default: 600 for a search, none for a sweep.",
)
@click.option("--designs", type=click.IntRange(1), metavar="N", help="End after so many designs.")
@click.option("--workers", type=click.IntRange(1, 1024), metavar="N", help="Processes.")
@click.option(
    "--engine",
    default="processes",
    show_default=True,
    metavar="NAME",
    help="processes, serial, or the address of a Dask scheduler, e.g. tcp://host:8786.",
)
@click.option("--fresh", is_flag=True, help="Forget what earlier runs found.")
@click.option("--seed", type=click.IntRange(0, 2**31 - 1), default=1, show_default=True)
@JSON
@QUIET
def explore(study: Path, out: Path | None, as_json: bool, quiet: bool, **asked: Any) -> int:
    """Find the bikes that STUDY asks for: a sweep of its sample, or a search.

    What was found is kept as it comes: the same command goes on where it was stopped (Ctrl-C), and
    computes nothing twice. The folder gets the best designs as parameter files, a table of all, and a
    page.

    Exit status: 0 a bike meets every wish, 1 none does, 2 the input is at fault.
    """
    from frame3d.cli.screen_exploring import explored, exploring_document
    from frame3d.explore.study.read import read_study
    from frame3d.formats.writer import settle

    read = read_study(study)
    request = Request(study, (), (), as_json, quiet, out)
    settle(request.folder)
    with request.bar() as progress:
        found = _found(read, request.folder, progress, asked)
        files = _write(found, request.folder, progress)

    def document() -> dict[str, Any]:
        return exploring_document(found, (file.as_posix() for file in files))

    def text() -> str:
        from frame3d.caution import CAUTION

        return "\n\n".join([explored(found), "\n".join(sizes(files)), CAUTION])

    request.answer(document, text)
    return OK if found.feasible else FALLS_SHORT


def _found(
    study: Study, folder: Path, progress: Callable[[str, float], None], asked: dict[str, Any]
) -> Exploration:
    """Return what is found, kept in the folder's store."""
    from frame3d.cli.screen_exploring import standing_text
    from frame3d.explore.engines.choose import engine
    from frame3d.explore.run import Limit, evaluator_of, mode_of
    from frame3d.explore.run import explore as found_of
    from frame3d.explore.store.store import Store

    seconds = asked["budget"]
    if seconds is None and study.sample is None and asked["designs"] is None:
        seconds = SEARCH
    limit = Limit(asked["designs"], seconds, max(asked["keep"], 1))
    began = time.monotonic()

    def told(standing: Standing) -> None:
        past = time.monotonic() - began
        progress(standing_text(standing, past), _SHARE * _share(standing, past, limit))

    with (
        Store.open(folder / STORE, study, mode=mode_of(study), fresh=asked["fresh"]) as store,
        engine(asked["engine"], evaluator_of, asked["workers"]) as workers,
    ):
        found = found_of(
            study,
            engine=workers,
            store=store,
            told=told,
            limit=limit,
            keep=asked["keep"],
            proving=lambda what, share: progress(what, _SHARE + (1 - _SHARE) * share),
            seed=asked["seed"],
        )
        for lost in workers.left_out:
            values = ", ".join(study.sets(lost.design))
            streams.complain(partial(streams.say, f"left out: {values}: {lost.why}", err=True))
    return found


def _share(standing: Standing, past: float, limit: Limit) -> float:
    """Return how much of an exploration is done, 0 to 1, as far as that can be known."""
    shares = [0.0]
    if standing.total:
        shares.append(standing.done / standing.total)
    if limit.seconds is not None:
        shares.append(past / limit.seconds)
    return min(1.0, max(shares))


def _write(
    found: Exploration, folder: Path, progress: Callable[[str, float], None]
) -> tuple[Path, ...]:
    """Write the best designs, the table and the page; return the files."""
    from frame3d.explore.store.keep import kept
    from frame3d.explore.store.table import head, rows
    from frame3d.fabrication.lists import csv_bytes
    from frame3d.formats.writer import write
    from frame3d.report.exploring.page import FILE, page_of

    study = found.study
    said = [f"Its full check {'passes' if one.proved else 'falls short'}." for one in found.best]
    files = kept(study, [one.evaluation.design for one in found.best], said)
    files[TABLE] = csv_bytes(head(study), rows(study, found.evaluations))
    files[FILE] = page_of(found)
    return write(files, folder, manifest="explored.txt", progress=progress).files
