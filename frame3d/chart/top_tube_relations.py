r"""Relations of a straight top tube: its ends on seat tube and head tube, and both standovers.

Side view, with the ends p and q of the top tube's axis:

                              . q
                     .  '       \
            .  '  |              \ head tube
        p .       | standover_mid_tube: over the middle of the axis
           \      |
            \     |
             \ seat tube
              \
               o bottom bracket; standover: straight over it, at x = 0
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from frame3d.chart.relations import MINUS, ONE, Relation, Term, Values
from frame3d.geometry.arrays import Array
from frame3d.parameters.models.figures import STANDOVERS


@dataclass(frozen=True)
class TopTube:
    """A straight top tube of constant height between seat tube and head tube."""

    radius: float
    """Half its outer height [mm]."""
    seat_by: Literal["below_top", "above_bottom", "angle"]
    """How its end on the seat tube is placed."""
    seat_value: float
    """Distance [mm] or angle [rad]."""
    head_by: Literal["below_top", "above_bottom", "angle"]
    """How its end on the head tube is placed."""
    head_value: float
    """Distance [mm] or angle [rad]."""


Pair = tuple[Array, Array]

JOINTS = ("top_tube_at_seat", "top_tube_at_head")
"""Variables of the top tube's ends: along the seat tube and along the head tube. Fixed once built."""
_MOVERS = (
    "seat_tube_offset",
    "top_tube_at_seat",
    "actual_seat_tube_angle",
    "reach",
    "stack",
    "top_tube_at_head",
    "head_tube_angle",
    "cup_angle",
)
"""Variables that move an end of the top tube: the keys of `_end_partials`."""


def _ends(v: Values) -> tuple[Pair, Pair]:
    """Return the ends of the top tube's axis, on seat tube and head tube: ((x, z), (x, z)) [mm]."""
    s, c = v.sin("actual_seat_tube_angle"), v.cos("actual_seat_tube_angle")
    d, p, q = v["seat_tube_offset"], v["top_tube_at_seat"], v["top_tube_at_head"]
    seat = (d * s - p * c, d * c + p * s)
    head = (v["reach"] + q * v.cos("tube"), v["stack"] - q * v.sin("tube"))
    return seat, head


def _end_partials(v: Values) -> dict[str, tuple[Pair, Pair]]:
    """Return the derivative of both ends by each variable of `_MOVERS`."""
    s, c = v.sin("actual_seat_tube_angle"), v.cos("actual_seat_tube_angle")
    ts, tc = v.sin("tube"), v.cos("tube")
    d, p, q = v["seat_tube_offset"], v["top_tube_at_seat"], v["top_tube_at_head"]
    zero = np.zeros_like(p)
    still: Pair = (zero, zero)
    return {
        "seat_tube_offset": ((s, c), still),
        "top_tube_at_seat": ((-c, s), still),
        "actual_seat_tube_angle": ((d * c + p * s, -d * s + p * c), still),
        "reach": (still, (zero + 1, zero)),
        "stack": (still, (zero, zero + 1)),
        "top_tube_at_head": (still, (tc, -ts)),
        "head_tube_angle": (still, (-q * ts, -q * tc)),
        "cup_angle": (still, (q * ts, q * tc)),
    }


def _standover(radius: float, figure: str) -> Relation:
    """Return the relation of `standover` or `standover_mid_tube`: height of the tube's upper edge.

    The axis p + t·(q - p) is at x = 0 where t = -px/dx, and at its middle where t = 1/2. The upper edge
    of a tube of constant height is radius/cos(slope) vertically above the axis.
    """
    mid = figure == "standover_mid_tube"

    def residual(v: Values) -> Array:
        (px, pz), (qx, qz) = _ends(v)
        dx, dz = qx - px, qz - pz
        t = 0.5 if mid else -px / dx
        return np.asarray(v["bb_height"] + pz + t * dz + radius * np.hypot(dx, dz) / dx - v[figure])

    def partial(name: str) -> Term:
        def term(v: Values) -> Array:
            (px, pz), (qx, qz) = _ends(v)
            dx, dz = qx - px, qz - pz
            (pxd, pzd), (qxd, qzd) = _end_partials(v)[name]
            dxd, dzd = qxd - pxd, qzd - pzd
            long = np.hypot(dx, dz)
            # d(long/dx) = (dx·dxd + dz·dzd)/(long·dx) - long·dxd/dx²
            slope = (dx * dxd + dz * dzd) / (long * dx) - long * dxd / dx**2
            t, td = (0.5, 0.0) if mid else (-px / dx, (px * dxd - pxd * dx) / dx**2)
            return np.asarray(pzd + t * dzd + td * dz + radius * slope)

        return term

    place = "at its middle" if mid else "over the bottom bracket"
    return Relation(
        figure,
        f"{figure} = bb_height + height of the top tube's axis {place} + radius/cos(slope)",
        residual,
        {figure: MINUS, "bb_height": ONE, **{name: partial(name) for name in _MOVERS}},
        frozenset({figure, "bb_height"}),
    )


