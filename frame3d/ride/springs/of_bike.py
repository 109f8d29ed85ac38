"""The springs of a bike, and the sheet from which they are set up."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from frame3d.bike.bike import Bike
from frame3d.bike.loaded_spring import LoadedSpring
from frame3d.bike.sprung import sprung_of
from frame3d.ride.springs.fork import fork_spring_of
from frame3d.ride.springs.set_up import EndSetUp, set_up_of

KEPT = "posture and bicycle as they are for every rider's mass"


@dataclass(frozen=True, slots=True)
class Springs:
    """The springs of a bike under its rider."""

    rider_kg: float | None
    """The rider of the file."""
    rear: EndSetUp | None
    """None without a rear suspension, or where its spring is not given."""
    fork: EndSetUp | None
    """None without a fork that has travel, or where its spring is not given."""
    warnings: tuple[str, ...]
    """A pressure above what its maker allows, a measured pair far from the model."""
    assumptions: tuple[str, ...]
    left_out: tuple[str, ...]

    @property
    def ends(self) -> tuple[EndSetUp, ...]:
        """The springs that the file gives, the rear one first."""
        return tuple(end for end in (self.rear, self.fork) if end is not None)


def springs_of(bike: Bike) -> Springs | None:
    """Return the springs of a solved bike; None where nothing is sprung.

    Raises:
        GeometryError: a rate or pressure left open cannot be found, or a measured pair and the model
            cannot be compared.
    """
    linkage = bike.linkage
    sprung = None if linkage is None else sprung_of(bike, linkage)
    fork = fork_spring_of(bike)
    if sprung is None and fork is None:
        return None
    rider = bike.spec.build.rider
    rear_set_up = None if sprung is None else set_up_of("rear", sprung.loaded)
    fork_set_up = None if fork is None else set_up_of("fork", fork.loaded)
    assumed: list[str] = []
    warned: list[str] = []
    left_out = [] if rider is not None else ["loads, sag and set-up (build.rider.mass_kg)"]
    for name, end, loaded, said in (
        ("rear", rear_set_up, None if sprung is None else sprung.loaded, sprung),
        ("fork", fork_set_up, None if fork is None else fork.loaded, fork),
    ):
        if loaded is None:
            continue
        left_out += _left_out(name, end, loaded)
        warned += [f"{name}: {note.message}" for note in loaded.notes]
        if end is not None and said is not None:
            assumed += [line for line in said.assumptions if line not in assumed]
    if assumed:
        assumed.append(KEPT)
    return Springs(
        rider_kg=None if rider is None else rider.mass_kg,
        rear=rear_set_up,
        fork=fork_set_up,
        warnings=tuple(warned),
        assumptions=tuple(assumed),
        left_out=tuple(left_out),
    )


def _left_out(name: str, end: EndSetUp | None, loaded: LoadedSpring) -> Iterator[str]:
    """Yield what cannot be said of a spring, with the key that would give it."""
    path = loaded.place.path
    if end is None:
        yield f"spring and set-up, {name} ({path})"
        return
    if not end.wanted:
        yield f"set-up for a sag, {name} ({loaded.place.sag_path})"
    if end.kind != "air":
        return
    if not end.reducers:
        yield f"volume reducers, {name} ({path}.air.reducer_cm3 and most_reducers)"
    if end.highest_pressure_bar is None:
        yield f"the highest pressure, {name} ({path}.air.highest_pressure_bar)"
    if end.measured is None:
        yield f"pressures corrected by a measured sag, {name} ({path}.air.measured)"
