"""The named relations between chart figures: one residual each, with its exact derivatives.

Side view from the rider's right, origin at the bottom bracket, x forward, z up. Symbols used below:

    H  head_tube_angle (steering axis)     d = (cos H, -sin H) down the axis, n = (sin H, cos H) forward
    T  head_tube_angle - cup_angle         the head tube's own axis; T = H without angle-adjusting cups
    B  actual_seat_tube_angle              u = (-cos B, sin B) up the seat tube, m = (sin B, cos B)
    E  effective_seat_tube_angle

Every relation is a plane-trigonometry identity of these vectors, derived here. Inside this module
angles are in radians; lengths in mm; every residual is in mm.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

ANGLES = frozenset(
    {
        "head_tube_angle",
        "effective_seat_tube_angle",
        "actual_seat_tube_angle",
        "cup_angle",
        "pitch",
    }
)
"""Variables held in radians; all others are in mm."""


class Values:
    """Values of variables: name -> array, all of one shape (k,); sines and cosines are kept."""

    def __init__(self, start: Mapping[str, Array]) -> None:
        self._value: dict[str, Array] = dict(start)
        self._sin: dict[str, Array] = {}
        self._cos: dict[str, Array] = {}

    def __getitem__(self, name: str) -> Array:
        return self._value[name]

    def __setitem__(self, name: str, value: Array) -> None:
        self._value[name] = value
        self._sin.pop(name, None)
        self._cos.pop(name, None)
        if name in ("head_tube_angle", "cup_angle"):
            self._sin.pop("tube", None)
            self._cos.pop("tube", None)

    def __contains__(self, name: str) -> bool:
        return name in self._value

    def items(self) -> Iterable[tuple[str, Array]]:
        """(name, value) pairs."""
        return self._value.items()

    def copy(self) -> Values:
        """A copy that may be changed on its own."""
        return Values(self._value)

    def angle(self, name: str) -> Array:
        """An angle; ``tube`` is the head tube's own, without its angle-adjusting cups."""
        if name == "tube":
            return self._value["head_tube_angle"] - self._value["cup_angle"]
        return self._value[name]

    def sin(self, name: str) -> Array:
        """Sine of an angle."""
        if name not in self._sin:
            self._sin[name] = np.sin(self.angle(name))
        return self._sin[name]

    def cos(self, name: str) -> Array:
        """Cosine of an angle."""
        if name not in self._cos:
            self._cos[name] = np.cos(self.angle(name))
        return self._cos[name]


Term = Callable[[Values], Array | float]


@dataclass(frozen=True)
class Relation:
    """One equation ``residual(values) = 0`` with the partial derivative for each of its variables."""

    name: str
    formula: str
    residual: Callable[[Values], Array]
    partials: Mapping[str, Term]
    linear: frozenset[str] = field(default_factory=frozenset)
    """Variables in which the residual is linear, so that one Newton step lands exactly."""


def _constant(value: float) -> Term:
    return lambda _: value


ONE, MINUS = _constant(1.0), _constant(-1.0)


def _linear(name: str, formula: str, **factors: float) -> Relation:
    """A sum of variables with constant factors."""

    def residual(v: Values) -> Array:
        total: Array | float = 0.0
        for key, factor in factors.items():
            total = total + factor * v[key]
        return np.asarray(total)

    partials = {key: _constant(factor) for key, factor in factors.items()}
    return Relation(name, formula, residual, partials, frozenset(factors))


def _distance(name: str, formula: str, whole: str, a: str, b: str) -> Relation:
    """Whole = √(a² + b²), for positive lengths."""
    return Relation(
        name,
        formula,
        lambda v: np.hypot(v[a], v[b]) - v[whole],
        {
            whole: MINUS,
            a: lambda v: v[a] / np.hypot(v[a], v[b]),
            b: lambda v: v[b] / np.hypot(v[a], v[b]),
        },
        frozenset({whole}),
    )


def _below_tube_middle(v: Values) -> Array:
    """Along the steering axis from the middle of the head tube to the front axle's foot."""
    return v["head_tube_length"] / 2 + v["lower_headset_stack"] + v["fork_axle_to_crown"]


