"""Whether a bike passes its checks, without measuring more than that takes."""

from __future__ import annotations

from dataclasses import dataclass

from frame3d.clearance.check import outcomes
from frame3d.clearance.result import Result, Unchecked
from frame3d.clearance.scene import Scene


@dataclass(frozen=True, slots=True)
class Decision:
    """Whether every check that was made passes; the same as `Report.ok`."""

    holds: bool
    short: Result | None
    """The first that was found to fall short, with its certificate; None if all pass."""
    unchecked: tuple[Unchecked, ...]
    """What could not be checked, as far as it came; complete where all pass."""


def holds(scene: Scene, names: frozenset[str] | None = None) -> Decision:
    """Decide whether every gap and figure is at least what is required.

    Each search stops as soon as the gap is proven to be more than required, and no check is made
    after one that falls short. Figures come first, as they cost least.

    Args:
        scene: the bike with its parts.
        names: of the checks to make; None for all.

    Raises:
        SpecError: as `check`.
    """
    unchecked: list[Unchecked] = []
    for outcome in outcomes(scene, names=names, only_short=True, first_short=True):
        if isinstance(outcome, Unchecked):
            unchecked.append(outcome)
            continue
        if not outcome.ok:
            return Decision(False, outcome, tuple(unchecked))
    return Decision(True, None, tuple(unchecked))
