"""What each curve says of the ride, in words, by thresholds that the page states."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np

from frame3d.report.drawing.plots import Plot

WORDS: Final = ("low", "middle", "high")
"""Keys of the words of a verdict, below `verdict.<plot>`."""


@dataclass(frozen=True)
class Bands:
    """A figure of a curve, and the two limits between its three words. Common practice, no source."""

    figure: Callable[[Plot], float]
    unit: str
    limits: tuple[float, float]
    decimals: int = 0


@dataclass(frozen=True)
class Verdict:
    """One curve's verdict."""

    word: str
    """One of `WORDS`."""
    value: float
    """The figure that carries it."""
    bands: Bands


def _first(plot: Plot) -> float:
    return plot.series[0].values[0]


def _last(plot: Plot) -> float:
    return plot.series[0].values[-1]


def _middle(plot: Plot) -> int:
    return len(plot.series) // 2


def _resting(plot: Plot) -> float:
    """Return where the bike rests: sag, else a third of the travel."""
    return plot.marks[0][0] if plot.marks else plot.x[0] + (plot.x[-1] - plot.x[0]) / 3


def _at_rest(plot: Plot, series: int = 0) -> float:
    return float(np.interp(_resting(plot), plot.x, plot.series[series].values))


def _change(plot: Plot) -> float:
    return _last(plot) - _first(plot)


def _falls(plot: Plot) -> float:
    """Return how much less the curve ends than it starts [%]."""
    return 100 * (1 - _last(plot) / _first(plot))


def _over_rest(plot: Plot) -> float:
    """Return the curve's end over its value at rest; infinite where that is nothing."""
    rest = _at_rest(plot)
    return _last(plot) / rest if rest > 0 else math.inf


def _largest(plot: Plot) -> float:
    """Return the largest value of any curve."""
    return max(max(series.values) for series in plot.series)


BANDS: Final[Mapping[str, Bands]] = {
    "leverage": Bands(_falls, "%", (5.0, 20.0)),
    "force": Bands(_over_rest, "1", (3.0, 5.0), 1),
    "rate": Bands(_over_rest, "1", (1.2, 2.0), 1),
    "anti_squat": Bands(lambda plot: _at_rest(plot, _middle(plot)), "%", (80.0, 120.0)),
    "chain_growth": Bands(_largest, "mm", (15.0, 35.0)),
    "kickback": Bands(_largest, "degrees", (15.0, 30.0)),
    "kickback_from_sag": Bands(_largest, "degrees", (10.0, 20.0)),
    "anti_rise": Bands(_at_rest, "%", (50.0, 100.0)),
    "axle": Bands(lambda plot: -min(plot.x), "mm", (1.0, 10.0), 1),
    "geometry": Bands(_change, "degrees", (-0.5, 0.5), 1),
    "bb": Bands(_last, "mm", (190.0, 230.0)),
    "fork_angles": Bands(_change, "degrees", (3.0, 6.0), 1),
    "fork_trail": Bands(_last, "mm", (50.0, 80.0)),
    "fork_height": Bands(_last, "mm", (190.0, 230.0)),
}
"""By key of the plot: the figure that its verdict is taken from, and its limits."""


def verdict(plot: Plot) -> Verdict | None:
    """Return a curve's verdict; None where its figure is not known."""
    bands = BANDS[plot.key]
    value = bands.figure(plot)
    if not math.isfinite(value):
        return None
    # Judged as it is shown, so that figure and word never contradict each other.
    shown = round(value, bands.decimals)
    return Verdict(WORDS[sum(shown >= limit for limit in bands.limits)], value, bands)
