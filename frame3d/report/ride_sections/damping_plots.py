"""Plots of natural frequency, dampers, and the returns after a hit."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from frame3d.report.drawing.plots import Plot, Series
from frame3d.report.texts import Texts
from frame3d.ride.damping.result import BodyReturn, Damping, EndRide

HIT_TIME: Final = "hit"
"""The motion of the plots of returns: time since the hit [s]."""
NONE: Final = float("nan")


def shown_returns(end: EndRide) -> tuple[BodyReturn, ...]:
    """Return the three returns that are shown: the file's own damper in the middle where it has one."""
    middle = end.return_of("own") or end.return_of("quickest")
    three = (end.return_of("too_little"), middle, end.return_of("too_much"))
    return tuple(one for one in three if one is not None)


def damping_plots(damping: Damping | None, texts: Texts) -> tuple[Plot, ...]:
    """Return the plots, those of returns first; none where nothing is sprung."""
    if damping is None or not damping.ends:
        return ()
    return (
        *(back for end in damping.ends for back in _returns(end, texts)),
        _frequency(damping, texts),
        *(force for end in damping.ends for force in _force(end, texts)),
    )


def _frequency(damping: Damping, texts: Texts) -> Plot:
    """Return the frequency over the share of the travel, front and rear."""
    first = damping.ends[0]
    return Plot(
        key="frequency",
        title=texts("damping.frequency.title"),
        says=texts("damping.frequency.says"),
        x_name=texts("damping.frequency.x"),
        x_unit="%",
        x=tuple(100 * x / first.travel[-1] for x in first.travel),
        y_name=texts("damping.frequency.axis"),
        y_unit="Hz",
        series=tuple(
            Series(
                texts(f"damping.end.{end.end}") if len(damping.ends) > 1 else "",
                tuple(NONE if f is None else f for f in end.frequency_hz),
            )
            for end in damping.ends
        ),
        marks=tuple(
            (100 * end.at_sag.travel / end.travel[-1], texts("curve.sag_here"))
            for end in damping.ends[:1]
            if len(damping.ends) == 1
        ),
        least_span=1.0,
        from_zero=True,
    )


def _force(end: EndRide, texts: Texts) -> Iterator[Plot]:
    """Yield the damper's force over the speed of its shaft, where the file gives one."""
    own = end.damper
    if own is None:
        return
    laws = (("rebound", own.rebound), ("compression", own.compression))
    given = [(name, law) for name, law in laws if law is not None]
    axis = texts("damping.force.axis")
    if len(given) == 1:  # a curve alone bears no name of its own
        axis = f"{axis}, {texts(f'damping.force.{given[0][0]}').lower()}"
    yield Plot(
        key=f"damper_{end.end}",
        title=texts("damping.force.title", end=texts(f"damping.end.{end.end}").lower()),
        says=texts("damping.force.says", shaft=texts(f"damping.shaft.{end.end}")),
        x_name=texts("damping.force.x"),
        x_unit="m/s",
        x=own.speed_m_s,
        y_name=axis,
        y_unit="N",
        series=tuple(Series(texts(f"damping.force.{name}"), law.force_n) for name, law in given),
        decimals=0,
        least_span=100.0,
        from_zero=True,
    )


def _returns(end: EndRide, texts: Texts) -> Iterator[Plot]:
    """Yield the body's height over its rest after a hit, with three dampings."""
    shown = shown_returns(end)
    if not shown:
        return
    rest = end.at_sag.travel
    yield Plot(
        key=f"return_{end.end}",
        title=texts("damping.back.title", end=texts(f"damping.end.{end.end}").lower()),
        says=texts("damping.back.says"),
        x_name=texts("damping.back.x"),
        x_unit="s",
        x=end.time_s,
        y_name=texts("damping.back.axis"),
        y_unit="mm",
        series=tuple(
            Series(texts(f"damping.moving.{one.kind}.title"), tuple(rest - x for x in one.travel))
            for one in shown
        ),
        decimals=0,
        motion=HIT_TIME,
        levels=((0.0, ""),),
        least_span=50.0,
    )
