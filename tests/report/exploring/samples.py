"""Small invented explorations for tests: of the demo hardtail, without any search."""

from __future__ import annotations

from functools import cache
from math import cos, sin

from frame3d.bike.solve import solve
from frame3d.bodies import bodies_of
from frame3d.explore.evaluate.evaluation import Evaluation
from frame3d.explore.exploration import Exploration, Kept, Sensitivity
from frame3d.explore.study.read import loads_study
from frame3d.explore.study.study import Study
from frame3d.parameters.reading.reader import load
from tests.report.samples import HARDTAIL as BIKE

STUDY = """
format: 1
bike: trail_hardtail_29.yaml
vary:
  geometry.reach: {from: 430, to: 490}
  geometry.head_tube_angle: {from: 63, to: 67}
  build.fork.offset: [42, 44, 51]
  build.rear_wheel.tyre: [58-622, 61-622]
wishes:
  trail: {from: 115, to: 130}
  wheelbase: {to: 1240}
prefer:
  - least: wheelbase
  - least: mass
"""


@cache
def study() -> Study:
    """Return a study of the demo hardtail."""
    return loads_study(STUDY, "longer_reach.yaml", BIKE.read_text("utf-8"), str(BIKE))


def evaluation(i: int) -> Evaluation:
    """Return the i-th of designs that fill the study's ranges, with figures that are made up."""
    reach = round(430 + 60 * ((i * 0.618034) % 1), 3)
    angle = round(63 + 4 * ((i * 0.754878) % 1), 3)
    offset = (42.0, 44.0, 51.0)[i % 3]
    tyre = ("58-622", "61-622")[i % 2]
    trail = 118 + 6 * (65 - angle) - 0.9 * (offset - 44)
    wheelbase = 1180 + (reach - 430) + 11 * (66 - angle) + 0.1 * i % 3
    mass = 2100 - 1.9 * (reach - 430) + 40 * sin(i) + 25 * cos(angle)
    missed = {
        "trail": max(115 - trail, trail - 130, 0.0),
        "wheelbase": max(wheelbase - 1240, 0.0),
    }
    worst = max(missed, key=lambda label: missed[label])
    feasible = missed[worst] == 0
    return Evaluation(
        design=(reach, angle, offset, tyre),
        values={
            "trail": trail,
            "wheelbase": wheelbase,
            **({} if i % 7 == 3 and not feasible else {"mass": mass}),
        },
        shortfalls=missed,
        stage="placement",
        rejected_by=None if feasible else worst,
        fault=None,
        feasible=feasible,
        total=sum(missed.values()),
    )


@cache
def kept() -> tuple[Kept, ...]:
    """Return two designs with their bikes."""
    made = []
    for one in [e for e in map(evaluation, range(80)) if e.feasible][:2]:
        bike = solve(load(BIKE, sets=study().sets(one.design)))
        made.append(Kept(one, bike, bodies_of(bike)))
    return tuple(made)


def exploration(count: int = 60) -> Exploration:
    """Return an exploration of so many designs, two of them kept."""
    evaluations = tuple(evaluation(i) for i in range(count))
    feasible = sorted(
        (e for e in evaluations if e.feasible), key=lambda e: (e.values["wheelbase"], e.design)
    )
    front: list[Evaluation] = []
    for one in feasible:
        if not front or one.values["mass"] < front[-1].values["mass"]:
            front.append(one)
    stopped = [e.rejected_by for e in evaluations if e.rejected_by is not None]
    return Exploration(
        study=study(),
        evaluations=evaluations,
        best=kept(),
        front=tuple(front),
        blocking={label: stopped.count(label) for label in sorted(set(stopped))},
        sensitivities=(
            Sensitivity("geometry.reach", 1.0, "wheelbase", 1.0),
            Sensitivity("geometry.reach", 1.0, "mass", -1.9),
            Sensitivity("geometry.head_tube_angle", 0.1, "trail", -0.64),
        ),
        evaluated=count,
        seconds=1.5,
    )
