"""Plots over the bar angle: how far the front goes down, and how strongly turned bars fall in."""

from __future__ import annotations

from typing import Final

from frame3d.report.drawing.plots import Plot, Series
from frame3d.report.texts import Texts
from frame3d.ride.steering.of_bike import MOST, SteeringFigures

NAMED: Final = 0.9
"""Share of the plot up to which there is room for the name of a mark."""


def steering_plots(figures: SteeringFigures | None, texts: Texts) -> tuple[Plot, ...]:
    """Return the plots over the bar angle: drop of the front, torque of bars that fall in."""
    if figures is None:
        return ()
    most = min(figures.stop_angle, MOST)
    count = max(2, round(most / 2) + 1)
    angles = tuple(most * i / (count - 1) for i in range(count))
    own = figures.ridden
    turned = [own.at(angle) for angle in angles]
    torques = [t.falling_in_nm for t in turned if t.falling_in_nm is not None]
    marks: tuple[tuple[float, str], ...] = ()
    if own.lowest_angle is not None and own.lowest_angle <= NAMED * most:
        marks = ((own.lowest_angle, texts("steers.plot.lowest")),)

    def plot(key: str, unit: str, values: list[float], least: float) -> Plot:
        return Plot(
            key=f"steers_{key}",
            title=texts(f"steers.plot.{key}.title"),
            says=texts(f"steers.plot.{key}.says"),
            x_name=texts("steers.plot.x"),
            x_unit="degrees",
            x=angles,
            y_name=texts(f"steers.plot.{key}.axis"),
            y_unit=unit,
            series=(Series("", tuple(values)),),
            motion="steer",
            marks=marks,
            least_span=least,
            from_zero=True,
        )

    made = [plot("drop", "mm", [t.drop for t in turned], 10.0)]
    if torques:
        made.append(plot("falls_in", "N·m", torques, 5.0))
    return tuple(made)
