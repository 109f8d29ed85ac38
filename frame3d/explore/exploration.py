"""What an exploration found: designs as far as they were evaluated, the best of them as bikes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from frame3d.bike.bike import Bike
from frame3d.bodies.body import Bodies
from frame3d.clearance.result import Report
from frame3d.explore.evaluate.evaluation import Evaluation
from frame3d.explore.evaluate.evaluator import Proof
from frame3d.explore.search.bearing import Bearing, Gain
from frame3d.explore.study.study import Study


@dataclass(frozen=True)
class Kept:
    """A design that is kept: made again as a bike."""

    evaluation: Evaluation
    bike: Bike
    """Of the first size, where there are several."""
    parts: Bodies
    """Outlines of what it carries."""
    report: Report | None = None
    """Of a full check of it; None where it was not made."""
    proofs: tuple[Proof, ...] = ()
    """The full checks of every size that it must serve; `report` is the first one's."""

    @property
    def proved(self) -> bool:
        """Whether every check that was made passes in every size."""
        return bool(self.proofs) and all(proof.report.ok for proof in self.proofs)


@dataclass(frozen=True, slots=True)
class Sensitivity:
    """What a step of one value does to a quantity, at the best design."""

    path: str
    """Of the value that varies."""
    step: float
    """Its change, in its own unit."""
    label: str
    """Of the wish or preference."""
    effect: float
    """Change of the quantity, in its unit."""


@dataclass(frozen=True)
class Exploration:
    """A study and what was found for it."""

    study: Study
    evaluations: tuple[Evaluation, ...]
    """Of all designs that are known, in the order of their evaluation."""
    best: tuple[Kept, ...] = ()
    """The best first."""
    front: tuple[Evaluation, ...] = ()
    """Feasible designs of which none is better than another in every preference; empty where there
    are fewer than two preferences."""
    blocking: Mapping[str, int] = field(default_factory=dict)
    """Label of a wish or check, or code of a fault -> how many designs it stopped."""
    sensitivities: tuple[Sensitivity, ...] = ()
    """At the best design."""
    evaluated: int = 0
    """How many designs were evaluated this time; the others were known."""
    seconds: float = 0.0
    """How long that took."""
    ended: str = ""
    """Why it ended."""
    bearings: tuple[Bearing, ...] = ()
    """How the values that vary bear on the wishes that block most."""
    unmoved: tuple[str, ...] = ()
    """Of these wishes the ones on which none of the values bears: something else must vary for them."""
    at_limits: tuple[tuple[str, Literal["least", "most"]], ...] = ()
    """Values that the best design has at an end of their range: beyond it there may be a better one."""

    unvaried: tuple[Gain, ...] = ()
    """Where no design is feasible: values of the file that do not vary, and how much a step of each
    would lessen what the nearest design misses."""

    @property
    def rate(self) -> float | None:
        """Designs evaluated a second; None where none was."""
        return self.evaluated / self.seconds if self.evaluated and self.seconds > 0 else None

    @property
    def feasible(self) -> int:
        """How many designs meet every wish."""
        return sum(one.feasible for one in self.evaluations)