FRONT_AXLE_X = Relation(
    "front axle, forward",
    "front_axle_x = reach + L/2·cos T + (L/2 + lower_headset_stack + fork_axle_to_crown)·cos H "
    "+ fork_offset·sin H, L = head_tube_length",
    lambda v: (
        v["reach"]
        + v["head_tube_length"] / 2 * v.cos("tube")
        + _below_tube_middle(v) * v.cos("head_tube_angle")
        + v["fork_offset"] * v.sin("head_tube_angle")
        - v["front_axle_x"]
    ),
    {
        "reach": ONE,
        "front_axle_x": MINUS,
        "head_tube_length": lambda v: (v.cos("tube") + v.cos("head_tube_angle")) / 2,
        "lower_headset_stack": lambda v: v.cos("head_tube_angle"),
        "fork_axle_to_crown": lambda v: v.cos("head_tube_angle"),
        "fork_offset": lambda v: v.sin("head_tube_angle"),
        "head_tube_angle": lambda v: (
            -v["head_tube_length"] / 2 * v.sin("tube")
            - _below_tube_middle(v) * v.sin("head_tube_angle")
            + v["fork_offset"] * v.cos("head_tube_angle")
        ),
        "cup_angle": lambda v: v["head_tube_length"] / 2 * v.sin("tube"),
    },
    frozenset(
        {
            "reach",
            "front_axle_x",
            "head_tube_length",
            "lower_headset_stack",
            "fork_axle_to_crown",
            "fork_offset",
        }
    ),
)

FRONT_AXLE_Z = Relation(
    "front axle, upward",
    "front_axle_z = stack - L/2·sin T - (L/2 + lower_headset_stack + fork_axle_to_crown)·sin H "
    "+ fork_offset·cos H, L = head_tube_length",
    lambda v: (
        v["stack"]
        - v["head_tube_length"] / 2 * v.sin("tube")
        - _below_tube_middle(v) * v.sin("head_tube_angle")
        + v["fork_offset"] * v.cos("head_tube_angle")
        - v["front_axle_z"]
    ),
    {
        "stack": ONE,
        "front_axle_z": MINUS,
        "head_tube_length": lambda v: -(v.sin("tube") + v.sin("head_tube_angle")) / 2,
        "lower_headset_stack": lambda v: -v.sin("head_tube_angle"),
        "fork_axle_to_crown": lambda v: -v.sin("head_tube_angle"),
        "fork_offset": lambda v: v.cos("head_tube_angle"),
        "head_tube_angle": lambda v: (
            -v["head_tube_length"] / 2 * v.cos("tube")
            - _below_tube_middle(v) * v.cos("head_tube_angle")
            - v["fork_offset"] * v.sin("head_tube_angle")
        ),
        "cup_angle": lambda v: v["head_tube_length"] / 2 * v.cos("tube"),
    },
    frozenset(
        {
            "stack",
            "front_axle_z",
            "head_tube_length",
            "lower_headset_stack",
            "fork_axle_to_crown",
            "fork_offset",
        }
    ),
)

MECHANICAL_TRAIL = Relation(
    "mechanical trail",
    "mechanical_trail = front_wheel_radius·cos H - fork_offset",
    lambda v: (
        v["front_wheel_radius"] * v.cos("head_tube_angle")
        - v["fork_offset"]
        - v["mechanical_trail"]
    ),
    {
        "front_wheel_radius": lambda v: v.cos("head_tube_angle"),
        "fork_offset": MINUS,
        "mechanical_trail": MINUS,
        "head_tube_angle": lambda v: -v["front_wheel_radius"] * v.sin("head_tube_angle"),
    },
    frozenset({"front_wheel_radius", "fork_offset", "mechanical_trail"}),
)

TRAIL = Relation(
    "trail",
    "trail·sin H = mechanical_trail",
    lambda v: v["trail"] * v.sin("head_tube_angle") - v["mechanical_trail"],
    {
        "trail": lambda v: v.sin("head_tube_angle"),
        "mechanical_trail": MINUS,
        "head_tube_angle": lambda v: v["trail"] * v.cos("head_tube_angle"),
    },
    frozenset({"trail", "mechanical_trail"}),
)

