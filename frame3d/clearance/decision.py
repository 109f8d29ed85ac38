"""Whether a bike passes its checks, without measuring more than that takes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from frame3d.clearance.check import outcomes
from frame3d.clearance.pairs import PAIRS
from frame3d.clearance.result import Result, Unchecked
from frame3d.clearance.scene import Scene

_TOLERANCES: Final = {pair.name: pair.tolerance for pair in PAIRS}


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
    for outcome in outcomes(scene, names=names, only_short=True, figures_first=True):
        if isinstance(outcome, Unchecked):
            unchecked.append(outcome)
            continue
        # The certificate of a gap that was cut off may end elsewhere than that of the full check.
        close = outcome.name in _TOLERANCES and is_close(outcome, scene)
        found = outcomes(scene, names=frozenset({outcome.name})) if close else [outcome]
        short = next((o for o in found if isinstance(o, Result) and not o.ok), None)
        if short is not None:
            return Decision(False, short, tuple(unchecked))
    return Decision(True, None, tuple(unchecked))


def is_close(result: Result, scene: Scene) -> bool:
    """Return whether another certificate of the same gap might judge otherwise."""
    width = 2 * max(scene.tolerance, _TOLERANCES.get(result.name, 0.0))
    may_pass = result.error > width / 2 and result.gap >= result.required
    return may_pass or -width <= result.margin
