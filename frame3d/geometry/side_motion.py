"""A rigid motion of the side view: a turn about the bottom bracket's axis, then a shift."""

from __future__ import annotations

from dataclasses import dataclass

from frame3d.geometry.vector import Point, pitched_side


@dataclass(frozen=True, slots=True)
class SideMotion:
    """A turn about the bottom bracket's axis, then a shift; lateral positions stay."""

    turn: float = 0.0
    """Nose up positive [degrees]."""
    x: float = 0.0
    """Shift forward, after the turn [mm]."""
    z: float = 0.0
    """Shift up, after the turn [mm]."""

    def side(self, p: tuple[float, float]) -> tuple[float, float]:
        """Return where a point (x, z) of the side view goes [mm]."""
        x, z = pitched_side(p, self.turn)
        return (x + self.x, z + self.z)

    def point(self, p: Point) -> Point:
        """Return where a point goes [mm]."""
        x, z = self.side((p[0], p[2]))
        return (x, p[1], z)

    def pitched(self, angle: float) -> SideMotion:
        """Return this motion, then a turn of all about the bottom bracket, nose up [degrees]."""
        x, z = pitched_side((self.x, self.z), angle)
        return SideMotion(self.turn + angle, x, z)
