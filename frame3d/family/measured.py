"""Measure the bikes of a comparison: gaps, suspension, steering, mass, stiffness; each bike once."""

from __future__ import annotations

from dataclasses import dataclass

from frame3d.bike.bike import Bike
from frame3d.bike.travel import TravelAnalysis, over_travel
from frame3d.clearance.check import run_checks
from frame3d.clearance.memory import PairMemory
from frame3d.clearance.result import Report, Result
from frame3d.clearance.scene import Scene, scene_of
from frame3d.errors import Fault
from frame3d.family.members import Family
from frame3d.progress import Progress
from frame3d.ride.slopes.of_bike import Slopes, slopes_of
from frame3d.ride.steering.of_bike import SteeringFigures, steering_of
from frame3d.stiffness.of_bike import Stiffness, stiffness_if_any

POINTS = 51
"""Number of points of curves over the rear travel."""


@dataclass(frozen=True)
class Measured:
    """What is known of one bike beside its chart."""

    scene: Scene
    report: Report
    travel: TravelAnalysis | None
    """Curves over the rear travel; None without a rear suspension."""
    slopes: Slopes
    """Its rider on slopes; no postures without one."""
    steering: SteeringFigures
    grams: float | None
    """Mass of tubes, shell and housings [g]; None where the file describes no tubes."""
    stiffness: Stiffness | None = None
    """As drawn, at full extension; None without tubes, or where it cannot be told."""
    no_stiffness: tuple[Fault, ...] = ()
    """Why that cannot be told."""

    @property
    def gaps(self) -> dict[str, Result]:
        """The tightest result of each check, by its name, the smallest margin first."""
        found: dict[str, Result] = {}
        for result in self.report.results:
            found.setdefault(result.name, result)
        return found

    @property
    def short(self) -> tuple[Result, ...]:
        """The checks that fall short, each at its tightest."""
        return tuple(result for result in self.gaps.values() if not result.ok)


def measure(family: Family, progress: Progress | None = None) -> tuple[Measured, ...]:
    """Measure every bike of a family, in its order.

    Args:
        family: solved bikes.
        progress: called with what is being measured and the share done, 0 to 1.

    Raises:
        FrameError: the parts of a bike do not go together.
    """
    known: dict[int, Measured] = {}
    count, memory = len(family.members), PairMemory()
    for i, member in enumerate(family.members):
        if progress is not None:
            progress(member.label, i / count)
        if id(member.bike) not in known:
            known[id(member.bike)] = measured(member.bike, memory)
    return tuple(known[id(member.bike)] for member in family.members)


def measured(bike: Bike, memory: PairMemory | None = None) -> Measured:
    """Measure one bike; as `measure`.

    Args:
        bike: the bike.
        memory: of bikes measured before it.
    """
    scene = scene_of(bike, memory=memory)
    stiffness, no_stiffness = stiffness_if_any(bike)
    return Measured(
        scene=scene,
        report=run_checks(scene),
        travel=None if bike.linkage is None else over_travel(bike, POINTS),
        slopes=slopes_of(bike),
        steering=steering_of(bike),
        grams=bike.frame.masses.total if bike.tubes else None,
        stiffness=stiffness,
        no_stiffness=no_stiffness,
    )
