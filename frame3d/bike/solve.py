"""Solve a parameter file to a bike: chart, nodes, tubes, suspension, sag and rider."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from frame3d.bike.bike import Bike, Stance
from frame3d.bike.built_fork.place import built_fork
from frame3d.bike.place_tubes import BegunPlacing, begin_placing, finish_placing
from frame3d.bike.steerer import steerer_notes, steerer_of
from frame3d.bike.tension.insert_notes import insert_notes
from frame3d.bike.tension.slide_notes import slide_notes
from frame3d.chart.as_built import Pitched, pitch, sagged_parts
from frame3d.chart.cache import Cache
from frame3d.chart.nodes import nodes_of
from frame3d.chart.solve import Solved, chart_of, solve_chart
from frame3d.errors import GeometryError
from frame3d.geometry.vector import Point
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.models.suspension import PointSpec
from frame3d.rider.contacts import saddle_height_of
from frame3d.rider.posture import place_rider
from frame3d.tubes.frame import Frame
from frame3d.tubes.standover import add_standovers
from frame3d.tubes.tube import Tube

if TYPE_CHECKING:
    from frame3d.linkage.result import Linkage


def solve(spec: FrameSpec, memory: Cache | None = None) -> Bike:
    """Solve the file's figures and place tubes, suspension, parts and rider.

    Args:
        spec: the checked parameter file.
        memory: cache from bikes solved earlier; results that do not change are taken from it.

    Raises:
        GeometryError: the figures do not determine one possible bicycle.
        TubeError: a tube, its section or a junction cannot be made as described.
        LinkageError: the rear suspension does not work as described.
    """
    return finish(begin(spec, memory))


@dataclass(frozen=True, slots=True)
class BegunBike:
    """A bike whose chart and rear suspension are solved, before all its tubes are placed."""

    spec: FrameSpec
    solved: Solved
    nodes: Mapping[str, Point]
    linkage: Linkage | None
    placing: BegunPlacing | None
    """The tubes placed so far; None where no point of the suspension stands on one."""
    memory: Cache | None


def begin(spec: FrameSpec, memory: Cache | None = None) -> BegunBike:
    """Solve chart and rear suspension, with no more tubes than its points may stand on.

    Args:
        spec: the checked parameter file.
        memory: as for `solve`.

    Raises:
        FrameError: as `solve`, but for what only the other tubes show.
    """
    return begin_solved(spec, solve_chart(spec, memory), memory)


def begin_solved(spec: FrameSpec, solved: Solved, memory: Cache | None = None) -> BegunBike:
    """Return the same as `begin` from a chart that is solved already.

    Raises:
        TubeError: as `place_tubes.begin_placing`.
        LinkageError: the rear suspension does not work as described.
    """
    nodes = nodes_of(solved.values, saddle_height_of(spec))
    return begin_placed(spec, solved, nodes, placing_of(spec, solved, nodes, memory), memory)


def placing_of(
    spec: FrameSpec, solved: Solved, nodes: Mapping[str, Point], memory: Cache | None = None
) -> BegunPlacing | None:
    """Return the tubes that the suspension's points stand on; None where none stands on one.

    Raises:
        TubeError: as `place_tubes.begin_placing`.
    """
    if not _has_points_on_tubes(spec):
        return None
    return begin_placing(spec, nodes, solved.figures(), memory)


def begin_placed(
    spec: FrameSpec,
    solved: Solved,
    nodes: Mapping[str, Point],
    placing: BegunPlacing | None,
    memory: Cache | None = None,
    found: Mapping[tuple[str, str], float] | None = None,
) -> BegunBike:
    """Return the same as `begin` with chart and `placing_of` worked out already.

    Args:
        spec: the checked parameter file.
        solved: its chart.
        nodes: of the chart.
        placing: from `placing_of`.
        memory: as for `solve`.
        found: as for `frame3d.linkage.solve_linkage`.

    Raises:
        LinkageError: the rear suspension does not work as described.
    """
    if spec.suspension is None:
        return BegunBike(spec, solved, nodes, None, None, memory)
    from frame3d.bike.suspended import linkage_of

    linkage = linkage_of(spec, solved, () if placing is None else placing.tubes, found)
    return BegunBike(spec, solved, nodes, linkage, placing, memory)


def _has_points_on_tubes(spec: FrameSpec) -> bool:
    """Return whether a point of the rear suspension is given on a tube."""
    points = () if spec.suspension is None else spec.suspension.points.values()
    return any(isinstance(place, PointSpec) and place.is_on_tube for place in points)


def point_tubes(spec: FrameSpec, solved: Solved, memory: Cache | None = None) -> tuple[Tube, ...]:
    """Return the tubes that the suspension's points may stand on; none where no point does.

    Raises:
        TubeError: as `place_tubes.begin_placing`.
    """
    if not _has_points_on_tubes(spec):
        return ()
    nodes = nodes_of(solved.values, saddle_height_of(spec))
    return begin_placing(spec, nodes, solved.figures(), memory).tubes


def finish(begun: BegunBike) -> Bike:
    """Place the other tubes, parts and rider; to be called once.

    Raises:
        FrameError: as `solve`.
    """
    spec, solved, linkage = begun.spec, begun.solved, begun.linkage
    placing = begun.placing
    if placing is None:
        placing = begin_placing(spec, begun.nodes, solved.figures(), begun.memory)
    drawn = {} if linkage is None else linkage.drawn
    pivots = {name: (x, 0.0, z) for name, (x, z) in drawn.items()}
    placed = finish_placing(placing, pivots if linkage is not None else None)
    frame = Frame(
        spec=spec,
        solved=solved,
        nodes=begun.nodes,
        tubes=placed.tubes,
        shell=placed.shell,
        dropouts=placed.dropouts,
        bores=placed.bores,
        pivots=placed.pivots,
        features=placed.features,
        plates=placed.plates,
        notes=(*solved.notes, *placed.notes),
    )
    bike = stand(frame, spec, solved, linkage, memory=begun.memory)
    _refuse_standover_beyond_the_tube(spec, bike.chart)
    return bike


def stand(
    frame: Frame,
    spec: FrameSpec,
    solved: Solved,
    linkage: Linkage | None,
    exchanged: tuple[str, ...] = (),
    designed: Bike | None = None,
    memory: Cache | None = None,
) -> Bike:
    """Return the bike of a frame with its parts on level ground, with its rider.

    Args:
        frame: moved to where the bike stands.
        spec: the file with the parts that the bike carries.
        solved: the chart with those parts.
        linkage: its rear suspension, pitched like the frame.
        exchanged: dotted paths of the values in which `spec` differs from the frame's own file.
        designed: the bike that the frame was built for, if this is another.
        memory: as for `solve`, for a fork that the shop builds.

    Raises:
        TubeError: the shop's own fork cannot be made as described.
        GeometryError: the fork's steerer does not come out of the headset, or the saddle is below the
            seat tube's top.
        SpecError: the rider's measures are those of no body.
    """
    chart = solved.figures()
    nodes = nodes_of(solved.values, saddle_height_of(spec))
    add_standovers(chart, frame.tubes)
    _refuse_saddle_in_the_frame(spec, nodes)
    rider = place_rider(spec, nodes, chart, _measured_hip(designed, exchanged))
    steerer = steerer_notes(spec, steerer_of(spec, nodes, chart))
    slid = (
        *slide_notes(spec, frame.dropouts),
        *insert_notes(spec, frame, nodes, chart["bb_height"]),
    )
    fork = built_fork(spec, solved, nodes, chart, memory)
    return Bike(
        frame=frame,
        spec=spec,
        solved=solved,
        chart=chart,
        nodes=nodes,
        notes=(
            *frame.notes,
            *rider.notes,
            *(() if linkage is None else linkage.notes),
            *steerer,
            *slid,
            *(() if fork is None else fork.notes),
        ),
        sagged=sag(spec, solved, frame.tubes, linkage, rider.hip_height),
        rider=rider,
        linkage=linkage,
        exchanged=exchanged,
        designed=designed,
        fork=fork,
    )


def _measured_hip(designed: Bike | None, exchanged: Sequence[str]) -> float | None:
    """Return the height of the hip over the saddle as known from the bike as designed [mm].

    A measured knee angle was measured there: with other cranks, say, the same rider bends another knee.
    None where this is that bike, or another rider's.
    """
    if designed is None or designed.rider is None:
        return None
    if any(path == "build" or path.startswith("build.rider") for path in exchanged):
        return None
    return designed.rider.hip_height


def _refuse_saddle_in_the_frame(spec: FrameSpec, nodes: Mapping[str, Point]) -> None:
    """Fault if the saddle's top would be below the seat tube's, and so the top tube's, top."""
    height = saddle_height_of(spec)
    lack = nodes["seat_tube_top"][2] - nodes["saddle"][2]
    if height is None or lack <= 0:
        return
    post, rider = spec.build.seatpost, spec.build.rider
    if post is not None and post.saddle_height is not None:
        path = "build.seatpost.saddle_height"
    else:
        measured = rider is not None and rider.inseam is not None
        path = f"build.rider.{'inseam' if measured else 'height'}"
    top = math.dist(nodes["seat_tube_top"], (0.0, 0.0, 0.0))
    raise GeometryError(
        spec.fault(
            "impossible",
            path,
            f"a saddle {height:.0f} mm from the bottom bracket is {lack:.0f} mm below the top of the "
            f"seat tube, which ends {top:.0f} mm from it",
            "a higher saddle, a shorter geometry.seat_tube_length, or another rider",
        )
    )


