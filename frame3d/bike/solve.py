"""Solve a parameter file to a bike: chart, nodes, tubes, suspension, sag and rider."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np

from frame3d.bike.bike import Bike, Stance
from frame3d.bike.place_tubes import place_tubes
from frame3d.bike.steerer import steerer_notes, steerer_of
from frame3d.chart.as_built import Pitched, pitch, sagged_parts
from frame3d.chart.cache import Cache
from frame3d.chart.nodes import nodes_of
from frame3d.chart.solve import Solved, chart_of, solve_chart
from frame3d.errors import GeometryError
from frame3d.geometry.vector import Point
from frame3d.parameters.models.frame import FrameSpec
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
    solved = solve_chart(spec, memory)
    nodes = nodes_of(solved.values, saddle_height_of(spec))
    rear = _Rear(spec, solved)
    placed = place_tubes(spec, nodes, solved.figures(), rear.pivots, memory)
    frame = Frame(
        spec=spec,
        solved=solved,
        nodes=nodes,
        tubes=placed.tubes,
        shell=placed.shell,
        dropouts=placed.dropouts,
        bores=placed.bores,
        pivots=placed.pivots,
        notes=(*solved.notes, *placed.notes),
    )
    bike = stand(frame, spec, solved, rear.linkage)
    _refuse_standover_beyond_the_tube(spec, bike.chart)
    return bike


def stand(
    frame: Frame,
    spec: FrameSpec,
    solved: Solved,
    linkage: Linkage | None,
    exchanged: tuple[str, ...] = (),
    designed: Bike | None = None,
) -> Bike:
    """Return the bike of a frame with its parts on level ground, with its rider.

    Args:
        frame: moved to where the bike stands.
        spec: the file with the parts that the bike carries.
        solved: the chart with those parts.
        linkage: its rear suspension, pitched like the frame.
        exchanged: dotted paths of the values in which `spec` differs from the frame's own file.
        designed: the bike that the frame was built for, if this is another.

    Raises:
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
    return Bike(
        frame=frame,
        spec=spec,
        solved=solved,
        chart=chart,
        nodes=nodes,
        notes=(*frame.notes, *rider.notes, *(() if linkage is None else linkage.notes), *steerer),
        sagged=sag(spec, solved, frame.tubes, linkage, rider.hip_height),
        rider=rider,
        linkage=linkage,
        exchanged=exchanged,
        designed=designed,
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


class _Rear:
    """The rear suspension. Solved while tubes are placed: some carry pivots, others end on them."""

    def __init__(self, spec: FrameSpec, solved: Solved) -> None:
        self._spec, self._solved = spec, solved
        self.linkage: Linkage | None = None

    def pivots(self, tubes: Sequence[Tube]) -> Mapping[str, Point]:
        """Solve the suspension on the front frame's tubes; return its points [mm].

        Raises:
            LinkageError: it does not work as described.
        """
        from frame3d.bike.suspended import linkage_of

        self.linkage = linkage_of(self._spec, self._solved, tubes)
        drawn = {} if self.linkage is None else self.linkage.drawn
        return {name: (x, 0.0, z) for name, (x, z) in drawn.items()}


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
