"""The command that solves a bike: its chart, and on request masses, curves, the ride, sensitivities."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import click

from frame3d.cli.options import common
from frame3d.cli.request import INPUT_AT_FAULT, OK, Request, say_faults, solved

if TYPE_CHECKING:
    from frame3d.bike.bike import Bike
    from frame3d.bike.exchange import AsBuilt
    from frame3d.bike.travel import TravelAnalysis
    from frame3d.chart.partial import UnderDeterminedError
    from frame3d.chart.sensitivity import Sensitivity
    from frame3d.ride.ride import Ride
    from frame3d.ride.steering.linear import LinearBicycle
    from frame3d.ride.steering.of_bike import SteeringFigures
    from frame3d.tubes.mass import Masses


@dataclass(frozen=True)
class _Answers:
    """A solved bike, and what else was asked of it."""

    bike: Bike
    built: AsBuilt | None
    masses: Masses | None
    moving: TravelAnalysis | None
    ride: Ride | None
    steering: tuple[SteeringFigures, LinearBicycle | None, tuple[str, ...]] | None
    changes: tuple[Sensitivity, Sensitivity] | None

    def document(self) -> dict[str, Any]:
        """Return everything as plain data."""
        from frame3d.formats import documents

        out = documents.solve_document(self.bike)
        if self.masses is not None:
            out["mass"] = documents.mass_document(self.masses)
            if self.bike.fork is not None:
                out["mass"]["fork"] = documents.mass_document(self.bike.fork.frame.masses)
        if self.built is not None:
            out["as_built"] = documents.as_built_document(self.built)
        if self.moving is not None:
            out["travel"] = documents.travel_document(self.moving)
        if self.ride is not None:
            from frame3d.formats.ride_document import ride_document

            out["ride"] = ride_document(self.ride)
        if self.steering is not None:
            from frame3d.formats.ride_document import steering_document

            out["steering"] = steering_document(*self.steering)
        if self.changes is not None:
            out["sensitivity"] = documents.sensitivity_document(*self.changes)
        return out

    def text(self) -> str:
        """Return everything as tables."""
        from frame3d.cli import screen

        width = shutil.get_terminal_size((120, 24)).columns
        parts = [screen.solved(self.bike, self.masses)]
        if self.built is not None:
            parts.append(screen.exchanged(self.built))
        if self.moving is not None:
            from frame3d.cli.screen_travel import travelled

            parts.append(travelled(self.moving, width))
        if self.ride is not None:
            from frame3d.cli.riding.every_topic import ridden

            parts.append(ridden(self.ride, width))
        if self.steering is not None:
            from frame3d.cli.riding.linear_bicycle import steered

            parts.append(steered(*self.steering, width, alone=self.ride is None))
        if self.changes is not None:
            titles = (
                "Design: the other given figures stand, the frame changes",
                "As built: the frame stays, a part changes",
            )
            named = dict(zip(titles, self.changes, strict=True))
            parts.append(screen.sensitivities(named, width))
        return "\n\n".join(parts)


@click.command()
@common
@click.option("--sensitivity", is_flag=True, help="Change of every result per unit of every input.")
@click.option("--mass", is_flag=True, help="Mass of every tube and their centre, without solids.")
@click.option("--travel", is_flag=True, help="The rear suspension's curves over its travel.")
@click.option(
    "--ride", is_flag=True, help="How it fits and rides: fit, slopes, springs, dampers, steering."
)
@click.option(
    "--steering",
    is_flag=True,
    help="For the designer: the linearised bicycle's matrices over speed.",
)
def solve(request: Request, **asked: bool) -> int:
    """Solve FILE: the whole chart, where every node lies, what is assumed.

    Where figures are missing: what the others settle, and what would settle the rest.
    """
    from frame3d.bike.sprung import with_spring_notes
    from frame3d.chart.partial import UnderDeterminedError

    try:
        bike, built = solved(request)
    except UnderDeterminedError as error:
        return _begun(request, error)
    answers = _answers(with_spring_notes(bike), built, asked, 101 if request.as_json else 11)
    request.answer(answers.document, answers.text)
    return OK


def _answers(bike: Bike, built: AsBuilt | None, asked: dict[str, bool], travels: int) -> _Answers:
    """Return what was asked of a bike; curves at that number of travels."""
    changes = masses = moving = ride = steering = None
    if asked["sensitivity"]:
        from frame3d.chart.sensitivity import as_built_sensitivity, design_sensitivity

        changes = (design_sensitivity(bike.solved), as_built_sensitivity(bike.solved))
    if asked["travel"]:
        from frame3d.bike.travel import over_travel

        moving = over_travel(bike, travels)
    if asked["ride"]:
        from frame3d.ride.ride import ride_of

        ride = ride_of(bike)
    if asked["steering"]:
        from frame3d.ride.steering.of_bike import linear_left_out, linear_of, steering_of

        steering = (steering_of(bike), linear_of(bike), linear_left_out(bike))
    if asked["mass"] and bike.tubes:
        masses = bike.frame.masses
    return _Answers(bike, built, masses, moving, ride, steering, changes)


def _begun(request: Request, error: UnderDeterminedError) -> int:
    """Say what too few figures settle, then what is missing."""
    from frame3d.cli import screen_partial
    from frame3d.formats import documents

    def document() -> dict[str, Any]:
        partial = error.partial
        out = documents.fault_document(error.faults)
        return out | {"partial": None if partial is None else documents.partial_document(partial)}

    width = shutil.get_terminal_size((120, 24)).columns
    request.answer(document, lambda: screen_partial.begun(error.partial, width))
    say_faults(error.faults, as_json=False)
    return INPUT_AT_FAULT