def _refuse_standover_beyond_the_tube(spec: FrameSpec, chart: Mapping[str, float | None]) -> None:
    """Fault if the file gives a standover at a place over which the top tube does not pass."""
    if spec.geometry.standover is not None and chart["standover"] is None:
        raise GeometryError(
            spec.fault(
                "impossible",
                "geometry.standover",
                "the top tube does not reach over the bottom bracket, where standover is measured",
                "give standover_mid_tube instead, or start the top tube behind the bottom bracket",
            )
        )


def sag(
    spec: FrameSpec,
    solved: Solved,
    tubes: Sequence[Tube],
    linkage: Linkage | None = None,
    hip_height: float | None = None,
) -> Stance | None:
    """Return the bike under its rider's weight, pitched until both wheels stand on the ground.

    None where nothing is sprung. `hip_height` is as for `stance`.
    """
    parts = sagged_parts(spec, solved)
    axle = None
    if linkage is not None:
        from frame3d.bike.suspended import rear_sag

        axle = linkage.axle_at(rear_sag(spec, linkage))
    if parts is None and axle is None:
        return None
    pitched = pitch(solved, {} if parts is None else parts, axle)
    return None if pitched is None else stance(spec, pitched, tubes, hip_height)


def stance(
    spec: FrameSpec, pitched: Pitched, tubes: Sequence[Tube], hip_height: float | None = None
) -> Stance:
    """Return a pitched bike as a stance, rider included.

    Args:
        spec: the file with the parts that the bike carries.
        pitched: the bike.
        tubes: of its frame.
        hip_height: `Rider.hip_height` of the same rider on the bike as drawn [mm].
    """
    chart = chart_of(pitched.values)
    turn = float(np.degrees(pitched.values["pitch"]))
    add_standovers(chart, tubes, turn)
    nodes = nodes_of(pitched.values, saddle_height_of(spec))
    rider = place_rider(spec, nodes, chart, hip_height, turn)
    return Stance(chart, nodes, turn, rider)
