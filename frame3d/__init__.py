"""frame3d: from one parameter file to a solved frame, mitred tube solids and shop files.

    import frame3d

    spec = frame3d.load("configs/trail_hardtail_29.yaml")
    bike = frame3d.solve(spec)        # chart, nodes, tubes; no CAD kernel
    report = frame3d.check(bike)      # certified clearances
    model = frame3d.build(bike)       # solids
    frame3d.export(model, "exports/trail_hardtail_29")

Each verb takes the result of the one before it; results are frozen. Heavy libraries are imported only
by the verbs that need them.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from frame3d.errors import FrameError
from frame3d.version import __version__

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

    from frame3d.bike.bike import Bike
    from frame3d.chart.batch import Batch
    from frame3d.clearance.result import Report
    from frame3d.explore.exploration import Exploration
    from frame3d.explore.pool import Standing
    from frame3d.parameters.models.frame import FrameSpec
    from frame3d.solids import FrameModel

__all__ = [
    "FrameError",
    "__version__",
    "build",
    "check",
    "exchange",
    "export",
    "find_bikes",
    "load",
    "solve",
    "solve_many",
    "variant",
]


def load(path: str | Path, *, sets: Sequence[str] = (), size: str | None = None) -> FrameSpec:
    """Read a parameter file.

    Args:
        path: the YAML file.
        sets: overrides as on the command line, e.g. ``"geometry.head_tube_angle=64"``.
        size: one of the file's sizes; its default where none is named.

    Raises:
        SpecError: everything that is wrong with the file, with lines.
    """
    from frame3d.parameters.reading.reader import load as read

    return read(path, sets=sets, size=size)


def solve(spec: FrameSpec) -> Bike:
    """Solve the figures and place every tube.

    Raises:
        GeometryError: the figures do not determine one bicycle.
        TubeError: a tube, its section or a junction cannot be made as described.
        LinkageError: the rear suspension does not work as described.
    """
    from frame3d.bike.solve import solve as to_layout

    return to_layout(spec)


def exchange(bike: Bike, values: Mapping[str, object]) -> Bike:
    """Return the same frame with other parts, pitched until both wheels stand on the ground.

    Args:
        bike: from `solve`, or from an exchange before.
        values: dotted path of a part's value, or of a point of the rear suspension (a flip chip) -> the
            new one, as the file would give it.

    Raises:
        SpecError: a path is not a part, a value is out of range, or the part does not fit the frame.
        GeometryError: the wheels cannot both reach the ground.
        LinkageError: the rear suspension cannot be assembled with it, or does not work.
    """
    from frame3d.bike.exchange import exchange_values

    return exchange_values(bike, values)


def variant(
    path: str | Path,
    *,
    size: str | None = None,
    settings: Sequence[str] = (),
    sets: Sequence[str] = (),
    swaps: Sequence[str] = (),
) -> Bike:
    """Read a parameter file and solve one of its bikes, as the command line does.

    Args:
        path: the YAML file.
        size: one of the file's sizes; its default where none is named.
        settings: the file's settings that are made on the finished frame, in order.
        sets: changes of the design, ``KEY=VALUE``.
        swaps: exchanges of parts on the finished frame, ``KEY=VALUE``.

    Raises:
        FrameError: that bike cannot be made.
    """
    from frame3d.bike.choice import Choice, solve_choice
    from frame3d.parameters.reading.reader import read_text

    return solve_choice(read_text(path), str(path), Choice(size, settings, sets, swaps)).bike


def solve_many(figures: Mapping[str, ArrayLike]) -> Batch:
    """Solve many bikes at once from arrays of chart figures; see `frame3d.chart.batch`.

    Raises:
        GeometryError: the set of figures does not determine a bike.
    """
    from frame3d.chart.batch import solve_many as to_batch

    return to_batch(figures)


def check(
    bike: Bike,
    *,
    tolerance: float = 0.01,
    progress: Callable[[str, float], None] | None = None,
) -> Report:
    """Measure every clearance of a solved bike over all travel and steering.

    Args:
        bike: from `solve`.
        tolerance: width of each gap's certificate [mm].
        progress: called with what is being checked and the share done, 0 to 1.

    Raises:
        SpecError: a check of the file's own names something that is not there.
    """
    from frame3d.clearance.check import check as to_report

    return to_report(bike, tolerance=tolerance, progress=progress)


def build(bike: Bike, progress: Callable[[str, float], None] | None = None) -> FrameModel:
    """Make the solids of a solved frame.

    Args:
        bike: from `solve`.
        progress: called with what is being made and the share done, 0 to 1.

    Raises:
        SolidError: the CAD kernel could not make a solid.
    """
    from frame3d.solids import make

    return make(bike, progress)


def export(
    model: FrameModel,
    folder: str | Path,
    progress: Callable[[str, float], None] | None = None,
    *,
    at: str | None = None,
) -> tuple[Path, ...]:
    """Write ``frame.step``, ``frame.stl``, ``frame.3mf``, ``frame.glb``, ``assembly.step`` and
    ``geometry.json``.

    Args:
        model: from `build`.
        folder: created if missing.
        progress: called with what is being written and the share done, 0 to 1.
        at: pose of everything that moves, as on the command line: ``"rear=50%,fork=sag"``; as drawn
            if not given.

    Returns:
        the files written.

    Raises:
        SpecError: a pose that the bike cannot take.
        OutputError: a file could not be written; older files are unchanged.
    """
    from frame3d.bodies.motion.pose_text import pose_at
    from frame3d.formats import write_all

    pose = None if at is None else pose_at(model.bike, at)
    return write_all(model, Path(folder), progress, pose=pose)


def find_bikes(
    study: str | Path,
    *,
    store: str | Path | None = None,
    progress: Callable[[Standing], None] | None = None,
    seconds: float | None = None,
    designs: int | None = None,
    keep: int = 3,
    workers: int | None = None,
) -> Exploration:
    """Find the bikes that a study asks for: a sweep of its sample, or a search.

    The best are made again, each with a full check. With more than one worker, a script that calls this
    needs ``if __name__ == "__main__":`` around what it does.

    Args:
        study: the YAML file of the study.
        store: file in which results are kept, so that the next run goes on; None keeps none.
        progress: called whenever results have come.
        seconds: end after so long.
        designs: end after so many designs.
        keep: how many of the best are made again.
        workers: processes; None for this one alone.

    Raises:
        SpecError: the study or the bike's file is at fault, with lines.
        OutputError: the store is another run's, of another version, or cannot be written.
    """
    from contextlib import ExitStack

    from frame3d.explore.engines.engine import Engine
    from frame3d.explore.engines.processes import Processes
    from frame3d.explore.engines.serial import Serial
    from frame3d.explore.run import Limit, evaluator_of, explore, mode_of
    from frame3d.explore.store.store import Store
    from frame3d.explore.study.read import read_study

    read = read_study(study)
    with ExitStack() as opened:
        kept = None
        if store is not None:
            kept = opened.enter_context(Store.open(store, read, mode=mode_of(read)))
        engine: Engine = Serial(evaluator_of)
        if workers is not None:
            engine = Processes(evaluator_of, workers)
        return explore(
            read,
            engine=opened.enter_context(engine),
            store=kept,
            told=progress,
            limit=Limit(designs, seconds, max(keep, 1)),
            keep=keep,
        )
