"""The plots of the suspension, and of the figures over fork travel."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from frame3d.bike.travel import TravelAnalysis
from frame3d.geometry.arrays import Array
from frame3d.linkage.curves.curves import Gear
from frame3d.report.drawing.plots import Plot, Series
from frame3d.report.least_spans import LEAST_SPANS
from frame3d.report.texts import Texts

Charts = Sequence[tuple[float, Mapping[str, float | None]]]
"""(travel, chart) along a travel."""


def rear_plots(moving: TravelAnalysis, texts: Texts) -> tuple[Plot, ...]:
    """Return the plots of a rear suspension over its travel."""
    curves, forces = moving.curves, moving.curves.forces
    x = _values(curves.travel)
    marks = []
    if moving.sag is not None:
        marks.append((moving.sag.travel, texts("curve.sag_here")))

    def plot(
        key: str,
        unit: str,
        series: Sequence[Series],
        decimals: int = 1,
        levels: tuple[tuple[float, str], ...] = (),
        *,
        from_zero: bool = False,
    ) -> Plot:
        return Plot(
            key=key,
            title=texts(f"curve.{key}.title"),
            says=texts(f"curve.{key}.says"),
            x_name=texts("curve.x"),
            x_unit="mm",
            x=x,
            y_name=texts(f"curve.{key}.axis"),
            y_unit=unit,
            series=tuple(series),
            decimals=decimals,
            motion="rear",
            marks=tuple(marks),
            levels=levels,
            least_span=LEAST_SPANS[key].span,
            from_zero=from_zero,
        )

    def one(values: Array) -> list[Series]:
        return [Series("", _values(values))]

    out = [plot("leverage", "1", one(curves.leverage), 2)]
    if forces is not None:
        load = moving.sprung.carried
        levels = () if load is None else ((load, texts("curve.load", force=texts.number(load, 0))),)
        out.append(plot("force", "N", one(forces.wheel_force), 0, levels, from_zero=True))
        out.append(plot("rate", "N/mm", one(forces.wheel_rate), 1, from_zero=True))
    gears = _chosen(list(curves.gears.values()))
    if gears:
        for key, unit, field, zero in (
            ("anti_squat", "%", "anti_squat", True),
            ("chain_growth", "mm", "chain_growth", True),
            ("kickback", "degrees", "crank_rotation", True),
            ("kickback_from_sag", "degrees", "crank_rotation_from_sag", False),
        ):
            if getattr(gears[0], field) is None:
                continue
            series = [
                Series(
                    texts("curve.gear", ring=gear.chainring, cog=gear.cog),
                    _values(getattr(gear, field)),
                )
                for gear in gears
            ]
            levels = ((100.0, ""),) if key == "anti_squat" else ()
            out.append(plot(key, unit, series, 1, levels, from_zero=zero))
    out.append(plot("anti_rise", "%", one(curves.anti_rise), 1, ((100.0, ""),), from_zero=True))
    out.append(_axle_path(curves.axle, x, texts))
    charts = list(zip(x, moving.charts, strict=True))
    for key, figure, unit in (
        ("geometry", "head_tube_angle", "degrees"),
        ("bb", "bb_height", "mm"),
    ):
        out.append(plot(key, unit, [_of(charts, figure, "")]))
    return tuple(out)


def _axle_path(axle: Array, travel: tuple[float, ...], texts: Texts) -> Plot:
    """Return the plot of the rear axle's path in the side view.

    Args:
        axle: (n, 2) its x and z [mm].
        travel: (n,) of the rear wheel [mm].
        texts: of the page's language.
    """
    return Plot(
        key="axle",
        title=texts("curve.axle.title"),
        says=texts("curve.axle.says"),
        x_name=texts("curve.axle.x"),
        x_unit="mm",
        x=_values(axle[:, 0] - axle[0, 0]),
        y_name=texts("curve.axle.axis"),
        y_unit="mm",
        series=(Series("", _values(axle[:, 1] - axle[0, 1])),),
        motion="rear",
        over=travel,
        least_span=LEAST_SPANS["axle"].span,
        same_scale=True,
    )


def fork_plots(charts: Charts, sag: float | None, texts: Texts) -> tuple[Plot, ...]:
    """Return the plots of chart figures over fork travel, for bikes sprung only in front."""
    if len(charts) < 2:
        return ()
    out = []
    for key, figures, unit in (
        ("angles", ("head_tube_angle", "effective_seat_tube_angle"), "degrees"),
        ("trail", ("trail", "wheel_flop"), "mm"),
        ("height", ("bb_height",), "mm"),
    ):
        names = [texts(f"figure.{figure}.title") for figure in figures]
        out.append(
            Plot(
                key=f"fork_{key}",
                title=texts(f"fork_curve.{key}.title"),
                says=texts(f"fork_curve.{key}.says"),
                x_name=texts("fork_curve.x"),
                x_unit="mm",
                x=tuple(x for x, _ in charts),
                y_name=names[0] if len(names) == 1 else texts(f"fork_curve.{key}.axis"),
                y_unit=unit,
                series=tuple(
                    _of(charts, figure, name if len(names) > 1 else "")
                    for figure, name in zip(figures, names, strict=True)
                ),
                motion="fork",
                least_span=LEAST_SPANS[f"fork_{key}"].span,
                marks=() if sag is None else ((sag, texts("curve.sag_here")),),
            )
        )
    return tuple(out)


def _of(charts: Charts, figure: str, name: str) -> Series:
    values = [chart[figure] for _, chart in charts]
    return Series(name, tuple(float("nan") if v is None else v for v in values))


def _chosen(gears: Sequence[Gear]) -> list[Gear]:
    """Return the hardest, the middle and the easiest gear."""
    ordered = sorted(gears, key=lambda gear: gear.cog)
    if len(ordered) <= 3:
        return ordered
    return [ordered[0], ordered[len(ordered) // 2], ordered[-1]]


def _values(values: Array) -> tuple[float, ...]:
    return tuple(float(v) for v in values)
