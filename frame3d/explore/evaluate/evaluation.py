"""What has been found of one design of a study."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from frame3d.explore.study.study import Design


@dataclass(frozen=True, slots=True)
class Evaluation:
    """A design, how far it was worked out, and how well it does."""

    design: Design
    values: Mapping[str, float]
    """By label of a wish or preference, those known at the stage that was reached."""
    shortfalls: Mapping[str, float]
    """By label, scaled; 0 where a wish is met; none of stages that were not reached."""
    stage: str
    """The last stage that was reached."""
    rejected_by: str | None
    """Label of the wish or check, or code of the fault, that stopped it."""
    fault: str | None
    """First line of the error where the bike cannot be made."""
    feasible: bool
    """Whether every wish is met and every check passes."""
    total: float
    """Sum of shortfalls, and a graded penalty for stages not reached; 0 exactly where feasible."""