WHEEL_FLOP = Relation(
    "wheel flop",
    "wheel_flop = mechanical_trail·cos H (= trail·sin H·cos H)",
    lambda v: v["mechanical_trail"] * v.cos("head_tube_angle") - v["wheel_flop"],
    {
        "mechanical_trail": lambda v: v.cos("head_tube_angle"),
        "wheel_flop": MINUS,
        "head_tube_angle": lambda v: -v["mechanical_trail"] * v.sin("head_tube_angle"),
    },
    frozenset({"mechanical_trail", "wheel_flop"}),
)

EFFECTIVE_TOP_TUBE = Relation(
    "effective top tube",
    "(effective_top_tube - reach)·sin B = stack·cos B - seat_tube_offset",
    lambda v: (
        (v["effective_top_tube"] - v["reach"]) * v.sin("actual_seat_tube_angle")
        - v["stack"] * v.cos("actual_seat_tube_angle")
        + v["seat_tube_offset"]
    ),
    {
        "effective_top_tube": lambda v: v.sin("actual_seat_tube_angle"),
        "reach": lambda v: -v.sin("actual_seat_tube_angle"),
        "stack": lambda v: -v.cos("actual_seat_tube_angle"),
        "seat_tube_offset": ONE,
        "actual_seat_tube_angle": lambda v: (
            (v["effective_top_tube"] - v["reach"]) * v.cos("actual_seat_tube_angle")
            + v["stack"] * v.sin("actual_seat_tube_angle")
        ),
    },
    frozenset({"effective_top_tube", "reach", "stack", "seat_tube_offset"}),
)


def _seat_difference(v: Values) -> Array:
    return v["effective_seat_tube_angle"] - v["actual_seat_tube_angle"]


EFFECTIVE_ANGLE_AT_STACK = Relation(
    "effective seat tube angle at the height of the head tube's top",
    "stack·sin(E - B) = seat_tube_offset·sin E",
    lambda v: (
        v["stack"] * np.sin(_seat_difference(v))
        - v["seat_tube_offset"] * v.sin("effective_seat_tube_angle")
    ),
    {
        "stack": lambda v: np.sin(_seat_difference(v)),
        "seat_tube_offset": lambda v: -v.sin("effective_seat_tube_angle"),
        "effective_seat_tube_angle": lambda v: (
            v["stack"] * np.cos(_seat_difference(v))
            - v["seat_tube_offset"] * v.cos("effective_seat_tube_angle")
        ),
        "actual_seat_tube_angle": lambda v: -v["stack"] * np.cos(_seat_difference(v)),
    },
    frozenset({"stack", "seat_tube_offset"}),
)

EFFECTIVE_ANGLE_AT_SADDLE = Relation(
    "effective seat tube angle at the saddle",
    "saddle_height·sin(E - B) = seat_tube_offset",
    lambda v: v["saddle_height"] * np.sin(_seat_difference(v)) - v["seat_tube_offset"],
    {
        "saddle_height": lambda v: np.sin(_seat_difference(v)),
        "seat_tube_offset": MINUS,
        "effective_seat_tube_angle": lambda v: v["saddle_height"] * np.cos(_seat_difference(v)),
        "actual_seat_tube_angle": lambda v: -v["saddle_height"] * np.cos(_seat_difference(v)),
    },
    frozenset({"saddle_height", "seat_tube_offset"}),
)


def chart_relations(
    *, saddle: bool = False, extra: tuple[Relation, ...] = ()
) -> tuple[Relation, ...]:
    """All relations of the chart.

    Args:
        saddle: take the effective seat tube angle at ``saddle_height`` instead of at the stack.
        extra: further relations, e.g. those of the top tube or of a rigid frame.
    """
    return (
        _linear(
            "rear wheel on the ground",
            "bb_height + bb_drop = rear_wheel_radius",
            bb_height=1,
            bb_drop=1,
            rear_wheel_radius=-1,
        ),
        _linear(
            "front wheel on the ground",
            "front_axle_z + bb_height = front_wheel_radius",
            front_axle_z=1,
            bb_height=1,
            front_wheel_radius=-1,
        ),
        _distance(
            "chainstay",
            "chainstay_length² = rear_axle_setback² + bb_drop²",
            "chainstay_length",
            "rear_axle_setback",
            "bb_drop",
        ),
        _distance(
            "front centre",
            "front_centre² = front_axle_x² + front_axle_z²",
            "front_centre",
            "front_axle_x",
            "front_axle_z",
        ),
        _linear(
            "wheelbase",
            "wheelbase = front_axle_x + rear_axle_setback",
            wheelbase=-1,
            front_axle_x=1,
            rear_axle_setback=1,
        ),
        _distance(
            "fork measured straight",
            "fork_length_straight² = fork_axle_to_crown² + fork_offset²",
            "fork_length_straight",
            "fork_axle_to_crown",
            "fork_offset",
        ),
        FRONT_AXLE_X,
        FRONT_AXLE_Z,
        MECHANICAL_TRAIL,
        TRAIL,
        WHEEL_FLOP,
        EFFECTIVE_TOP_TUBE,
        EFFECTIVE_ANGLE_AT_SADDLE if saddle else EFFECTIVE_ANGLE_AT_STACK,
        *extra,
    )


