"""The data of the report, gathered from a solved bike."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.bike.exchange import AsBuilt
from frame3d.bike.travel import TravelAnalysis, over_travel
from frame3d.bodies.motion.mounts import SPRUNG
from frame3d.chart.as_built import pitch
from frame3d.chart.solve import chart_of
from frame3d.clearance.advice.remedies import Remedies
from frame3d.clearance.check import run_checks, with_mends
from frame3d.clearance.memory import PairMemory
from frame3d.clearance.result import Report
from frame3d.clearance.scene import Scene, scene_of
from frame3d.errors import FrameError
from frame3d.family.of_file import FileTables
from frame3d.looks.rider import Figure, figure_of
from frame3d.progress import Progress
from frame3d.report.audience import Audience
from frame3d.report.curves import fork_plots, rear_plots
from frame3d.report.drawing.plots import Plot, plot_document
from frame3d.report.meshes import Meshes, meshes_of
from frame3d.report.ride_sections.damping_plots import damping_plots
from frame3d.report.ride_sections.moving_bike import returns_document
from frame3d.report.ride_sections.slope_plots import slope_plots
from frame3d.report.ride_sections.spring_plots import spring_plots
from frame3d.report.ride_sections.steering_plots import steering_plots
from frame3d.report.riders_scene import for_rider
from frame3d.report.scene import sags, scene_document
from frame3d.report.side import Side
from frame3d.report.stiffness_sections.bending import bending_document
from frame3d.report.texts import Texts
from frame3d.report.tracks import GapTrack, tracks_of
from frame3d.ride.ride import Ride, ride_of
from frame3d.stiffness.of_bike import Stiffness, stiffness_of

CLOSE = 1.0
"""Checks that hold with a smaller margin are called close [mm, degrees, %]."""
CURVE_POINTS, FORK_POINTS = 71, 27
"""Number of points of curves over rear travel, and over fork travel."""


@dataclass(frozen=True)
class ReportData:
    """A solved, checked and meshed bike."""

    bike: Bike
    built: AsBuilt | None
    """The changes by exchanged parts."""
    swaps: tuple[str, ...]
    """The exchanges, as typed."""
    scene: Scene
    report: Report
    meshes: Meshes
    tracks: Mapping[int, GapTrack]
    travelled: TravelAnalysis | None
    fork_charts: tuple[tuple[float, Mapping[str, float | None]], ...]
    """(fork travel [mm], chart) for a bike sprung only in front, pitched on level ground."""
    offered: FileTables | None = None
    """The sizes and settings of the bike's file; None where they are not shown."""

    @cached_property
    def side(self) -> Side:
        """The bike's side view."""
        return Side(self.bike, self.scene.parts)

    @cached_property
    def ride(self) -> Ride:
        """How it fits its rider and rides."""
        return ride_of(self.bike)

    @cached_property
    def figure(self) -> Figure | None:
        """The rider drawn to scale; None where the file does not give enough."""
        return figure_of(self.bike)

    @cached_property
    def stiffness(self) -> Stiffness | None:
        """How stiff the frame is; None where the file has no tubes.

        Raises:
            TubeError: see `frame3d.stiffness.of_bike.stiffness_of`.
        """
        return stiffness_of(self.bike) if self.bike.tubes else None

    @cached_property
    def sags(self) -> dict[str, float]:
        """Travels under the rider's weight, by motion [mm]."""
        return sags(self.scene)


