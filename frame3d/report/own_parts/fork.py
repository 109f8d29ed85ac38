"""The fork: its travel and sag, its length and offset, its spring and damper."""

from __future__ import annotations

from collections.abc import Iterator

from frame3d.parameters.models.fork import ForkSpec
from frame3d.report.data import ReportData
from frame3d.report.own_parts.own_part import Lit, OwnPart, plain, told
from frame3d.report.own_parts.springs_and_dampers import damper_as_given, spring_of
from frame3d.report.texts import Texts
from frame3d.ride.springs.set_up import EndSetUp

LOWER = frozenset({"fork_lower_left", "fork_lower_right", "fork_arch", "fork_axle"})
"""Its parts that move up with the wheel."""


def fork(data: ReportData, texts: Texts) -> OwnPart:
    """Return what the fork does, and its figures as far as the file gives them."""
    spec = data.bike.spec.build.fork
    said = told((texts("own_parts.fork.is"), *_travels(data, spec, texts), _sizes(data, texts)))
    names = {o.name for o in data.side.outlines if o.family == "fork"}
    moves = LOWER if data.bike.fork is None else frozenset[str]()
    solids = [data.side.solids(group) for group in (names - moves, names & moves)]
    lit = Lit(tuple(area for area in solids if area))
    if not names:
        lit = Lit(lines=(data.side.fork_line,))
    lighter = texts("own_parts.fork.lighter") if len(lit.areas) == 2 else None
    return OwnPart("fork", said, lit, lighter, tuple(_inside(data, spec, texts)))


def _travels(data: ReportData, spec: ForkSpec | None, texts: Texts) -> Iterator[str]:
    """Yield travel and sag; or that the fork is rigid, where the file says so."""
    if spec is None:
        return
    if spec.rigid:
        yield texts("own_parts.fork.rigid")
    if spec.travel == 0:
        return
    yield texts("own_parts.fork.travel", travel=plain(spec.travel, "mm", texts))
    end = _end(data)
    sag = data.sags.get("fork") if end is None or end.sag is None else end.sag.stroke
    if sag is not None:
        yield texts(
            "own_parts.fork.sag",
            sag=plain(sag, "mm", texts),
            share=texts.quantity(100 * sag / spec.travel, "%", 0),
        )


def _sizes(data: ReportData, texts: Texts) -> str:
    chart = data.bike.chart
    return texts(
        "own_parts.fork.sizes",
        length=texts.quantity(chart["fork_axle_to_crown"], "mm"),
        offset=texts.quantity(chart["fork_offset"], "mm"),
        angle=texts.quantity(chart["head_tube_angle"], "degrees"),
        trail=texts.quantity(chart["trail"], "mm"),
    )


def _end(data: ReportData) -> EndSetUp | None:
    """Return the fork's spring under its rider; None where the file gives none."""
    return None if data.ride.springs is None else data.ride.springs.fork


def _inside(data: ReportData, spec: ForkSpec | None, texts: Texts) -> Iterator[tuple[str, str]]:
    if spec is None:
        return
    end = _end(data)
    if end is not None and spec.spring is not None:
        yield texts("own_parts.spring.title"), spring_of(end, spec.spring, texts)
    if spec.damper is not None:
        yield texts("own_parts.damper.title"), damper_as_given(spec.damper, texts)
