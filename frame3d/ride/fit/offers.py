"""Which sizes of stem, spacers and bar, as they are sold, keep the grips where they are."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product
from typing import Final

from frame3d.ride.fit.cockpit import (
    XZ,
    Cockpit,
    Front,
    Sold,
    grips,
    nearest_sold,
    stem_and_spacers,
    sweep_and_spacers,
)

STEMS: Final = (30.0, 35.0, 40.0, 45.0, 50.0, 60.0, 70.0, 80.0, 90.0, 100.0, 110.0, 120.0)
"""Lengths of stems where the file gives none [mm]; common practice, no source."""
RISES: Final = (0.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 50.0)
"""Rises of bars where the file gives none [mm]; common practice, no source."""
SWEEPS: Final = (-50.0, -40.0, -30.0, -20.0)
"""Grips ahead of the clamp of bars with backsweep [mm]; common practice, no source."""
STEP: Final = 2.5
"""Spacers are sold in heights of 2.5 and 5 mm; common practice, no source."""
KEEPS: Final = 5.0
"""Up to this miss a sold set counts as keeping the grips in their place [mm]: about what a turn of the
bar in its clamp makes up for; common practice, no source."""
LISTED: Final = 10
"""Most sets that are listed as the nearest."""
_SAME: Final = 1e-9


@dataclass(frozen=True, slots=True)
class Sizes:
    """What is to be had for one bike [mm]."""

    stems: tuple[float, ...]
    stem_angles: tuple[float, ...]
    """The present stem's, and its opposite: the stem turned over [degrees]."""
    rises: tuple[float, ...]
    forwards: tuple[float, ...]
    """Grips ahead of the clamp; of a drop bar that of the file alone."""
    spacer_step: float
    most_spacers: float | None
    """Under the stem; None where nothing in the file limits them."""

    @property
    def limit(self) -> float:
        """The most spacers, infinite where nothing limits them."""
        return math.inf if self.most_spacers is None else self.most_spacers


@dataclass(frozen=True, slots=True)
class Answer:
    """One stem or bar: what keeps the grips exactly, and what is sold nearest to that."""

    exact: Cockpit
    cannot: str | None
    """Why that cannot be made; None where it can."""
    sold: Sold


@dataclass(frozen=True, slots=True)
class Offers:
    """What keeps the grips in their place."""

    present: Cockpit
    sizes: Sizes
    bars: tuple[Answer, ...]
    """For each rise, at the present bar's backsweep, the stem and spacers; with the stem turned over
    too, where it has an angle."""
    sweeps: tuple[Answer, ...]
    """For each rise and each stem, the backsweep and spacers, where bars have such a backsweep."""
    nearest: tuple[Sold, ...]
    """Of all sizes sold the sets that miss least, the best stem and spacers for each bar; without the
    present set."""


def offers(front: Front, present: Cockpit, sizes: Sizes) -> Offers:
    """Return the sets that keep the grips of the present one."""
    at = grips(front, present)
    return Offers(
        present=present,
        sizes=sizes,
        bars=tuple(_bars(front, at, present.forward, sizes)),
        sweeps=tuple(_sweeps(front, at, present.stem_angle, sizes)),
        nearest=nearest(front, at, sizes, without=present),
    )


def nearest(
    front: Front,
    at: XZ,
    sizes: Sizes,
    most: int = LISTED,
    without: Cockpit | None = None,
) -> tuple[Sold, ...]:
    """Return the sold sets that bring the grips nearest to `at`, one for each bar, the best first."""
    found = [
        _sold(front, at, Cockpit(0.0, 0.0, rise, forward, angle), sizes.stems, sizes)
        for rise, forward, angle in product(sizes.rises, sizes.forwards, sizes.stem_angles)
    ]
    found.sort(key=_order)
    return tuple(one for one in found if one.cockpit != without)[:most]


def why_not(cockpit: Cockpit, sizes: Sizes) -> str | None:
    """Return why a set cannot be made, in words; None where it can be."""
    if cockpit.spacers < -_SAME:
        return f"the stem would sit {-cockpit.spacers:.1f} mm inside the headset"
    if cockpit.spacers > sizes.limit + _SAME:
        return f"{cockpit.spacers - sizes.limit:.1f} mm more spacers than there is room for"
    low, high = min(sizes.stems), max(sizes.stems)
    if not low - _SAME <= cockpit.stem <= high + _SAME:
        return f"stems are to be had from {low:g} to {high:g} mm"
    return None


def _bars(front: Front, at: XZ, forward: float, sizes: Sizes) -> Iterator[Answer]:
    for angle, rise in product(sizes.stem_angles, sizes.rises):
        exact = stem_and_spacers(front, at, rise, forward, angle)
        yield Answer(exact, why_not(exact, sizes), _sold(front, at, exact, sizes.stems, sizes))


def _sweeps(front: Front, at: XZ, stem_angle: float, sizes: Sizes) -> Iterator[Answer]:
    """Yield the backsweeps within those of bars, with spacers in whole steps."""
    if len(sizes.forwards) == 1:
        return
    low, high = min(sizes.forwards), max(sizes.forwards)
    for rise, stem in product(sizes.rises, sizes.stems):
        exact = sweep_and_spacers(front, at, stem, rise, stem_angle)
        if low - _SAME <= exact.forward <= high + _SAME and why_not(exact, sizes) is None:
            yield Answer(exact, None, _sold(front, at, exact, (stem,), sizes))


def _sold(front: Front, at: XZ, bar: Cockpit, stems: Sequence[float], sizes: Sizes) -> Sold:
    return nearest_sold(front, at, bar, stems, sizes.spacer_step, sizes.limit)


def _order(one: Sold) -> tuple[float, ...]:
    set_ = one.cockpit
    return (round(one.miss, 6), set_.rise, set_.forward, set_.stem_angle)


@dataclass(frozen=True, slots=True)
class Range:
    """How far the grips can be moved in one direction, the other held [mm]."""

    least: float
    most: float


def reach_range(front: Front, height: float, present: Cockpit, sizes: Sizes) -> Range | None:
    """Return the grips' least and most reach at a height, with the present backsweep and stem's angle.

    None where no size brings the grips to that height; spacers count as infinitely fine.
    """
    found = []
    for rise, stem in product(sizes.rises, sizes.stems):
        x, z = grips(front, replace(present, stem=stem, spacers=0.0, rise=rise))
        spacers = (height - z) / front.up[1]
        if -_SAME <= spacers <= sizes.limit + _SAME:
            found.append(x + spacers * front.up[0])
    return Range(min(found), max(found)) if found else None
