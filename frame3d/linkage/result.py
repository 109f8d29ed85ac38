"""A solved rear suspension, which can be evaluated at any stroke or travel."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from frame3d.errors import Note
from frame3d.geometry.arrays import Array
from frame3d.geometry.vector import pitched_side
from frame3d.linkage.mechanism import Mechanism, make
from frame3d.linkage.motion import LinkageMotion, frozen
from frame3d.linkage.structure import FRAME
from frame3d.linkage.trace import poses


@dataclass(frozen=True, eq=False)
class LinkagePose:
    """The linkage at one stroke."""

    stroke: float
    """Stroke of the shock [mm]."""
    travel: float
    """Vertical travel of the wheel [mm]."""
    axle: tuple[float, float]
    """Rear axle (x, z) in the frame's drawn axes [mm]."""
    moves: Mapping[str, tuple[float, float, float]]
    """Body -> rigid motion from the drawn pose: x, z to which the drawn origin moves [mm], and rotation,
    nose up positive [degrees]. The frame's is (0, 0, 0)."""
    points: Mapping[str, tuple[float, float]]
    """Point -> (x, z) [mm]."""

    def move(self, body: str, point: tuple[float, float]) -> tuple[float, float]:
        """Return the position in this pose of a body's point, given as drawn: (x, z) [mm]."""
        x, z, turn = self.moves[body]
        out = complex(x, z) + complex(*point) * np.exp(1j * np.radians(turn))
        return (float(out.real), float(out.imag))


