"""Bikes whose parts are explained, each solved once a process; all invented."""

from __future__ import annotations

from functools import cache

from frame3d.bike.solve import solve
from frame3d.bike.travel import over_travel
from frame3d.parameters.reading.reader import load
from frame3d.report.data import ReportData
from frame3d.report.own_parts.own_part import OwnPart
from tests.report.samples import CONFIGS, bare


@cache
def demo(name: str, *sets: str) -> ReportData:
    """A demo with changes, neither checked nor meshed."""
    bike = solve(load(CONFIGS / f"{name}.yaml", sets=sets))
    return bare(bike, travelled=None if bike.linkage is None else over_travel(bike, 3))


def said(part: OwnPart | None) -> str:
    """All sentences of a part."""
    assert part is not None
    return " ".join((*part.sentences, *(f"{name}: {words}" for name, words in part.inside)))
