"""Gather the values and shortfalls of one design, stage by stage."""

from __future__ import annotations

from collections.abc import Sequence

from frame3d.errors import FrameError
from frame3d.explore.evaluate.evaluation import FAULT, Evaluation, rounded, total_of
from frame3d.explore.study.study import Design, Preference, Wish


class Grading:
    """What is known so far of a design in all its sizes; of each label the worst size counts."""

    def __init__(self, design: Design, stages: Sequence[str]) -> None:
        self._design, self._stages = design, tuple(stages)
        self._stage = "file"
        self._values: dict[str, float] = {}
        self._shortfalls: dict[str, float] = {}
        self._here: list[str] = []
        """Labels of the stage at hand."""
        self._fault: FrameError | None = None
        self.at = 0
        """Which of the sizes is being made."""

    @property
    def is_short(self) -> bool:
        """Whether anything falls short so far."""
        return any(missed > 0 for missed in self._shortfalls.values())

    def enter(self, stage: str) -> None:
        """Begin a stage."""
        self._stage, self._here = stage, []

    def value(self, of: Wish | Preference, value: float | None, missing: float = 0.0) -> None:
        """Add the value of one size.

        Args:
            of: what it is the value of.
            value: in the quantity's unit; None where the bike does not have it.
            missing: in that case how far it is from having it [mm].
        """
        label = of.label
        if isinstance(of, Preference):
            if value is not None:
                known = self._values.get(label)
                now = rounded(value)
                worse = max if of.least else min
                self._values[label] = now if known is None else worse(known, now)
            return
        if value is None:
            self.shortfall(label, rounded(FAULT + missing))
            return
        now = rounded(value)
        missed = rounded(of.shortfall(now))
        if label not in self._values or missed > self._shortfalls[label]:
            self._values[label] = now
        self.shortfall(label, missed)

    def shortfall(self, label: str, missed: float) -> None:
        """Add how far one size misses what a label stands for."""
        self._here.append(label)
        self._shortfalls[label] = max(missed, self._shortfalls.get(label, 0.0))

    def fault(self, error: FrameError, missed: float) -> None:
        """Add why a bike cannot be made, and how far it is from one that can."""
        self._fault = error
        self.shortfall(error.faults[0].code, missed)

    def result(self) -> Evaluation:
        """Return the evaluation."""
        fault = None if self._fault is None else self._fault.faults[0]
        left = len(self._stages)
        if self._stage in self._stages:
            left -= self._stages.index(self._stage) + 1
        rejected_by = None
        if fault is not None:
            rejected_by = fault.code
        elif self.is_short:
            here = {label: self._shortfalls[label] for label in self._here}
            among = here if any(here.values()) else self._shortfalls
            rejected_by = max(among, key=lambda label: among[label])
        return Evaluation(
            design=self._design,
            values=self._values,
            shortfalls=self._shortfalls,
            stage=self._stage,
            rejected_by=rejected_by,
            fault=None if fault is None else _line(fault.path, fault.message),
            feasible=rejected_by is None,
            total=total_of(self._shortfalls, left),
        )


def _line(path: str, message: str) -> str:
    """Return a fault on one line."""
    first = message.splitlines()[0] if message else ""
    return f"{path}: {first}" if path else first