@dataclass(frozen=True, eq=False)
class Linkage:
    """A rear suspension from full extension to the end of its stroke, in the frame's drawn axes."""

    motion: LinkageMotion
    """The linkage at evenly spaced strokes from 0 to the full one."""
    shock: tuple[str, str]
    """Names of the points of the shock's start and end."""
    axle_link: str
    """The link that carries the rear axle."""
    brake_link: str
    """The link that carries the brake caliper."""
    bodies: Mapping[str, tuple[str, ...]]
    """Body (the frame is one) -> names of the points on it."""
    drawn: Mapping[str, tuple[float, float]]
    """Point -> (x, z) at full extension [mm], after `solve_for` and after an exchange."""
    moved: Mapping[tuple[str, str], float]
    """(point, coordinate) -> value that `solve_for` found [mm], less those that an exchange gives."""
    notes: tuple[Note, ...]

    @property
    def mechanism(self) -> Mechanism:
        """The equations."""
        return self.motion.mechanism

    @property
    def links(self) -> tuple[str, ...]:
        """Moving links, in the order of `poses`."""
        return self.mechanism.structure.links

    @property
    def eye_to_eye(self) -> float:
        """Distance between the shock's ends at full extension [mm]."""
        return self.mechanism.length

    @property
    def full_stroke(self) -> float:
        """Stroke of the shock [mm]."""
        return float(self.motion.stroke[-1])

    @property
    def full_travel(self) -> float:
        """Wheel travel at the end of the stroke [mm]."""
        return float(self.motion.travel[-1])

    @property
    def stroke(self) -> Array:
        """Strokes of the shock, (n,) [mm]."""
        return self.motion.stroke

    @property
    def travel(self) -> Array:
        """Vertical wheel travel, (n,) [mm]."""
        return self.motion.travel

    @property
    def axle(self) -> Array:
        """Path of the rear axle, (n, 2): x, z [mm]."""
        return self.motion.axle

    @property
    def leverage(self) -> Array:
        """Leverage ratio d(travel)/d(stroke), (n,)."""
        return self.motion.leverage

    @property
    def poses(self) -> Array:
        """Rigid motions of the links, (n, links, 3): x, z [mm], rotation [degrees]."""
        return self.motion.poses

    def pitched(self, angle: float) -> Linkage:
        """Return the same linkage with the frame turned about the bottom bracket, nose up [degrees].

        The links turn against the frame as before; only the direction in which travel is counted, the
        vertical, changes.
        """
        drawn = {name: pitched_side(at, angle) for name, at in self.drawn.items()}
        points = {name: complex(*at) for name, at in drawn.items()}
        mechanism = make(self.mechanism.structure, points)
        return replace(self, motion=LinkageMotion(mechanism, self.motion.track), drawn=drawn)

    def at_strokes(self, strokes: Array) -> LinkageMotion:
        """Return the linkage at any strokes, (k,) [mm], solved there and not interpolated.

        Raises:
            ValueError: a stroke is not between 0 and the full stroke.
        """
        wanted = np.atleast_1d(np.asarray(strokes, dtype=float))
        if wanted.size and not (
            wanted.min() >= -1e-9 and wanted.max() <= self.full_stroke * (1 + 1e-12) + 1e-9
        ):
            raise ValueError(f"the stroke goes from 0 to {self.full_stroke:g} mm")
        known = self.motion.track
        near = np.clip(np.searchsorted(known.stroke, wanted), 1, len(known.stroke) - 1)
        near = near - (wanted - known.stroke[near - 1] < known.stroke[near] - wanted)
        found, good, _ = poses(self.mechanism, frozen(wanted.copy()), known[near])
        if not good.all():
            raise AssertionError("a pose between poses was not found")
        return LinkageMotion(self.mechanism, found)

    def strokes_at(self, travels: Array) -> Array:
        """Return the shock's strokes at given wheel travels, (k,) [mm], by Newton's method.

        Raises:
            ValueError: a travel is not between 0 and the full travel.
        """
        wanted = np.atleast_1d(np.asarray(travels, dtype=float))
        slack = 1e-9 * max(1.0, self.full_travel)
        if wanted.size and not (
            wanted.min() >= -slack and wanted.max() <= self.full_travel + slack
        ):
            raise ValueError(f"the travel goes from 0 to {self.full_travel:.4g} mm")
        stroke: Array = np.interp(wanted, self.travel, self.stroke)
        for _ in range(20):
            there = self.at_strokes(stroke)
            step = (wanted - there.travel) / there.leverage
            new = np.clip(stroke + step, 0.0, self.full_stroke)
            moved = np.abs(new - stroke).max(initial=0.0)
            stroke = new
            if moved < 1e-11 * self.full_stroke:
                break
        return stroke

    def at_travels(self, travels: Array) -> LinkageMotion:
        """Return the linkage at any wheel travels, (k,) [mm].

        Raises:
            ValueError: a travel is not between 0 and the full travel.
        """
        return self.at_strokes(self.strokes_at(travels))

    def axle_at(self, travel: float) -> tuple[float, float]:
        """Return the rear axle (x, z) at a wheel travel, in the frame's drawn axes [mm].

        Raises:
            ValueError: the travel is not between 0 and the full travel.
        """
        x, z = self.at_travels(np.array([travel])).axle[0]
        return (float(x), float(z))

    def pose_at(self, *, travel: float | None = None, stroke: float | None = None) -> LinkagePose:
        """Return the linkage at either a wheel travel or a stroke [mm].

        Raises:
            ValueError: neither or both are given, or the value is out of range.
        """
        if (travel is None) == (stroke is None):
            raise ValueError("give either travel or stroke")
        if stroke is None:
            motion = self.at_travels(np.array([travel], dtype=float))
        else:
            motion = self.at_strokes(np.array([stroke]))
        moves = {FRAME: (0.0, 0.0, 0.0)}
        for link, (x, z, turn) in zip(self.links, motion.poses[0], strict=True):
            moves[link] = (float(x), float(z), float(turn))
        points: dict[str, tuple[float, float]] = {}
        for body, names in self.bodies.items():
            for name in names:
                at = motion.body_point(body, complex(*self.drawn[name])).at[0]
                points.setdefault(name, (float(at.real), float(at.imag)))
        axle = (float(motion.axle[0, 0]), float(motion.axle[0, 1]))
        return LinkagePose(float(motion.stroke[0]), float(motion.travel[0]), axle, moves, points)
