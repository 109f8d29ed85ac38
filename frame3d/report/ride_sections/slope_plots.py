"""The plot of the front wheel's share of the weight over the gradient."""

from __future__ import annotations

from typing import Final

from frame3d.report.drawing.plots import Plot, Series
from frame3d.report.texts import Texts
from frame3d.ride.slopes.of_bike import Slopes
from frame3d.ride.slopes.statics import LIGHT

PLOTTED: Final = ("seated", "forward", "descending")
"""Postures with a curve; standing lies within the band of seated, and is in the tables."""


def slope_plots(slopes: Slopes | None, texts: Texts) -> tuple[Plot, ...]:
    """Return the plot with a band a posture of `PLOTTED`; none without a rider."""
    postures = [] if slopes is None else [one for one in slopes.postures if one.name in PLOTTED]
    if not postures:
        return ()
    return (
        Plot(
            key="front_share",
            title=texts("slopes.share.title"),
            says=texts("slopes.share.says"),
            x_name=texts("slopes.share.x"),
            x_unit="%",
            x=tuple(one.gradient_percent for one in postures[0].gradients),
            y_name=texts("slopes.share.axis"),
            y_unit="%",
            series=tuple(
                Series(
                    texts(f"slopes.share.{posture.name}"),
                    tuple(one.front_share_percent.middle for one in posture.gradients),
                    band=tuple(
                        (one.front_share_percent.low, one.front_share_percent.high)
                        for one in posture.gradients
                    ),
                )
                for posture in postures
            ),
            decimals=0,
            levels=((100 * LIGHT, texts("slopes.share.light")),),
            least_span=50.0,
            from_zero=True,
        ),
    )