# --- the top tube, for standover -----------------------------------------------------------------


@dataclass(frozen=True)
class TopTube:
    """A straight top tube between seat tube and head tube, as far as standover needs it."""

    radius: float
    """Half its outer height at the middle [mm]."""
    seat_by: Literal["below_top", "above_bottom", "angle"]
    seat_value: float
    """mm, or radians for an angle."""
    head_by: Literal["below_top", "above_bottom", "angle"]
    head_value: float


Pair = tuple[Array, Array]


def _ends(v: Values) -> tuple[Pair, Pair]:
    """Ends of the top tube's axis on seat tube and head tube: ((x, z), (x, z))."""
    s, c = v.sin("actual_seat_tube_angle"), v.cos("actual_seat_tube_angle")
    d, p, q = v["seat_tube_offset"], v["top_tube_at_seat"], v["top_tube_at_head"]
    seat = (d * s - p * c, d * c + p * s)
    head = (v["reach"] + q * v.cos("tube"), v["stack"] - q * v.sin("tube"))
    return seat, head


def _end_partials(v: Values) -> dict[str, tuple[Pair, Pair]]:
    """For each variable the derivative of both ends."""
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


def _standover(radius: float) -> Relation:
    def residual(v: Values) -> Array:
        (px, pz), (qx, qz) = _ends(v)
        dx, dz = qx - px, qz - pz
        return np.asarray(
            v["bb_height"] + (pz + qz) / 2 + radius * np.hypot(dx, dz) / dx - v["standover"]
        )

    def partial(name: str) -> Term:
        def term(v: Values) -> Array:
            (px, pz), (qx, qz) = _ends(v)
            dx, dz = qx - px, qz - pz
            (pxd, pzd), (qxd, qzd) = _end_partials(v)[name]
            dxd, dzd = qxd - pxd, qzd - pzd
            long = np.hypot(dx, dz)
            # d(long/dx) = (dx·dxd + dz·dzd)/(long·dx) - long·dxd/dx²
            slope = (dx * dxd + dz * dzd) / (long * dx) - long * dxd / dx**2
            return np.asarray((pzd + qzd) / 2 + radius * slope)

        return term

    names = (
        "seat_tube_offset",
        "top_tube_at_seat",
        "actual_seat_tube_angle",
        "reach",
        "stack",
        "top_tube_at_head",
        "head_tube_angle",
        "cup_angle",
    )
    return Relation(
        "standover",
        "standover = bb_height + height of the top tube's axis at its middle + radius/cos(slope)",
        residual,
        {"standover": MINUS, "bb_height": ONE, **{name: partial(name) for name in names}},
        frozenset({"standover", "bb_height"}),
    )


def _top_tube_angle(at: Literal["seat", "head"], angle: float) -> Relation:
    """The angle between the top tube, looking away from the joint, and the joint tube's upward axis."""
    cosine = float(np.cos(angle))
    axis = "actual_seat_tube_angle" if at == "seat" else "tube"
    sign = 1.0 if at == "seat" else -1.0

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
            turn = (
                {"actual_seat_tube_angle": 1.0}
                if at == "seat"
                else {
                    "head_tube_angle": 1.0,
                    "cup_angle": -1.0,
                }
            )
            if name in turn:
                out = out + turn[name] * (dx * v.sin(axis) + dz * v.cos(axis))
            return np.asarray(out)

        return term

    names = (
        "seat_tube_offset",
        "top_tube_at_seat",
        "actual_seat_tube_angle",
        "reach",
        "stack",
        "top_tube_at_head",
        "head_tube_angle",
        "cup_angle",
    )
    return Relation(
        f"angle of the top tube at the {at} tube",
        f"the stated angle at the {at} tube",
        residual,
        {name: partial(name) for name in names},
    )


