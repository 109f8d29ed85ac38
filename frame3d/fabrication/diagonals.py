"""Distances to check a tacked frame in the side view, and the effect of an error of 1 mm in each."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.geometry.arrays import Array
from frame3d.geometry.vector import Point

NAMES: Final = {
    "bottom_bracket": "bottom bracket",
    "head_tube_bottom": "head tube bottom",
    "head_tube_top": "head tube top",
    "seat_tube_top": "seat tube top",
    "rear_axle": "rear axle",
}
_HEAD: Final = (
    ("bottom_bracket", "head_tube_bottom"),
    ("bottom_bracket", "head_tube_top"),
    ("seat_tube_top", "head_tube_bottom"),
    ("seat_tube_top", "head_tube_top"),
    ("rear_axle", "head_tube_bottom"),
    ("rear_axle", "head_tube_top"),
)
_REAR: Final = (("bottom_bracket", "rear_axle"), ("seat_tube_top", "rear_axle"))


@dataclass(frozen=True, slots=True)
class Diagonal:
    """A distance between two centres in the side view."""

    number: int
    """Number on the sheet, from 1."""
    start: str
    end: str
    length: float
    """Distance [mm]."""
    head_angle: float
    """Change of the head angle on level ground for 1 mm too much [degrees]."""
    reach: float
    """Change of the reach for 1 mm too much [mm]; 0 at the rear."""
    aside: float | None = None
    """How far the rear axle is off centre if the distances to its left and right end differ by 1 mm
    [mm]; None where the diagonal does not end there, or the hub is not known."""


def diagonals_of(bike: Bike) -> list[Diagonal]:
    """Return eight diagonals, each with the effect of 1 mm.

    In the side view the head tube, of fixed length, has three degrees of freedom: position and angle.
    Three distances fix it: those from the bottom bracket to both its ends, and a third. The effect of
    one of them is computed with the other two right. The rear axle has two degrees of freedom, fixed by
    its two distances. The bike then stands on level ground, which pitches the frame by the difference of
    the axles' heights over the wheelbase.
    """
    at = {name: np.array([(p := spot_of(bike, name))[0], p[2]]) for name in NAMES}
    front = bike.nodes["front_axle"]
    axle = np.array([front[0], front[2]])
    base = float(axle[0] - at["rear_axle"][0])
    width = None
    if bike.dropouts:
        width = abs(bike.dropouts[0].axle[1] - bike.dropouts[-1].axle[1])
    found: list[Diagonal] = []
    for i, (start, end) in enumerate(_HEAD):
        held = [_HEAD[0], _HEAD[1], _HEAD[i if i > 1 else 2]]
        row = held.index((start, end))
        move = np.linalg.solve([_on_head(at, pair) for pair in held], np.eye(3)[row])
        turn = float(move[2])
        sink = float(move[1]) + _turned(axle - at["head_tube_bottom"])[1] * turn
        reach = float(move[0]) + _turned(at["head_tube_top"] - at["head_tube_bottom"])[0] * turn
        found.append(_made(at, found, (start, end), np.degrees(turn + sink / base), reach, width))
    rear = np.array([_toward(at, start, "rear_axle") for start, _ in _REAR])
    for i, pair in enumerate(_REAR):
        move = np.linalg.solve(rear, np.eye(2)[i])
        found.append(_made(at, found, pair, np.degrees(-float(move[1]) / base), 0.0, width))
    return found


def spot_of(bike: Bike, name: str) -> Point:
    """Return where a node of `NAMES` is measured from [mm].

    In place of the bottom bracket that is the shell's middle, where an insert carries the bottom bracket
    beside it: the insert goes in last.
    """
    return bike.shell.place if name == "bottom_bracket" and bike.shell else bike.nodes[name]


def title_of(bike: Bike, name: str) -> str:
    """Return the name of a node of `NAMES`, as it is measured on this frame."""
    beside = name == "bottom_bracket" and bike.shell is not None and any(bike.shell.at)
    return "shell's middle" if beside else NAMES[name]


def _made(
    at: Mapping[str, Array],
    found: list[Diagonal],
    pair: tuple[str, str],
    head_angle: float,
    reach: float,
    width: float | None,
) -> Diagonal:
    length = float(np.linalg.norm(at[pair[1]] - at[pair[0]]))
    aside = None
    if width and "rear_axle" in pair:
        # √(l² + (w/2 + δ)²) − √(l² + (w/2 − δ)²) ≈ δ w / √(l² + w²/4)
        aside = float(np.hypot(length, width / 2)) / width
    return Diagonal(len(found) + 1, *pair, length, float(head_angle), reach, aside)


def _toward(at: Mapping[str, Array], start: str, end: str) -> Array:
    """Return the unit vector from start to end: the derivative of their distance by the end."""
    d = at[end] - at[start]
    return np.asarray(d / np.linalg.norm(d))


def _turned(arm: Array) -> Array:
    """Return the movement of an arm's tip per radian of a steeper head tube: (x, z) → (z, −x).

    The axis leans back, so a steeper one is turned clockwise, seen with x to the right and z up.
    """
    return np.array([arm[1], -arm[0]])


def _on_head(at: Mapping[str, Array], pair: tuple[str, str]) -> Array:
    """Return the derivatives of a distance by the head tube bottom's x and z, and by its angle, (3,)."""
    start, end = pair
    u = _toward(at, start, end)
    arm = at[end] - at["head_tube_bottom"]
    return np.array([u[0], u[1], float(u @ _turned(arm))])


