"""Decide checks between bodies: is the gap at least what is required?"""

from __future__ import annotations

from collections.abc import Sequence

from frame3d.clearance.check import run_checks
from frame3d.clearance.pairs import PAIRS
from frame3d.clearance.result import Result
from frame3d.clearance.scalar_checks import FIGURE_CHECKS
from frame3d.clearance.scene import Scene
from frame3d.parameters.models.frame import FrameSpec


def pair_checks(spec: FrameSpec) -> tuple[str, ...]:
    """Return the names of all checks between bodies, in the order in which they are made."""
    return (
        *dict.fromkeys(pair.name for pair in PAIRS),
        *(f"extra.{i}" for i in range(len(spec.clearance.extra))),
    )


def single_checks() -> tuple[str, ...]:
    """Return the names of all checks of a single figure."""
    return tuple(FIGURE_CHECKS)


def measured(scene: Scene, name: str) -> tuple[Result, ...]:
    """Return the results of one check, as the full check has them.

    Raises:
        SpecError: as `frame3d.clearance.check.check`.
    """
    return run_checks(scene, names=frozenset({name})).results


def short_of(scene: Scene, names: Sequence[str]) -> dict[str, tuple[Result, ...]]:
    """Return the results of some checks that fall short, by check; the full check fails in just these.

    Only what is not proven to be further apart than is required is measured.

    Raises:
        SpecError: as `frame3d.clearance.check.check`.
    """
    found: dict[str, tuple[Result, ...]] = dict.fromkeys(names, ())
    for one in run_checks(scene, names=frozenset(names), only_short=True).results:
        if not one.ok:
            found[one.name] += (one,)
    return found
