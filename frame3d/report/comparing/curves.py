"""Curves of several bikes in one plot each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import nan

import numpy as np

from frame3d.report.comparing.data import Comparison
from frame3d.report.curves import fork_plots, rear_plots
from frame3d.report.data import fork_charts
from frame3d.report.drawing.plots import Plot, Series
from frame3d.report.scene import sags
from frame3d.report.texts import Texts

POINTS = 71
"""Number of points of a curve."""


def curves(comparison: Comparison, texts: Texts) -> tuple[Plot, ...]:
    """Return a plot for each curve, with one line a bike; where several gears are known, the middle one.

    Rear suspensions over their travel where any bike has one, else the figures over the forks' travel.
    """
    sprung = [one.travel is not None for one in comparison.measured]
    own: list[Sequence[Plot]] = []
    for member, one in zip(comparison.members, comparison.measured, strict=True):
        if one.travel is not None:
            own.append(rear_plots(one.travel, texts))
        elif any(sprung):
            own.append(())
        else:
            fork = sags(one.scene).get("fork")
            own.append(fork_plots(fork_charts(member.bike), fork, texts))
    keys = dict.fromkeys(plot.key for plots in own for plot in plots if not plot.over)
    made = [_together(key, comparison.labels, own, texts) for key in keys]
    return tuple(plot for plot in made if len(plot.series) > 1)


def _together(key: str, labels: Sequence[str], own: Sequence[Sequence[Plot]], texts: Texts) -> Plot:
    """Return the plots of one key as one, each bike's line with its label."""
    found = [(i, plot) for i, plots in enumerate(own) for plot in plots if plot.key == key]
    first = found[0][1]
    x = np.linspace(0.0, max(plot.x[-1] for _, plot in found), POINTS)
    lines = [Series(labels[i], _sampled(plot, x), i) for i, plot in found]
    return replace(
        first,
        says=texts.get(f"comparing.says.{key}") or first.says,
        x=tuple(float(v) for v in x),
        series=tuple(lines),
        marks=(),
        levels=tuple(level for level in first.levels if level[0] == 100.0),
    )


def _sampled(plot: Plot, x: np.ndarray[tuple[int], np.dtype[np.float64]]) -> tuple[float, ...]:
    """Return the plot's middle line at other places; not a number beyond its own end."""
    values = plot.series[0 if plot.key.startswith("fork_") else len(plot.series) // 2].values
    end = plot.x[-1] + 1e-9
    at = np.interp(x, plot.x, values)
    return tuple(float(y) if place <= end else nan for place, y in zip(x, at, strict=True))
