"""The rear suspension on the solved bike: its points, its sag, and the bike at any travel."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.chart.as_built import Pitched, pitch
from frame3d.chart.solve import Solved
from frame3d.geometry.vector import Point
from frame3d.linkage import (
    Exchanged,
    Linkage,
    OnTube,
    SuspensionInputs,
    beside,
    exchange_linkage,
    solve_linkage,
    target_sag,
)
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.models.parts import BuildSpec
from frame3d.tubes.frame import Frame
from frame3d.tubes.tube import Tube


def linkage_of(
    spec: FrameSpec,
    solved: Solved,
    tubes: Sequence[Tube],
    found: Mapping[tuple[str, str], float] | None = None,
) -> Linkage | None:
    """Return the rear suspension over its stroke; None on a frame without one.

    Args:
        spec: the parameter file.
        solved: its chart.
        tubes: those that points may stand on.
        found: as for `frame3d.linkage.solve_linkage`.

    Raises:
        LinkageError: as `frame3d.linkage.solve_linkage`.
    """
    if spec.suspension is None:
        return None
    axle = (-solved.values["rear_axle_setback"], solved.values["bb_drop"])
    return solve_linkage(spec, axle, on_tube(tubes), found=found)


def exchange_suspension(
    linkage: Linkage, frame: Frame, spec: FrameSpec, paths: Sequence[str]
) -> Exchanged:
    """Return a built frame's rear suspension with exchanged points or another shock.

    Args:
        linkage: as designed.
        frame: as designed.
        spec: the file with the exchanged values.
        paths: dotted paths of the exchanged values.

    Raises:
        LinkageError: as `frame3d.linkage.exchange_linkage`.
    """
    return exchange_linkage(linkage, frame.spec, spec, paths, on_tube(frame.tubes))


def on_tube(tubes: Sequence[Tube]) -> OnTube:
    """Return the function that gives a point beside a placed tube; for a pair, the left one."""
    by_key = {tube.key: tube for tube in reversed(tubes)}

    def place(
        name: str, from_start: float | None, from_end: float | None, offset: float
    ) -> tuple[float, float]:
        axis = by_key[name].axis
        if from_start is not None:
            s = from_start
        else:
            assert from_end is not None
            s = axis.length - from_end
        at, along = axis.at(s), axis.tangent(s)
        here = (float(at[0]), float(at[2]))
        return beside(here, (here[0] + float(along[0]), here[1] + float(along[2])), 0.0, offset)

    return place


def at_travel(solved: Solved, linkage: Linkage, rear: float, fork: float) -> Pitched | None:
    """Return the bike at a rear and a fork travel [mm], pitched until both wheels stand on the ground.

    None where they cannot both reach it.
    """
    parts = {"fork_axle_to_crown": solved.values["fork_axle_to_crown"] - fork}
    return pitch(solved, parts, linkage.axle_at(rear))


def rear_sag(spec: FrameSpec, linkage: Linkage) -> float:
    """Return the wheel travel that the file asks for at sag [mm]; 0 where it does not."""
    suspension = spec.suspension
    if suspension is None or suspension.sag is None:
        return 0.0
    return target_sag(linkage, suspension.sag, suspension.sag_of).travel


def ride_of(
    bike: Bike, solved: Solved, centre: tuple[float, float], forks: Sequence[float]
) -> SuspensionInputs:
    """Return the inputs of the suspension's curves: wheels, drivetrain, rider.

    Args:
        bike: the bike.
        solved: its chart.
        centre: centre of mass of rider and bicycle, (x, z) from the bottom bracket as drawn [mm].
        forks: fork travel at each position; it moves the front axle up along the steering axis [mm].
    """
    return inputs_of(bike.spec.build, bike.nodes, solved, centre, forks)


def inputs_of(
    build: BuildSpec,
    nodes: Mapping[str, Point],
    solved: Solved,
    centre: tuple[float, float],
    forks: Sequence[float],
) -> SuspensionInputs:
    """Return the same as `ride_of` from the bike's parts and its nodes alone."""
    front = nodes["front_axle"]
    angle = solved.values["head_tube_angle"]
    up = np.array([-np.cos(angle), np.sin(angle)])
    return SuspensionInputs(
        rear_radius=solved.values["rear_wheel_radius"],
        front_radius=solved.values["front_wheel_radius"],
        front_axle=np.array([front[0], front[2]]) + np.asarray(forks)[:, None] * up,
        centre_of_mass=centre,
        chainring=None if build.chainring is None else build.chainring.teeth,
        cogs=() if build.cassette is None else build.cassette.cogs,
    )
