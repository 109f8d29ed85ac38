"""Point of a straight target's axis where a tube meets it at a given angle."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from frame3d.geometry.centreline import Centreline
from frame3d.geometry.vector import Vector, angle_between, cross


@dataclass(frozen=True, slots=True)
class Slide:
    """An end that slides along a straight axis until its tube is at a given angle to it.

    ::

                     * corner next to the end
                    /|
                 d / | w_perp
                  /θ |
          -------*---+--------> u    target's axis
          0      s  w_par

    With d from the end to the corner and u along the axis, the angle θ holds where d·u sin θ = |d ×
    u| cos θ. For a fixed corner that is s = w_par − w_perp / tan θ, w being the corner seen from the
    axis' start (derived). A corner that moves with the end is followed by the secant method, or by
    bisection where that fails, to 1e-10 mm.
    """

    axis: Centreline
    """Axis of the target, straight."""
    y: float | None
    """Lateral position of the end, if it is not the axis' own [mm]."""
    angle: float
    """The angle to reach [degrees]."""
    neighbour: Callable[[Vector], Vector]
    """Returns the corner next to the end, for the end at a point: (3,) -> (3,) [mm]."""
    reach: float
    """How far past the axis' ends the end may sit [mm]."""

    def solve(self, target: str) -> Vector:
        """Return the end: (3,) [mm].

        Args:
            target: name of the target, for messages.

        Raises:
            SlideError: no point of the target gives the angle.
        """
        here = self._place(self.axis.length / 2)
        if float(np.linalg.norm(cross(self.neighbour(here) - here, self._along))) < 1e-6:
            raise SlideError(
                "junction-miss",
                f"the tube lies along the axis of {target}, so no angle can place it",
                "move its other end, or set this end by a distance",
            )
        s = self._secant()
        if s is not None and self._past(s) <= self.reach:
            return self._place(s)
        steps = np.linspace(-self.reach, self.axis.length + self.reach, 129).tolist()
        misses = [self._miss(x) for x in steps]
        for a, b, f, g in zip(steps, steps[1:], misses, misses[1:], strict=False):
            if f * g <= 0:
                return self._place(self._bisected(a, b))
        angles = [self._angle_at(x) for x in steps if self._past(x) <= 0]
        hint = f"on {target} it may be from {min(angles):.1f} to {max(angles):.1f} degrees"
        if s is None:
            raise SlideError(
                "junction-miss", f"no point on {target} gives {self.angle:g} degrees", hint
            )
        raise SlideError(
            "junction-miss",
            f"at {self.angle:g} degrees this end lies {self._past(s):.1f} mm past the end of {target}",
            hint,
        )

    @property
    def _along(self) -> Vector:
        return self.axis.tangent(0.0)

    def _past(self, s: float) -> float:
        """Return how far `s` lies past the axis' ends [mm]; negative between them."""
        return max(-s, s - self.axis.length)

    def _place(self, s: float) -> Vector:
        where = self.axis.at(s)
        return where if self.y is None else np.array([where[0], self.y, where[2]])

    def _reaching(self, s: float) -> Vector:
        """Return the vector from the end at `s` to the corner next to it: (3,) [mm]."""
        here = self._place(s)
        return self.neighbour(here) - here

    def _angle_at(self, s: float) -> float:
        return angle_between(self._reaching(s), self._along)

    def _miss(self, s: float) -> float:
        """Return the residual: 0 where the angle holds, falling with `s` for a fixed corner [mm]."""
        d, theta = self._reaching(s), np.radians(self.angle)
        square = np.linalg.norm(cross(d, self._along))
        return float(d @ self._along * np.sin(theta) - square * np.cos(theta))

    def _closed(self, s: float) -> float:
        """Return the `s` that is right for the corner as it is when the end is at `s`."""
        d = self._reaching(s)
        along = float(d @ self._along)
        square = float(np.linalg.norm(d - along * self._along))
        return s + along - square / float(np.tan(np.radians(self.angle)))

    def _secant(self) -> float | None:
        """Return `s` by the secant method from the closed form; None where it does not converge."""
        before = self.axis.length / 2
        s, f_before = self._closed(before), self._miss(before)
        for _ in range(40):
            f = self._miss(s)
            if abs(f) < 1e-10:
                return s
            if s == before or f == f_before:
                break
            step = -f * (s - before) / (f - f_before)
            before, f_before = s, f
            s += float(np.clip(step, -2000.0, 2000.0))
        return s if abs(self._miss(s)) < 1e-9 else None

    def _bisected(self, a: float, b: float) -> float:
        """Return where `_miss` changes its sign between `a` and `b`."""
        f = self._miss(a)
        for _ in range(60):
            middle = (a + b) / 2
            g = self._miss(middle)
            if f * g > 0:
                a, f = middle, g
            else:
                b = middle
        return (a + b) / 2


class SlideError(ValueError):
    """Fault of an end that an angle cannot place, with its code and a hint."""

    def __init__(self, code: str, message: str, hint: str) -> None:
        super().__init__(message)
        self.code, self.hint = code, hint
