"""The line under both wheels, in the frame's axes, over the travel."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from frame3d.linkage.curves.tangent import tangent
from frame3d.linkage.linear import Array
from frame3d.linkage.rows import Complex


@dataclass(frozen=True, eq=False)
class Ground:
    """The level ground as the frame sees it: the line that both wheels touch from above.

    The frame is held and the ground tilts, so whatever is told relative to the ground (heights, slopes,
    wheelbase) comes out as on a pitching bike on level ground. Each (k,) complex, x + i·z [mm].
    """

    rear: Complex
    """Rear contact point."""
    front: Complex
    """Front contact point."""
    ahead: Complex
    """Unit vector forward along the ground."""
    wheelbase: Array
    """Between the contacts, (k,) float [mm]."""

    def local(self, points: Complex) -> Complex:
        """Points as forward of the rear contact + i·height over the ground [mm]."""
        return (points - self.rear) * np.conj(self.ahead)

    def directed(self, vectors: Complex) -> Complex:
        """Directions as forward + i·up against the ground."""
        return vectors * np.conj(self.ahead)

    def transfer(self, centre_of_mass: Complex) -> Array:
        """How much of a force along the ground, braking or driving, shifts from one wheel to the other:
        height of the centre of mass over the wheelbase, (k,).

        Args:
            centre_of_mass: in the frame's axes, (k,) or (1,) complex [mm].
        """
        out: Array = self.local(centre_of_mass).imag / self.wheelbase
        return out

    @property
    def tilt(self) -> Array:
        """The ground's slope in the frame's axes: how far the frame's nose points down,
        (k,) [degrees].
        """
        out: Array = np.degrees(np.angle(self.ahead))
        return out


def ground(
    rear_axle: Complex, rear_radius: float, front_axle: ArrayLike, front_radius: float
) -> Ground:
    """The common lower tangent of both wheels.

    With the unit normal n up from the ground, n·(front - rear) = front radius - rear radius.

    Args:
        rear_axle: (k,) complex [mm].
        rear_radius: [mm].
        front_axle: (2,) or (k, 2) float: x, z [mm].
        front_radius: [mm].
    """
    front = np.asarray(front_axle, dtype=float) @ (1, 1j)
    x, z, length = tangent(front - rear_axle, front_radius - rear_radius)
    ahead, down = x + 1j * z, z - 1j * x
    return Ground(rear_axle + rear_radius * down, front + front_radius * down, ahead, length)
