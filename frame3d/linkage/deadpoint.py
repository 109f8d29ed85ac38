"""Dead point: why a linkage cannot be followed any further, and where."""

from __future__ import annotations

import numpy as np

from frame3d.errors import Fault
from frame3d.linkage.mechanism import Mechanism
from frame3d.linkage.mobility import null_space
from frame3d.linkage.trace import Track, newton
from frame3d.spec.models import FrameSpec

_NEAR = 1e-3
"""Singular values this small, as a share of the linkage's size, so near a dead point are its own: they
fall with the square root of the way that is left, which is 1e-9 of the stroke."""


def dead_point(spec: FrameSpec, mechanism: Mechanism, last: Track) -> Fault:
    """The fault at the last pose before a dead point.

    Three kinds: the shock's ends are as near to each other as the links let them (the shock is at
    fault); pivots stand in line and the links go no further; or they stand in line and could go on in
    two ways.
    """
    links = mechanism.structure.links
    stroke = float(last.stroke[0])
    pose = np.exp(1j * last.turn[:, 0])
    used = spec.suspension.shock.full_stroke if spec.suspension is not None else stroke
    at = f"at stroke {stroke:.2f} mm of {used:g}"
    free = null_space(mechanism.constraints(pose), mechanism.size, _NEAR)
    if free.shape[1] <= 1:
        return spec.fault(
            "shock",
            "suspension.shock",
            f"{at} the linkage locks: its ends come no nearer to each other than "
            f"{mechanism.length - stroke:.2f} mm, however the links move",
            f"a stroke of less than {stroke:.1f} mm, or move an end of the shock",
        )
    fast = np.abs(last.rate[:, 0])
    in_line = [link for link, f in zip(links, fast, strict=True) if f > 0.05 * fast.max()]
    beyond = np.array([stroke + 1e-4 * used])
    _, goes_on = newton(mechanism, beyond, last.turn + last.rate * 1e-9 * used)
    if goes_on[0]:
        what = "may flip over: their pivots stand in line, and they can go on in two ways"
    else:
        what = "lock: their pivots stand in line, and they go no further"
    return spec.fault(
        "mechanism",
        "suspension.links",
        f"{at} {', '.join(in_line)} {what}",
        f"a stroke of less than {stroke:.1f} mm, or move the pivots so that none stand in line",
    )
