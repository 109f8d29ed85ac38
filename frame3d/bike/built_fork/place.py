r"""The rigid fork that the shop builds, placed as a small frame of its own; no CAD kernel.

It is laid out on its back, so that its tubes are those of any frame::

    z, forward
    ^                                                       dropout
    |                                                  ___---(o)  axle: axle to crown along x,
    |  steerer            crown              ___----'''           offset along z
    ===========o====|=====================''    blades
    <- x < 0   crown race                                     x, down the steering axis ->

and then moved to where the bike has its crown race. So mitres, masses, templates and solids come from
the same code as the frame's.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from frame3d.bike.bike import Bike
from frame3d.bike.built_fork.layout import layout_of
from frame3d.bike.built_fork.spec import fork_spec
from frame3d.bike.move_frame import shift_frame
from frame3d.bike.place_tubes import begin_placing, finish_placing
from frame3d.chart.cache import Cache
from frame3d.chart.solve import Solved
from frame3d.geometry.side_motion import SideMotion
from frame3d.geometry.vector import Point, point
from frame3d.parameters.models.frame import FrameSpec
from frame3d.tubes.frame import Frame
from frame3d.tubes.hardware import FORK_DROPOUT
from frame3d.tubes.plate import Plate
from frame3d.tubes.tube import Tube

_PLACED = {"tubes", "plates", "build", "material", "colour"}
"""What of the fork's own file its tubes and plates depend on."""


def built_fork(
    spec: FrameSpec,
    solved: Solved,
    nodes: Mapping[str, Point],
    chart: Mapping[str, float | None],
    memory: Cache | None = None,
) -> Bike | None:
    """Return the fork that the shop builds, in place, as a frame with tubes and plates alone.

    Its axle lies where the bike has it. None where the fork is bought.

    Args:
        spec: the file with the parts that the bike carries.
        solved: its chart.
        nodes: of the bike [mm].
        chart: figures of the bike.
        memory: cache from bikes placed earlier.

    Raises:
        TubeError: the fork cannot be made as described.
    """
    fork = spec.build.fork
    if fork is None or fork.built is None:
        return None
    layout = layout_of(spec, nodes, chart)
    own = fork_spec(spec, fork.built, layout)
    places = {"front_axle": point(layout.axle), "crown_race": (0.0, 0.0, 0.0)}
    known = Cache() if memory is None else memory
    said = own.model_dump_json(include=_PLACED)
    placed = known.get_or_compute(
        ("built fork", said, places["front_axle"]),
        lambda: finish_placing(begin_placing(own, places, {}, memory), free_ends=False),
    )
    frame = Frame(
        spec=own,
        solved=solved,
        nodes=places,
        tubes=tuple(map(_held, placed.tubes)),
        shell=None,
        dropouts=(),
        bores=(),
        plates=tuple(map(_whole, placed.plates)),
        notes=placed.notes,
    )
    angle = chart["head_tube_angle"]
    assert angle is not None
    x, _, z = nodes["crown_race"]
    frame = shift_frame(frame, SideMotion(-angle, x, z))
    return Bike(frame, own, solved, chart, nodes, frame.notes)


def _whole(plate: Plate) -> Plate:
    """Return a dropout with all its metal: the blade is slotted for its tang."""
    return replace(plate, volume=plate.outline.volume(plate.thickness))


def _held(tube: Tube) -> Tube:
    """Return a blade as held in its dropout, whose tang closes its end; other tubes as they are."""
    if tube.key != "fork_blade":
        return tube
    return replace(tube, end=replace(tube.end, target=f"{FORK_DROPOUT}_{tube.side}"))
