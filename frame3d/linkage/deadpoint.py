r"""Explain why a linkage cannot be followed any further, and where.

At a dead point two bars that meet at a pivot stand in line:

      a o------o------o c         the bars a-b and b-c are stretched out (or folded onto each other)
               b
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations, product

import numpy as np

from frame3d.errors import Fault
from frame3d.geometry.arrays import Complex
from frame3d.linkage.mechanism import Mechanism
from frame3d.linkage.mobility import null_space
from frame3d.linkage.trace import LinkageTrack
from frame3d.parameters.models.frame import FrameSpec

_NEAR = 1e-3
"""Singular values below this share of the linkage's size count as zero. The last pose is 1e-9 of the
stroke before the dead point, and singular values fall with the square root of what is left."""


NEARLY = 0.02
"""Three points stand in line where the sine of the angle between the two bars is below this."""


def dead_point(spec: FrameSpec, mechanism: Mechanism, last: LinkageTrack) -> Fault:
    """Return the fault that explains a dead point.

    One of three: the shock's ends are as near to each other as the links allow; pivots stand in line and
    the links that move the shock lock; or pivots stand in line and the links can go on in two ways.

    Args:
        spec: for the names of links and points.
        mechanism: the linkage.
        last: the last pose before the dead point.
    """
    links = mechanism.structure.links
    stroke = float(last.stroke[0])
    pose = last.turned[:, 0]
    used = spec.suspension.shock.full_stroke if spec.suspension is not None else stroke
    at = f"at stroke {stroke:.2f} mm of {used:g}"
    free = null_space(mechanism.constraints(pose), mechanism.size, _NEAR)
    if free.shape[1] == 1:
        swing = free[:, 0]
        swept = abs((mechanism.shock.arms[0] * 1j * pose) @ swing)
        if swept > _NEAR * mechanism.size * np.abs(swing).max():
            return spec.fault(
                "shock",
                "suspension.shock",
                f"{at} the linkage locks{_said(in_line(spec, mechanism, pose, shock=True))}: its ends "
                f"come no nearer to each other than {mechanism.length - stroke:.2f} mm, however the "
                "links move",
                f"a stroke of less than {stroke:.1f} mm, or move an end of the shock",
            )
        stuck = [link for link, s in zip(links, swing, strict=True) if abs(s) > 0.05]
        what = "lock: {}, and they go no further"
    else:
        stuck = list(links)
        what = "may flip over: {}, and they can go on in two ways"
    named = in_line(spec, mechanism, pose)
    row = "their pivots stand in line" if named is None else f"{_and(named)} stand in line"
    return spec.fault(
        "mechanism",
        "suspension.links",
        f"{at} {', '.join(stuck)} {what.format(row)}",
        f"a stroke of less than {stroke:.1f} mm, or move the pivots so that none stand in line",
    )


def in_line(
    spec: FrameSpec, mechanism: Mechanism, pose: Complex, *, shock: bool = False
) -> tuple[str, str, str] | None:
    """Return the three joints that stand most nearly in line: a pivot and one joint of either bar on it.

    Args:
        spec: for the names of links and points.
        mechanism: the linkage.
        pose: exp(i·θ), (links,).
        shock: True: one of the two bars is the shock; False: neither is.

    Returns:
        their names in the order in which they stand on the line; None where no three stand in line
        within `NEARLY`.
    """
    assert spec.suspension is not None
    bars = [(body, tuple(points)) for body, points in spec.suspension.links.items()]
    at: dict[str, complex] = {}
    for body, points in bars:
        for point in points:
            row = mechanism.on(body, mechanism.drawn[point])
            at[point] = complex(row.at(pose[:, None])[0, 0])
    ends = tuple(point for point, _ in mechanism.structure.shock)
    joints = {p for p in at if p in ends or sum(p in points for _, points in bars) > 1}
    groups = [points for _, points in bars]
    ways = [(ends, own) for own in groups] if shock else list(combinations(groups, 2))
    best, found = NEARLY, None
    for first, second in ways:
        for middle in (p for p in first if p in second and p in joints):
            for a, c in product(first, second):
                if len({a, middle, c}) < 3 or not {a, c} <= joints:
                    continue
                u, v = at[a] - at[middle], at[c] - at[middle]
                bend = abs((u * v.conjugate()).imag) / max(abs(u) * abs(v), 1e-12)
                if bend < best:
                    x, y, z = sorted((a, middle, c), key=lambda p: (at[p] * u.conjugate()).real)
                    best, found = bend, (x, y, z)
    return found


def _and(names: Sequence[str]) -> str:
    return f"{', '.join(names[:-1])} and {names[-1]}"


def _said(named: tuple[str, str, str] | None) -> str:
    return "" if named is None else f", {_and(named)} in line"
