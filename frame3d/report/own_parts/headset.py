"""The headset: where its two bearings sit, in what bores, and how much room they take."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, Literal

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.parameters.models.parts import CupSpec
from frame3d.parameters.sizes import standards
from frame3d.report.data import ReportData
from frame3d.report.outline import Loops
from frame3d.report.own_parts.own_part import Lit, OwnPart, in_one, plain, told
from frame3d.report.side import Side
from frame3d.report.texts import Texts

Which = Literal["upper", "lower"]
BOTH: Final[tuple[Which, Which]] = ("upper", "lower")
FACE: Final = {"upper": "head_tube_top", "lower": "head_tube_bottom"}
"""Node at the head tube's face that an end of the headset sits on."""


def headset(data: ReportData, texts: Texts) -> OwnPart:
    """Return what the headset is and, as far as the file says, the sizes of both ends."""
    chart = data.bike.chart
    length = texts.quantity(chart["head_tube_length"], "mm")
    said = told(
        (
            texts("own_parts.headset.is", length=length),
            in_one([end for which in BOTH if (end := _end(data, which, texts))], texts),
            in_one(list(_stacks(data, texts)), texts),
        )
    )
    solids = tuple(solid for which in BOTH for solid in _solids(data, which))
    faces = tuple(data.side.at(FACE[which]) for which in BOTH if not _cup(data, which))
    return OwnPart("headset", said, Lit((solids,) if solids else (), (), faces))


def _cup(data: ReportData, which: Which) -> standards.Cup | CupSpec | None:
    spec = data.bike.spec.build.headset
    given = None if spec is None else spec.upper if which == "upper" else spec.lower
    return standards.cup(given) if isinstance(given, str) else given


def _end(data: ReportData, which: Which, texts: Texts) -> str | None:
    """Return how one end sits in the head tube, and what it fits; None where the file says nothing."""
    cup = _cup(data, which)
    if cup is None:
        return None
    where = texts(f"own_parts.headset.{which}")
    bore = texts.quantity(cup.bore, "mm", 0 if isinstance(cup, standards.Cup) else 1)
    if isinstance(cup, CupSpec):
        return texts("own_parts.headset.plain", where=where, bore=plain(cup.bore, "mm", texts))
    seat = texts(f"own_parts.headset.kind.{cup.kind}", where=where, bore=bore, code=cup.code)
    if cup.fits is None:
        return seat
    fits = texts(f"own_parts.headset.fits.{which}", size=plain(cup.fits, "mm", texts))
    return texts("own_parts.headset.fitted", said=seat, fits=fits)


def _stacks(data: ReportData, texts: Texts) -> Iterator[str]:
    """Yield how much the ends stand out of the head tube, and what else turns or stops the bar."""
    spec = data.bike.spec.build.headset
    lower = data.bike.chart["lower_headset_stack"]
    if spec is not None and spec.lower_stack is not None and lower:
        yield texts("own_parts.headset.stack", stack=plain(lower, "mm", texts))
    if spec is not None and spec.angle:
        turn = plain(abs(spec.angle), "degrees", texts)
        if spec.angle < 0:
            yield texts("own_parts.headset.slacker", angle=turn)
        else:
            yield texts("own_parts.headset.steeper", angle=turn)
    if spec is not None and spec.stop is not None:
        yield texts("own_parts.headset.stop", stop=plain(spec.stop, "degrees", texts))


def _solids(data: ReportData, which: Which) -> Iterator[Loops]:
    """Yield one end's bore in the head tube, and how far it stands out of it, in the side view."""
    cup, side, spec = _cup(data, which), data.side, data.bike.spec.build.headset
    if cup is None or spec is None:
        return
    out = spec.upper_stack if which == "upper" else side.figure("lower_headset_stack") or 0.0
    way = -1.0 if which == "upper" else 1.0  # out of the head tube, along the steering axis
    yield (_block(side, FACE[which], -way * cup.depth, way * out, cup.bore),)


def _block(side: Side, node: str, first: float, last: float, width: float) -> Array:
    """Return a block about the head tube's axis: from and to along it from a node [mm]."""
    down = _down(side)
    across = np.array([-down[1], down[0]]) * width / 2
    ends = [np.array(side.at(node)) + x * down for x in (first, last)]
    return np.array([ends[0] + across, ends[1] + across, ends[1] - across, ends[0] - across])


def _down(side: Side) -> Array:
    """Return the unit vector down the head tube, which angled cups turn against the steering axis."""
    top, bottom = (np.array(side.at(f"head_tube_{end}")) for end in ("top", "bottom"))
    along: Array = bottom - top
    return along / float(np.linalg.norm(along))
