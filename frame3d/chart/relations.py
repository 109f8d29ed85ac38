r"""The relations between chart figures: a residual each, with its exact derivatives.

Side view from the rider's right, origin at the bottom bracket (BB), x forward, z up:

               \                        * head tube top (reach, stack)
                \                        \
      seat tube  \                        \  head tube: length L, angle T
      (angle B)   \                        \
                   \                        + crown race: lower_headset_stack below the head tube
                    \                        \
                     \                        \  fork_axle_to_crown along d, angle H
                      \                        \
      rear axle o------o BB                     `-o front axle: fork_offset along n

    H  head_tube_angle (steering axis)     d = (cos H, -sin H) down the axis, n = (sin H, cos H) forward
    T  head_tube_angle - cup_angle         the head tube's own axis; T = H without angle-adjusting cups
    B  actual_seat_tube_angle              u = (-cos B, sin B) up the seat tube, m = (sin B, cos B)
    E  effective_seat_tube_angle           S  effective_seat_tube_angle_at_stack

Every relation is an identity of plane trigonometry between these vectors, derived here. In this module
angles are in radians, lengths in mm, and every residual in mm.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

import numpy as np

from frame3d.geometry.arrays import Array

ANGLES = frozenset(
    {
        "head_tube_angle",
        "effective_seat_tube_angle",
        "effective_seat_tube_angle_at_stack",
        "actual_seat_tube_angle",
        "cup_angle",
        "pitch",
    }
)
"""Variables held in radians; all others are in mm."""


class Values:
    """Values of variables: name -> array, all of one shape (k,). Sines and cosines are cached."""

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
        """Return (name, value) pairs."""
        return self._value.items()

    def copy(self) -> Values:
        """Return an independent copy."""
        return Values(self._value)

    def angle(self, name: str) -> Array:
        """Return an angle [rad]; ``tube`` is that of the head tube itself, without the cup angle."""
        if name == "tube":
            return self._value["head_tube_angle"] - self._value["cup_angle"]
        return self._value[name]

    def sin(self, name: str) -> Array:
        """Return the sine of an angle."""
        if name not in self._sin:
            self._sin[name] = np.sin(self.angle(name))
        return self._sin[name]

    def cos(self, name: str) -> Array:
        """Return the cosine of an angle."""
        if name not in self._cos:
            self._cos[name] = np.cos(self.angle(name))
        return self._cos[name]


ANGLE_SCALE = 500.0
"""Residuals of angles are arcs of this radius [mm], so that all residuals are of similar size."""

Term = Callable[[Values], Array | float]


@dataclass(frozen=True)
class Relation:
    """One equation ``residual(values) = 0`` with the partial derivative for each of its variables."""

    name: str
    formula: str
    residual: Callable[[Values], Array]
    partials: Mapping[str, Term]
    linear: frozenset[str] = field(default_factory=frozenset)
    """Variables in which the residual is linear, so that one Newton step is exact."""


def constant(value: float) -> Term:
    """Return a derivative of constant value."""
    return lambda _: value


ONE, MINUS = constant(1.0), constant(-1.0)


def _linear(name: str, formula: str, **factors: float) -> Relation:
    """Return the relation that a sum of variables with constant factors is 0."""

    def residual(v: Values) -> Array:
        total: Array | float = 0.0
        for key, factor in factors.items():
            total = total + factor * v[key]
        return np.asarray(total)

    partials = {key: constant(factor) for key, factor in factors.items()}
    return Relation(name, formula, residual, partials, frozenset(factors))


def _distance(name: str, formula: str, whole: str, a: str, b: str) -> Relation:
    """Return the relation whole = √(a² + b²), for positive lengths."""
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
    """Return the distance along d from the head tube's middle to the front axle's foot [mm]."""
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


def _difference_at_stack(v: Values) -> Array:
    return v["effective_seat_tube_angle_at_stack"] - v["actual_seat_tube_angle"]


EFFECTIVE_ANGLE_AT_STACK = Relation(
    "effective seat tube angle at the height of the head tube's top",
    "stack·sin(S - B) = seat_tube_offset·sin S",
    lambda v: (
        v["stack"] * np.sin(_difference_at_stack(v))
        - v["seat_tube_offset"] * v.sin("effective_seat_tube_angle_at_stack")
    ),
    {
        "stack": lambda v: np.sin(_difference_at_stack(v)),
        "seat_tube_offset": lambda v: -v.sin("effective_seat_tube_angle_at_stack"),
        "effective_seat_tube_angle_at_stack": lambda v: (
            v["stack"] * np.cos(_difference_at_stack(v))
            - v["seat_tube_offset"] * v.cos("effective_seat_tube_angle_at_stack")
        ),
        "actual_seat_tube_angle": lambda v: -v["stack"] * np.cos(_difference_at_stack(v)),
    },
    frozenset({"stack", "seat_tube_offset"}),
)

EFFECTIVE_ANGLE_WITHOUT_SADDLE = _linear(
    "effective seat tube angle where build.seatpost.saddle_height is not given",
    "E = S",
    effective_seat_tube_angle=ANGLE_SCALE,
    effective_seat_tube_angle_at_stack=-ANGLE_SCALE,
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
    """Return all relations of the chart.

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
        EFFECTIVE_ANGLE_AT_STACK,
        EFFECTIVE_ANGLE_AT_SADDLE if saddle else EFFECTIVE_ANGLE_WITHOUT_SADDLE,
        *extra,
    )


def variables(relations: Iterable[Relation]) -> tuple[str, ...]:
    """Return all variables of the relations, in order of first appearance."""
    seen: dict[str, None] = {}
    for relation in relations:
        seen.update(dict.fromkeys(relation.partials))
    return tuple(seen)
