"""What a body is fixed to (its mount), and how that moves against the frame."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from frame3d.bodies.motion.swing import Swing
from frame3d.geometry.vector import Vector

Name = Literal["rear", "fork", "steer", "crank", "heel", "slide", "insert"]
"""Names of motions: rear wheel travel, fork travel, steering, crank angle, the shoe on its pedal; the
axle back in sliding dropouts, and the turn of an eccentric insert, both from where they are drawn."""
MOTIONS: Final[tuple[Name, ...]] = ("rear", "fork", "steer", "crank", "heel", "slide", "insert")
"""All of them."""
TRAVELS: Final[tuple[Name, ...]] = ("rear", "fork", "slide")
"""Motions that are lengths; the others are angles."""
SPRUNG: Final[tuple[Name, ...]] = ("rear", "fork")
"""Motions on springs."""
TURNS: Final[tuple[Name, ...]] = ("steer", "crank", "heel")
"""Angles that steps turn by; an insert's is the place in a table."""

TURN: Final = 0
SHIFT: Final = 1
CIRCLE: Final = 2
SWING: Final = 3


@dataclass(frozen=True, slots=True)
class Step:
    """One rigid step of a mount, from the part's drawn place to where it is.

    CIRCLE: a shift along a circle in the side view, by radius · (cos q, 0, -sin q), without turning;
    the radius is point[0].
    """

    kind: int
    """TURN, SHIFT, CIRCLE or SWING."""
    name: Name
    point: tuple[float, float, float] = (0.0, 0.0, 0.0)
    axis: tuple[float, float, float] = (0.0, 0.0, 0.0)
    """Unit vector: the axis of a turn (right-handed), the direction of a shift."""
    swing: Swing | None = None
    """The table of a SWING."""


@dataclass(frozen=True, slots=True)
class Mount:
    """What a body is fixed to: the steps that take it from its drawn place, in order."""

    name: str
    steps: tuple[Step, ...] = ()


FRAME = Mount("frame")


def link_mount(name: str, swing: Swing) -> Mount:
    """Return the mount of what moves with a link of the rear suspension."""
    return Mount(name, (Step(SWING, "rear", swing=swing),))


CRANK = Mount("crank", (Step(TURN, "crank", axis=(0.0, 1.0, 0.0)),))
"""Mount of what turns with the cranks, about the bottom bracket's axis, where that stands still."""


def with_spindle(mount: Mount, spindle: Mount) -> Mount:
    """Return a mount that also moves with the bottom bracket, where an insert carries that."""
    return Mount(mount.name, (*mount.steps, *spindle.steps)) if spindle.steps else mount


def fork_mounts(crown: Vector, up: Vector) -> tuple[Mount, Mount]:
    """Return the mounts of what turns with the steering, and of what also travels along it.

    Args:
        crown: a point of the steering axis: (3,) float [mm].
        up: its unit direction toward the head tube's top: (3,) float.

    Returns:
        (upper, lower): fork travel moves the lower one up the axis; positive steering turns to the
        left.
    """
    at = (float(crown[0]), float(crown[1]), float(crown[2]))
    axis = (float(up[0]), float(up[1]), float(up[2]))
    turn = Step(TURN, "steer", at, axis)
    return Mount("steering", (turn,)), Mount("fork", (Step(SHIFT, "fork", axis=axis), turn))


def crank_mounts(
    length: float, side: Literal["left", "right"], pedal: Vector
) -> tuple[Mount, Mount]:
    """Return the mounts of what a pedal carries: level, and swinging about the pedal's axle.

    The crank angle is 0 with the left pedal straight ahead and grows as the bike is pedalled forward
    (clockwise seen from the right). The shoe swings about its pedal's axle; positive moves the heel
    toward the frame, on both sides.

    Args:
        length: of the crank [mm].
        side: whose pedal.
        pedal: centre of the pedal's circle, i.e. at the bottom bracket's axis at the pedal's lateral
            position: (3,) float [mm].
    """
    signed = length if side == "left" else -length
    circle = Step(CIRCLE, "crank", (signed, 0.0, 0.0))
    at = (float(pedal[0]), float(pedal[1]), float(pedal[2]))
    swing = Step(TURN, "heel", at, (0.0, 0.0, 1.0 if side == "left" else -1.0))
    return Mount(f"{side} pedal", (circle,)), Mount(f"{side} shoe", (swing, circle))
