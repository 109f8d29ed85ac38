"""The plot of the front wheel's share of the weight over the gradient."""

from __future__ import annotations

from frame3d.report.drawing.plots import Plot, Series
from frame3d.report.texts import Texts
from frame3d.ride.slopes.of_bike import Slopes
from frame3d.ride.slopes.statics import LIGHT


def slope_plots(slopes: Slopes | None, texts: Texts) -> tuple[Plot, ...]:
    """Return the plot with a band a posture; none without a rider."""
    if slopes is None or not slopes.postures:
        return ()
    return (
        Plot(
            key="front_share",
            title=texts("slopes.share.title"),
            says=texts("slopes.share.says"),
            x_name=texts("slopes.share.x"),
            x_unit="%",
            x=tuple(one.gradient_percent for one in slopes.postures[0].gradients),
            y_name=texts("slopes.share.axis"),
            y_unit="%",
            series=tuple(
                Series(
                    texts(f"slopes.{posture.name}"),
                    tuple(one.front_share_percent.middle for one in posture.gradients),
                    band=tuple(
                        (one.front_share_percent.low, one.front_share_percent.high)
                        for one in posture.gradients
                    ),
                )
                for posture in slopes.postures
            ),
            decimals=0,
            levels=((100 * LIGHT, texts("slopes.share.light")),),
            least_span=50.0,
            from_zero=True,
        ),
    )
