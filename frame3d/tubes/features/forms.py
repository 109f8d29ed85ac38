r"""The metal of bosses, guides, stops, eyes and flat mounts: each a round piece with its bores.

::

      boss  _|_|_  height       guide, stop  .--.  along      eye   .-.  across
           | | | |                          ( () ) the tube        ( o ) the tube
      =====| | | |=====  wall   =============`--'====          =====`-'=====
           |_| |_| depth
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np

from frame3d.geometry.vector import Vector
from frame3d.parameters.models.tube_features.kinds import CLEAR
from frame3d.tubes.features.feature import Feature
from frame3d.tubes.features.stand import Spot, far_foot, inner, reach, spots
from frame3d.tubes.tube import Tube

SINK: Final = 0.8
"""How deep the outline of a guide, stop or eye goes into its tube [mm]: its weld or fillet."""
FAR: Final = 0.6
"""How far past the axis a boss may reach in, as a share of the inside there."""
END: Final = 3.0
"""Thickness of a stop's end [mm]; common practice, no source."""
BELOW: Final = 0.5
"""How far a flat mount's sleeve stands out on the bolt heads' side [mm]; common practice, no
source."""
CABLE: Final = 2.0
"""Hole for the inner cable in it [mm]; common practice, no source."""


@dataclass(frozen=True)
class RoundBore:
    """A hole along a form's axis."""

    start: Vector
    end: Vector
    diameter: float
    through: bool
    """Whether it runs from end to end; `start` and `end` are the form's then."""


@dataclass(frozen=True)
class Form:
    """A round piece of metal on a tube."""

    name: str
    """With its side; every name is different."""
    label: str
    """The same for left and right."""
    spot: Spot
    start: Vector
    """Middle of its first face, (3,) [mm]."""
    end: Vector
    diameter: float
    bores: tuple[RoundBore, ...]
    set_in: bool = False
    """Whether it goes through the tube's wall; else it stands on the outside."""

    @property
    def length(self) -> float:
        """[mm]"""
        return float(np.linalg.norm(self.end - self.start))


def forms(feature: Feature, tube: Tube) -> tuple[Form, ...]:
    """Return the metal of a feature; none for holes, and for what only stands for a bottle's bosses."""
    if feature.implied:
        return ()
    return tuple(_forms(feature, tube))


def _forms(feature: Feature, tube: Tube) -> Iterator[Form]:
    make = {"boss": _boss, "guide": _guide, "stop": _stop, "eye": _eye, "flat_mount": _sleeve}.get(
        feature.spec.kind
    )
    if make is None:
        return
    for label, place in zip(feature.labels, spots(feature, tube), strict=True):
        start, end, bores = make(feature, tube, place)
        yield Form(
            feature.named(label),
            label,
            place,
            start,
            end,
            feature.spec.outside,
            bores,
            feature.spec.kind in ("boss", "flat_mount"),
        )


Ends = tuple[Vector, Vector, tuple[RoundBore, ...]]


def _boss(feature: Feature, tube: Tube, place: Spot) -> Ends:
    spec = feature.spec
    start = place.foot - boss_depth(feature, tube, place) * place.out
    end = place.foot + spec.proud * place.out
    return start, end, (RoundBore(start, end, spec.screw.major, True),)


def _sleeve(feature: Feature, tube: Tube, place: Spot) -> Ends:
    spec = feature.spec
    start = far_foot(tube, place) - BELOW * place.out
    # Both faces lie in one plane, also where the tube tapers.
    widest = max(one.radius for one in spots(feature, tube))
    end = place.axis + (widest + spec.proud) * place.out
    return start, end, (RoundBore(start, end, spec.screw.major + CLEAR, True),)


def boss_depth(feature: Feature, tube: Tube, place: Spot) -> float:
    """Return how far a boss reaches in from the tube's outside, short of the far wall [mm]."""
    if tube.section.is_solid:
        return min(feature.spec.inside, (1 + FAR) * place.radius)
    beyond = reach(inner(tube), place.axis, -place.out)
    return min(feature.spec.inside, place.radius + FAR * beyond)


def _guide(feature: Feature, tube: Tube, place: Spot) -> Ends:
    spec = feature.spec
    middle = place.foot + (spec.outside / 2 - SINK) * place.out
    start, end = (middle + sign * spec.long / 2 * place.along for sign in (-1.0, 1.0))
    return start, end, (RoundBore(start, end, spec.held, True),)


def _stop(feature: Feature, tube: Tube, place: Spot) -> Ends:
    start, end, _ = _guide(feature, tube, place)
    if feature.spec.toward == "end":
        start, end = end, start
    # The outer cable comes in at `start`.
    way = (end - start) / np.linalg.norm(end - start)
    last = end - min(END, feature.spec.long / 2) * way
    return (
        start,
        end,
        (
            RoundBore(start - way, last, feature.spec.held, False),
            RoundBore(start, end, CABLE, True),
        ),
    )


def _eye(feature: Feature, tube: Tube, place: Spot) -> Ends:
    spec = feature.spec
    middle = place.foot + (spec.outside / 2 - SINK) * place.out
    start, end = (middle + sign * spec.wide / 2 * place.around for sign in (-1.0, 1.0))
    return start, end, (RoundBore(start, end, spec.screw.major, True),)