def gather(
    bike: Bike,
    built: AsBuilt | None = None,
    swaps: Sequence[str] = (),
    progress: Progress | None = None,
    offered: FileTables | None = None,
) -> ReportData:
    """Check a solved bike, compute its gap tracks and mesh its parts.

    Args:
        bike: the solved bike.
        built: what exchanging parts did to it, where any were.
        swaps: the exchanges as typed.
        progress: called with what is being done and the share done, 0 to 1.
        offered: the sizes and settings of its file.

    Raises:
        FrameError: the parts do not go together, or one cannot be made.
    """

    def say(what: str, share: float) -> None:
        if progress is not None:
            progress(what, share)

    say("placing the parts", 0.0)
    scene = scene_of(bike, memory=PairMemory())
    report = run_checks(scene, lambda what, share: say(what, 0.1 + 0.4 * share))
    report = with_mends(
        report, Remedies(scene, report).mends, lambda what, share: say(what, 0.5 + 0.2 * share)
    )
    say("gaps over the travel", 0.7)
    tracks = tracks_of(scene, report)
    say("meshes", 0.75)
    meshes = meshes_of(bike, scene.parts)
    say("curves", 0.95)
    travelled = None if bike.linkage is None else over_travel(bike, CURVE_POINTS)
    return ReportData(
        bike=bike,
        built=built,
        swaps=tuple(swaps),
        scene=scene,
        report=report,
        meshes=meshes,
        tracks=tracks,
        travelled=travelled,
        fork_charts=() if travelled is not None else fork_charts(bike),
        offered=offered,
    )


def fork_charts(bike: Bike) -> tuple[tuple[float, Mapping[str, float | None]], ...]:
    """Return (fork travel [mm], chart) of a bike sprung only in front, pitched on level ground."""
    fork = bike.spec.build.fork
    if fork is None or fork.travel == 0:
        return ()
    solved = bike.solved
    long = solved.values["fork_axle_to_crown"]
    out = []
    for travel in np.linspace(0.0, fork.travel, FORK_POINTS):
        pitched = pitch(solved, {"fork_axle_to_crown": long - float(travel)})
        if pitched is None:
            break
        out.append((float(travel), chart_of(pitched.values)))
    return tuple(out)


def plots_of(data: ReportData, texts: Texts) -> tuple[Plot, ...]:
    """Return the curves that the page draws."""
    if data.travelled is not None:
        return rear_plots(data.travelled, texts)
    return fork_plots(data.fork_charts, data.sags.get("fork"), texts)


def ride_plots(data: ReportData, texts: Texts) -> tuple[Plot, ...]:
    """Return the plots of the sections on how the bike rides."""
    return (
        *slope_plots(data.ride.slopes, texts),
        *spring_plots(data.ride.springs, texts),
        *damping_plots(data.ride.damping, texts),
        *steering_plots(data.ride.steering, texts),
    )


def page_document(data: ReportData, texts: Texts, audience: Audience = "builder") -> dict[str, Any]:
    """Return the data for the page's scripts: scene, curves, positions, texts."""
    scene = scene_document(data.scene, data.report, data.meshes, data.tracks, texts)
    if audience == "rider":
        scene = for_rider(scene, data.scene, data.report, texts)
    else:
        scene |= _bending(data, texts)
    return {
        "scene": scene,
        "close": CLOSE,
        "plots": [
            plot_document(plot) for plot in (*plots_of(data, texts), *ride_plots(data, texts))
        ],
        "returns": returns_document(data.side, data.ride.damping, data.sags),
        "poses": poses(scene["motions"], data.sags, texts),
        "texts": texts.everything,
    }


def _bending(data: ReportData, texts: Texts) -> dict[str, Any]:
    """Return how the frame bends, for the scene; empty where that cannot be told."""
    with suppress(FrameError):
        if data.stiffness is not None:
            return {"bending": bending_document(data.stiffness, texts)}
    return {}


def poses(
    motions: Sequence[Mapping[str, Any]], sagged: Mapping[str, float], texts: Texts
) -> list[dict[str, Any]]:
    """Return the positions that matter, for buttons: key, title, and where everything stands.

    Args:
        motions: of the scene document.
        sagged: travels under the rider's weight, by motion [mm].
        texts: for the titles.
    """
    full = {m["name"]: m["high"] for m in motions if m["name"] in SPRUNG}
    still = [m["name"] for m in motions]
    return [
        {"key": key, "title": texts(f"pose.{key}"), "at": at}
        for key, at in (
            ("static", dict.fromkeys(still, 0.0) if full else {}),
            ("sag", {name: sagged.get(name, 0.0) for name in full} if sagged else {}),
            ("bottom_out", full),
        )
        if at
    ]
