"""A small study, and evaluators that cost nothing, for tests of stores and engines."""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from frame3d.explore.evaluate.evaluation import Evaluation
from frame3d.explore.study.study import Design, Preference, Quantity, Study, Varied, Wish

TRAIL = Wish("trail", Quantity("chart", "trail", unit="mm"), 118.0, 128.0, 1.0)
MASS = Preference("mass", Quantity("placement", "mass", unit="g"), least=True)
STUDY = Study(
    source="study.yaml",
    text="",
    bike_source="bike.yaml",
    bike_text="format: 1\n",
    varied=(
        Varied("geometry.reach", 0.0, 1e6, start=455.0),
        Varied("build.rear_wheel.tyre", values=("61-622", "58-622")),
    ),
    wishes=(TRAIL,),
    preferences=(MASS,),
)


def with_bike(text: str) -> Study:
    return replace(STUDY, bike_text=text)


def designs(n: int, begin: int = 0) -> list[Design]:
    return [(i * 0.1, "61-622" if i % 2 else "58-622") for i in range(begin, begin + n)]


def chunks(n: int, size: int) -> list[list[Design]]:
    whole = designs(n)
    return [whole[i : i + size] for i in range(0, n, size)]


def result(design: Design) -> Evaluation:
    """The result of a design, by a formula: a trail of 100 mm and a third of the reach."""
    reach = float(design[0])
    trail = float(f"{100 + reach / 3:.9g}")
    short = TRAIL.shortfall(trail)
    return Evaluation(
        design=design,
        values={"trail": trail, "mass": float(f"{3000 + (reach - 60) ** 2 / 7:.9g}")},
        shortfalls={"trail": short},
        stage="placement",
        rejected_by="trail" if short else None,
        fault=None,
        feasible=short == 0,
        total=short,
    )


class Formula:
    """An evaluator by formula."""

    def __init__(self, study: Study) -> None:
        self.study = study

    def evaluate(self, designs: Sequence[Design]) -> list[Evaluation]:
        return [result(design) for design in designs]


class Slow(Formula):
    """Takes 5 ms a design."""

    def evaluate(self, designs: Sequence[Design]) -> list[Evaluation]:
        time.sleep(0.005 * len(designs))
        return super().evaluate(designs)


class Deadly(Formula):
    """Kills its process at a reach of 3.7; raises an error at one of 1.1."""

    def evaluate(self, designs: Sequence[Design]) -> list[Evaluation]:
        for design in designs:
            if abs(float(design[0]) - 3.7) < 1e-9:
                os.kill(os.getpid(), signal.SIGKILL)
        return super().evaluate(designs)


class Broken(Formula):
    """Has a defect at a reach of 1.1."""

    def evaluate(self, designs: Sequence[Design]) -> list[Evaluation]:
        for design in designs:
            if abs(float(design[0]) - 1.1) < 1e-9:
                raise ZeroDivisionError("a defect")
        return super().evaluate(designs)


class Marked(Formula):
    """Leaves a line for each design in the file that stands for the bike's text."""

    def evaluate(self, designs: Sequence[Design]) -> list[Evaluation]:
        with Path(self.study.bike_text).open("a", encoding="utf-8") as file:
            file.writelines(f"{os.getpid()} {design[0]}\n" for design in designs)
        return super().evaluate(designs)