@dataclass(frozen=True, slots=True)
class Setting:
    """The effect of 1 mm in a setting of the fixture, or in a part of the finished bike."""

    what: str
    head_angle: float
    """Change of the head angle on level ground [degrees]."""
    trail: float | None = None
    """Change of the trail [mm]; only for parts."""


_PARTS: Final = {
    "axle_to_crown": "fork length",
    "offset": "fork offset",
    "lower_stack": "lower headset stack",
    "lower_headset_stack": "lower headset stack",
    "front_wheel": "front wheel radius",
    "rear_wheel": "rear wheel radius",
}
"""Name of a part by the path of an input."""


def settings_of(bike: Bike) -> list[Setting]:
    """Return the effect of 1 mm forward or up at either end of the head tube and at the rear axle.

    The other end of the head tube is held.
    """
    n = bike.nodes
    low, high, front, rear = (
        np.array([n[name][0], n[name][2]])
        for name in ("head_tube_bottom", "head_tube_top", "front_axle", "rear_axle")
    )
    base, axis = float(front[0] - rear[0]), high - low
    steeper = _turned(axis) / float(axis @ axis)
    found = []
    for name, top in (("bottom", 0.0), ("top", 1.0)):
        for i, way in ((0, "forward"), (1, "up")):
            turn = float(steeper[i]) * (1.0 if top else -1.0)
            rise = (0.0 if top or i == 0 else 1.0) + _turned(front - low)[1] * turn
            angle = np.degrees(turn + float(rise) / base)
            found.append(Setting(f"head tube {name} {way}, other end held", float(angle)))
    found.append(Setting("rear axle up (drop)", float(np.degrees(-1.0 / base))))
    return found


def parts_of(bike: Bike) -> list[Setting]:
    """Return the effect of 1 mm in parts on the finished frame, from the chart's sensitivities."""
    from frame3d.chart.sensitivity import as_built_sensitivity

    sensitivity = as_built_sensitivity(bike.solved)
    found = []
    for path in sensitivity.inputs:
        name = next((name for part, name in _PARTS.items() if part in path), None)
        if name is not None:
            change = sensitivity.per(path)
            found.append(Setting(name, change["head_tube_angle"], change["trail"]))
    return found


@dataclass(frozen=True, slots=True)
class Sideways:
    """The effect of 1 mm out of the centre plane, or between the sides."""

    what: str
    effect: float
    """Effect [mm or degrees]."""
    unit: str
    where: str

    def value(self, digits: int) -> str:
        """Return the effect with its unit, to some decimals."""
        return f"{self.effect:.{digits}f}{'' if self.unit == '°' else ' '}{self.unit}"


def sideways_of(bike: Bike) -> list[Sideways]:
    """Return the effects of errors of alignment: small-angle ratios of an arm over a base length."""
    n = bike.nodes
    found = []
    contact = n.get("front_contact")
    axis = np.array(n["head_tube_top"]) - np.array(n["head_tube_bottom"])
    length = float(np.linalg.norm(axis))
    if contact is not None:
        along = axis / length
        below = float((np.array(n["head_tube_bottom"]) - np.array(contact)) @ along)
        found.append(
            Sideways("head tube top, bottom held", below / length, "mm", "front tyre at the ground")
        )
        found.append(
            Sideways(
                "head tube bottom, top held",
                (below + length) / length, "mm", "front tyre at the ground",
            )
        )  # fmt: skip
    found.append(
        Sideways("head tube top, bottom held", float(np.degrees(1 / length)), "°", "steering axis")
    )
    if bike.shell is not None:
        reach = _flat(n["head_tube_top"], spot_of(bike, "bottom_bracket"))
        found.append(
            Sideways("shell face over its width", reach / bike.shell.width, "mm", "head tube top")
        )
    if bike.dropouts:
        apart = abs(bike.dropouts[0].axle[1] - bike.dropouts[-1].axle[1])
        radius = bike.chart["rear_wheel_radius"]
        if apart > 0 and radius is not None:
            for what, where in (
                ("one dropout further forward", "front of the rear tyre, sideways"),
                ("one dropout higher", "top of the rear tyre, sideways"),
            ):
                found.append(Sideways(what, radius / apart, "mm", where))
    return found


def _flat(a: Point, b: Point) -> float:
    return float(np.hypot(a[0] - b[0], a[2] - b[2]))
