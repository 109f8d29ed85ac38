"""The plots of springs: wheel force over the travel, by volume reducers."""

from __future__ import annotations

from collections.abc import Sequence

from frame3d.report.drawing.plots import Plot, Series
from frame3d.report.least_spans import LEAST_SPANS
from frame3d.report.texts import Texts
from frame3d.ride.springs.of_bike import Springs
from frame3d.ride.springs.reducers import ForceCurve
from frame3d.ride.springs.set_up import EndSetUp

MOTIONS = {"rear": "rear", "fork": "fork"}
"""The motion of the page whose value is the travel of an end's spring."""


def spring_plots(springs: Springs | None, texts: Texts) -> tuple[Plot, ...]:
    """Return a plot for each spring; none where the file gives no spring."""
    return () if springs is None else tuple(_plot(end, texts) for end in springs.ends if end.curves)


def shown_curves(curves: Sequence[ForceCurve]) -> tuple[ForceCurve, ...]:
    """Return at most three curves: with no reducer, with those fitted (else half), with the most."""
    if len(curves) <= 3:
        return tuple(curves)
    inner = [curve for curve in curves[1:-1] if curve.fitted]
    middle = inner[0] if inner else curves[len(curves) // 2]
    return (curves[0], middle, curves[-1])


def _plot(end: EndSetUp, texts: Texts) -> Plot:
    curves = shown_curves(end.curves)
    travel = curves[0].travel
    along = end.full_stroke / end.full_travel if end.end == "fork" else 1.0
    own = next((row for row in end.rows if row.own), None)
    key = f"springs_{end.end}"
    return Plot(
        key=key,
        title=texts("springs.plot.title", end=texts(f"springs.{end.end}.title")),
        says=texts("springs.plot.says"),
        x_name=texts("springs.plot.x"),
        x_unit="mm",
        x=travel,
        y_name=texts("springs.plot.axis"),
        y_unit="N",
        series=tuple(Series(_named(curve, texts), curve.wheel_force_n) for curve in curves),
        decimals=0,
        motion=MOTIONS[end.end],
        marks=() if end.sag is None else ((end.sag.travel, texts("curve.sag_here")),),
        levels=() if own is None else ((own.load_n, ""),),
        least_span=LEAST_SPANS["force"].span,
        from_zero=True,
        over=tuple(along * x for x in travel),
    )


def _named(curve: ForceCurve, texts: Texts) -> str:
    if curve.reducer_count is None:
        return ""
    if curve.reducer_count == 0:
        return texts("springs.plot.none")
    if curve.reducer_count == 1:
        return texts("springs.plot.one")
    return texts("springs.plot.some", count=curve.reducer_count)
