"""Make every part of a solved bike, and list what the file does not give."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence

from frame3d.bike.bike import Bike
from frame3d.bodies.body import Absent, Bodies, Body
from frame3d.bodies.built_fork import built_fork
from frame3d.bodies.frame.dropouts import dropouts
from frame3d.bodies.frame.features import features
from frame3d.bodies.frame.pivots import pivots
from frame3d.bodies.frame.plates import plates
from frame3d.bodies.frame.tubes_and_shell import frame
from frame3d.bodies.parts.adaptor import rear_adaptor
from frame3d.bodies.parts.bottle import bottles
from frame3d.bodies.parts.brake import rear_brake
from frame3d.bodies.parts.cockpit import cockpit
from frame3d.bodies.parts.crank import crank
from frame3d.bodies.parts.custom_bodies import spare
from frame3d.bodies.parts.drivetrain import drivetrain
from frame3d.bodies.parts.fork import fork
from frame3d.bodies.parts.seat import seat
from frame3d.bodies.parts.shock import shock
from frame3d.bodies.parts.shoe import shoe
from frame3d.bodies.parts.tyre import tyre
from frame3d.bodies.parts.wheel import wheel
from frame3d.bodies.placement import Placement
from frame3d.errors import Fault, SpecError

Maker = Callable[[Placement], Iterator[Body | Absent]]

FRAME: tuple[Maker, ...] = (frame, pivots, features, dropouts, plates)
CARRIED: tuple[Maker, ...] = (
    lambda place: tyre(place, "front"),
    lambda place: tyre(place, "rear"),
    lambda place: wheel(place, "front"),
    lambda place: wheel(place, "rear"),
    rear_brake,
    rear_adaptor,
    shock,
    drivetrain,
    crank,
    shoe,
    fork,
    built_fork,
    cockpit,
    seat,
    bottles,
)
"""Functions that make the parts, in the order of results."""


def bodies_of(bike: Bike) -> Bodies:
    """Return every part of a solved bike where it is drawn, and what the file does not give.

    A part is there where the file gives its key. Sizes that the file does not give are those of
    standards or common practice; the part's note says so.

    Raises:
        SpecError: parts that do not go together, all of them.
    """
    return _made(Placement(bike), (*FRAME, *CARRIED))


def carried_bodies(bike: Bike) -> Bodies:
    """Return `bodies_of` without the frame's own, and of the chain only the run that is drawn.

    That is enough for pictures, which draw the frame from its solids, and takes a tenth of the time.

    Raises:
        SpecError: as by `bodies_of`.
    """
    return _made(Placement(bike, drawn_only=True), CARRIED)


def some_bodies(bike: Bike, names: Collection[str]) -> tuple[Body, ...]:
    """Return those of `bodies_of` that have some names, or take little time; not the file's own.

    Raises:
        SpecError: as by `bodies_of`, but for the file's own bodies.
    """
    place = Placement(bike, only=frozenset(names))
    return _made(place, (*FRAME, *CARRIED), with_own=False).bodies


def _made(place: Placement, makers: Sequence[Maker], *, with_own: bool = True) -> Bodies:
    found: list[Body] = []
    absent: list[Absent] = []
    faults: list[Fault] = []
    for make in makers:
        try:
            for item in make(place):
                if isinstance(item, Body):
                    found.append(item)
                else:
                    absent.append(item)
        except SpecError as error:
            faults += error.faults
    try:
        found += list(spare(place, tuple(found))) if with_own else []
    except SpecError as error:
        faults += error.faults
    if faults:
        raise SpecError(faults)
    return Bodies(tuple(found), tuple(absent))
