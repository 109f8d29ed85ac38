"""The jobs of the workspace's worker processes; they start from the file's text."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, Final

from frame3d.bike.choice import Choice
from frame3d.bike.travel import over_travel
from frame3d.clearance.advice.remedies import Remedies
from frame3d.clearance.check import run_checks, with_mends
from frame3d.clearance.result import Report
from frame3d.errors import FrameError, SolidError
from frame3d.live.comparing.comparison import Gap, Measured
from frame3d.live.panels import could_not
from frame3d.live.solved_text import SolvedText, good
from frame3d.live.work.worker import Post
from frame3d.progress import Progress
from frame3d.report.data import (
    CURVE_POINTS,
    ReportData,
    fork_charts,
    plots_of,
    poses,
    ride_plots,
)
from frame3d.report.drawing.plots import plot_document
from frame3d.report.drawing.side_view import bike_symbol
from frame3d.report.markup import el, together
from frame3d.report.meshes import Meshes, meshes_of
from frame3d.report.ride_sections.every_topic import ride_sections
from frame3d.report.scene import scene_document
from frame3d.report.sections.clearances import clearances
from frame3d.report.sections.heading import verdict
from frame3d.report.sections.parts import masses
from frame3d.report.sections.rider import rider
from frame3d.report.sections.suspension import suspension
from frame3d.report.texts import Texts
from frame3d.report.texts import texts as of_language
from frame3d.report.tracks import GapTrack, tracks_of

ENTRY: Final = f"{__name__}:run"
NO_MESHES: Final = Meshes((), {}, {}, None, b"")


def run(kind: str, arguments: tuple[Any, ...], post: Post) -> None:
    """Run a job: ``check``, ``measure``, ``solids`` or ``output``.

    Raises:
        FrameError: the text makes no bike, or what is asked for cannot be made.
    """
    jobs: dict[str, Callable[..., None]] = {
        "check": check,
        "measure": measure,
        "solids": solids,
        "output": write_output,
    }
    jobs[kind](*arguments, post)


def check(text: str, choice: Choice, source: str, language: str, post: Post) -> None:
    """Compute clearances, then remedies, and gaps over the travel.

    Posts ``checks`` {verdict, clearances, checks} twice; between them `Measured` as ``measured``,
    ``ride`` {ride, plots}, and ``curves`` {curves, plots, poses} for a bike without a rear suspension.
    """
    texts = of_language(language)
    solved = good(text, source, choice)
    say = _stages(post)
    report = run_checks(solved.scene, say("check"))
    post("checks", _checks(solved, report, {}, texts))
    if solved.bike.linkage is None:
        post("curves", _curves(solved, texts))
    post("ride", _ride(solved, texts))
    post("measured", _measured(solved, report))
    report = with_mends(report, Remedies(solved.scene, report).mends, say("mends"))
    say("tracks")("", 0.0)
    tracks = tracks_of(solved.scene, report)
    post("checks", _checks(solved, report, tracks, texts))


def measure(text: str, choice: Choice, source: str, post: Post) -> None:
    """Measure a bike for a comparison; post `Measured` as ``measured``."""
    solved = good(text, source, choice)
    post("measured", _measured(solved, run_checks(solved.scene, _stages(post)("check"))))


def _measured(solved: SolvedText, report: Report) -> Measured:
    gaps: dict[str, Gap] = {}
    for result in sorted(report.results, key=lambda result: result.margin):
        gap = Gap(result.title, result.least, result.required, result.unit)
        gaps.setdefault(result.name, gap)
    return Measured(gaps, solved.bike.frame.masses.total if solved.bike.tubes else None)


def _stages(post: Post) -> Callable[[str], Progress]:
    """Return what makes the progress of a stage; the stage has its text under ``live.state``."""
    return lambda stage: lambda _what, share: post("progress", (stage, share))


def _curves(solved: SolvedText, texts: Texts) -> dict[str, Any]:
    bike = solved.bike
    travelled = None if bike.linkage is None else over_travel(bike, CURVE_POINTS)
    forks = () if travelled is not None else fork_charts(bike)
    none = Report((), ())
    whole = ReportData(
        bike=bike,
        built=None,
        swaps=(),
        scene=solved.scene,
        report=none,
        meshes=NO_MESHES,
        tracks={},
        travelled=travelled,
        fork_charts=forks,
    )
    motions = scene_document(solved.scene, none, NO_MESHES, {}, texts)["motions"]
    return {
        "curves": str(suspension(whole, texts) or ""),
        "plots": [plot_document(plot) for plot in plots_of(whole, texts)],
        "poses": poses(motions, whole.sags, texts),
    }


def _ride(solved: SolvedText, texts: Texts) -> dict[str, Any]:
    """Return the sections on the rider and the ride with their plots, or what is wrong with them."""
    whole = ReportData(
        bike=solved.bike,
        built=None,
        swaps=(),
        scene=solved.scene,
        report=Report((), ()),
        meshes=NO_MESHES,
        tracks={},
        travelled=None,
        fork_charts=(),
    )
    try:
        sections = [("rider", rider(whole, texts)), *ride_sections(whole, texts, "builder")]
        plots = ride_plots(whole, texts)
    except FrameError as error:
        return {"ride": str(could_not(error.faults, texts)), "plots": []}
    shown = [
        el("section", el("h2", texts(f"section.{key}.title")), content, class_=f"of-{key}")
        for key, content in sections
        if content is not None
    ]
    return {
        "ride": str(together(bike_symbol(whole.side), *shown)) if shown else "",
        "plots": [plot_document(plot) for plot in plots],
    }


def _checks(
    solved: SolvedText, report: Report, tracks: Mapping[int, GapTrack], texts: Texts
) -> dict[str, Any]:
    whole = ReportData(
        bike=solved.bike,
        built=None,
        swaps=(),
        scene=solved.scene,
        report=report,
        meshes=NO_MESHES,
        tracks=tracks,
        travelled=None,
        fork_charts=(),
    )
    return {
        "verdict": str(verdict(whole, texts)),
        "clearances": str(clearances(whole, texts)),
        "checks": scene_document(solved.scene, report, NO_MESHES, tracks, texts)["checks"],
        "failing": sum(not r.ok for r in report.results),
        "ok": report.ok,
    }


def solids(text: str, choice: Choice, source: str, language: str, post: Post) -> None:
    """Make the exact model: first meshes with every cut, then the CAD kernel's solids to confirm them.

    Posts ``model`` {glb, scene}, then ``masses`` {masses, grams, parts}; before them ``curves`` {curves,
    plots, poses} for a bike with a rear suspension, whose clearances take seconds meanwhile.
    """
    texts = of_language(language)
    solved = good(text, source, choice)
    bike, scene = solved.bike, solved.scene
    say = _stages(post)
    if bike.linkage is not None:
        say("curves")("", 0.0)
        post("curves", _curves(solved, texts))
    say("solids")("", 0.0)
    none = Report((), ())
    try:
        meshes = meshes_of(bike, scene.parts)
    except SolidError:
        meshes = NO_MESHES  # `make` says what is wrong, of all parts at once
    else:
        document = scene_document(scene, none, meshes, {}, texts)
        post("model", {"glb": meshes.glb, "scene": document})
    if not bike.tubes:
        return
    from frame3d.solids import make

    model = make(bike, say("solids"))
    whole = ReportData(
        bike=bike,
        built=None,
        swaps=(),
        scene=scene,
        report=none,
        meshes=meshes,
        tracks={},
        travelled=None,
        fork_charts=(),
    )
    shown = masses(whole, texts)
    post(
        "masses",
        {"masses": str(shown or ""), "grams": model.mass, "parts": len(model.parts)},
    )


def write_output(
    key: str, text: str, choice: Choice, source: str, folder: Path, post: Post
) -> None:
    """Write one of `frame3d.live.work.outputs`; post ``written`` (paths within the folder)."""
    from frame3d.live.work.outputs import output

    solved = good(text, source, choice)
    files = output(key).write(solved, folder, lambda what, share: post("progress", (what, share)))
    post("written", [path.relative_to(folder).as_posix() for path in files])
