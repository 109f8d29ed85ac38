"""Dead point: why a linkage cannot be followed any further, and where."""

from __future__ import annotations

import numpy as np

from frame3d.errors import Fault
from frame3d.linkage.mechanism import Mechanism
from frame3d.linkage.mobility import null_space
from frame3d.linkage.trace import Track
from frame3d.spec.models import FrameSpec

_NEAR = 1e-3
"""Singular values this small, as a share of the linkage's size, so near a dead point are its own: they
fall with the square root of the way that is left, which is 1e-9 of the stroke."""


def dead_point(spec: FrameSpec, mechanism: Mechanism, last: Track) -> Fault:
    """The fault at the last pose before a dead point.

    Three kinds. The shock's ends are as near to each other as the links let them: its fault. Pivots
    stand in line so that the links on the shock can go no further, while others still could. Or pivots
    stand in line so that all can go on, in two ways.
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
                f"{at} the linkage locks: its ends come no nearer to each other than "
                f"{mechanism.length - stroke:.2f} mm, however the links move",
                f"a stroke of less than {stroke:.1f} mm, or move an end of the shock",
            )
        in_line = [link for link, s in zip(links, swing, strict=True) if abs(s) > 0.05]
        what = "lock: their pivots stand in line, and they go no further"
    else:
        in_line = list(links)
        what = "may flip over: their pivots stand in line, and they can go on in two ways"
    return spec.fault(
        "mechanism",
        "suspension.links",
        f"{at} {', '.join(in_line)} {what}",
        f"a stroke of less than {stroke:.1f} mm, or move the pivots so that none stand in line",
    )