def _top_tube_angle(at: Literal["seat", "head"], angle: float) -> Relation:
    """Return the relation of a given angle [rad] at one of the top tube's ends.

    It is the angle between the direction from that end along the top tube, and the joint tube's axis
    upward.
    """
    cosine = float(np.cos(angle))
    axis = "actual_seat_tube_angle" if at == "seat" else "tube"
    sign = 1.0 if at == "seat" else -1.0
    turn = (
        {"actual_seat_tube_angle": 1.0}
        if at == "seat"
        else {"head_tube_angle": 1.0, "cup_angle": -1.0}
    )

    def residual(v: Values) -> Array:
        (px, pz), (qx, qz) = _ends(v)
        dx, dz = sign * (qx - px), sign * (qz - pz)
        return np.asarray(-dx * v.cos(axis) + dz * v.sin(axis) - cosine * np.hypot(dx, dz))

    def partial(name: str) -> Term:
        def term(v: Values) -> Array:
            (px, pz), (qx, qz) = _ends(v)
            dx, dz = sign * (qx - px), sign * (qz - pz)
            (pxd, pzd), (qxd, qzd) = _end_partials(v)[name]
            dxd, dzd = sign * (qxd - pxd), sign * (qzd - pzd)
            out = -dxd * v.cos(axis) + dzd * v.sin(axis)
            out = out - cosine * (dx * dxd + dz * dzd) / np.hypot(dx, dz)
            if name in turn:
                out = out + turn[name] * (dx * v.sin(axis) + dz * v.cos(axis))
            return np.asarray(out)

        return term

    return Relation(
        f"angle of the top tube at the {at} tube",
        f"the stated angle at the {at} tube",
        residual,
        {name: partial(name) for name in _MOVERS},
    )


def top_tube_relations(top: TopTube) -> tuple[Relation, ...]:
    """Return the relations of the top tube's ends and of both standovers.

    They add the variables ``top_tube_at_seat`` (up the seat tube's axis from the foot of the bottom
    bracket on it) and ``top_tube_at_head`` (down the head tube's axis from its top).
    """
    p = {
        "below_top": Relation(
            "top tube on the seat tube",
            "top_tube_at_seat = seat_tube_length - below_top",
            lambda v: v["top_tube_at_seat"] + top.seat_value - v["seat_tube_length"],
            {"top_tube_at_seat": ONE, "seat_tube_length": MINUS},
            frozenset({"top_tube_at_seat", "seat_tube_length"}),
        ),
        "above_bottom": Relation(
            "top tube on the seat tube",
            "top_tube_at_seat = above_bottom",
            lambda v: v["top_tube_at_seat"] - top.seat_value,
            {"top_tube_at_seat": ONE},
            frozenset({"top_tube_at_seat"}),
        ),
    }
    q = {
        "below_top": Relation(
            "top tube on the head tube",
            "top_tube_at_head = below_top",
            lambda v: v["top_tube_at_head"] - top.head_value,
            {"top_tube_at_head": ONE},
            frozenset({"top_tube_at_head"}),
        ),
        "above_bottom": Relation(
            "top tube on the head tube",
            "top_tube_at_head = head_tube_length - above_bottom",
            lambda v: v["top_tube_at_head"] + top.head_value - v["head_tube_length"],
            {"top_tube_at_head": ONE, "head_tube_length": MINUS},
            frozenset({"top_tube_at_head", "head_tube_length"}),
        ),
    }
    return (
        _top_tube_angle("seat", top.seat_value) if top.seat_by == "angle" else p[top.seat_by],
        _top_tube_angle("head", top.head_value) if top.head_by == "angle" else q[top.head_by],
        *(_standover(top.radius, figure) for figure in STANDOVERS),
    )