def top_tube_relations(top: TopTube) -> tuple[Relation, ...]:
    """Where the top tube meets seat tube and head tube, and the standover over its middle.

    Adds the variables ``top_tube_at_seat`` (up the seat tube axis from its foot) and
    ``top_tube_at_head`` (down the head tube axis from its top).
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
        _standover(top.radius),
    )


# --- a frame that stays as it is ------------------------------------------------------------------


@dataclass(frozen=True)
class RigidFrame:
    """A built frame in its own side view (mm, radians), before it pitches."""

    reach: float
    stack: float
    tube_angle: float
    """The head tube's own axis."""
    seat_angle: float
    rear_axle_setback: float
    bb_drop: float


def _turned(name: str, formula: str, result: str, x: float, z: float, *, up: bool) -> Relation:
    """A coordinate of a frame point after the pitch: forward x·cos P - z·sin P, or up x·sin P + z·cos P."""

    def ahead(v: Values) -> Array:
        return x * v.cos("pitch") - z * v.sin("pitch")

    def above(v: Values) -> Array:
        return x * v.sin("pitch") + z * v.cos("pitch")

    value, slope = (above, ahead) if up else (ahead, lambda v: -above(v))
    return Relation(
        name,
        formula,
        lambda v: value(v) - v[result],
        {result: MINUS, "pitch": slope},
        frozenset({result}),
    )


ANGLE_SCALE = 500.0
"""Residuals of angle relations are arcs at this radius [mm], so that all residuals are alike in size."""


def rigid_relations(frame: RigidFrame) -> tuple[Relation, ...]:
    """The frame's figures after it pitches by ``pitch`` (nose up positive) about the bottom bracket."""
    return (
        _turned(
            "frame: reach", "reach turned by the pitch", "reach", frame.reach, frame.stack, up=False
        ),
        _turned(
            "frame: stack", "stack turned by the pitch", "stack", frame.reach, frame.stack, up=True
        ),
        Relation(
            "frame: rear axle, backward",
            "rear_axle_setback turned by the pitch",
            lambda v: (
                frame.rear_axle_setback * v.cos("pitch")
                + frame.bb_drop * v.sin("pitch")
                - v["rear_axle_setback"]
            ),
            {
                "rear_axle_setback": MINUS,
                "pitch": lambda v: (
                    -frame.rear_axle_setback * v.sin("pitch") + frame.bb_drop * v.cos("pitch")
                ),
            },
            frozenset({"rear_axle_setback"}),
        ),
        _turned(
            "frame: rear axle, upward",
            "bb_drop turned by the pitch",
            "bb_drop",
            -frame.rear_axle_setback,
            frame.bb_drop,
            up=True,
        ),
        Relation(
            "frame: head tube angle",
            "head_tube_angle - cup_angle falls by the pitch",
            lambda v: ANGLE_SCALE * (frame.tube_angle - v["pitch"] - v.angle("tube")),
            {
                "pitch": _constant(-ANGLE_SCALE),
                "head_tube_angle": _constant(-ANGLE_SCALE),
                "cup_angle": _constant(ANGLE_SCALE),
            },
            frozenset({"pitch", "head_tube_angle", "cup_angle"}),
        ),
        Relation(
            "frame: seat tube angle",
            "actual_seat_tube_angle falls by the pitch",
            lambda v: ANGLE_SCALE * (frame.seat_angle - v["pitch"] - v["actual_seat_tube_angle"]),
            {
                "pitch": _constant(-ANGLE_SCALE),
                "actual_seat_tube_angle": _constant(-ANGLE_SCALE),
            },
            frozenset({"pitch", "actual_seat_tube_angle"}),
        ),
    )


def variables(relations: Iterable[Relation]) -> tuple[str, ...]:
    """All variables of the relations, in order of first appearance."""
    seen: dict[str, None] = {}
    for relation in relations:
        seen.update(dict.fromkeys(relation.partials))
    return tuple(seen)
