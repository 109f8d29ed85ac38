"""The ground as a line under both wheels, in the frame's axes, over the travel."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from frame3d.geometry.arrays import Array, Complex
from frame3d.linkage.curves.tangent import tangent


@dataclass(frozen=True, eq=False)
class Ground:
    """The ground in the frame's axes at k poses: the line that both wheels touch from above.

    The frame stands still and the ground tilts. Heights, slopes and the wheelbase relative to this line
    are the same as on a frame that pitches on level ground. Points are complex, x + i·z [mm].
    """

    rear: Complex
    """Rear contact point, (k,) [mm]."""
    front: Complex
    """Front contact point, (k,) [mm]."""
    ahead: Complex
    """Unit vector forward along the ground, (k,)."""
    wheelbase: Array
    """Distance between the contact points, (k,) float [mm]."""

    def local(self, points: Complex) -> Complex:
        """Return points as distance forward of the rear contact + i·height over the ground [mm]."""
        return (points - self.rear) * np.conj(self.ahead)

    def directed(self, vectors: Complex) -> Complex:
        """Return vectors as forward + i·up relative to the ground."""
        return vectors * np.conj(self.ahead)

    def transfer(self, centre_of_mass: Complex) -> Array:
        """Return h/w, height of the centre of mass over the wheelbase, (k,).

        This share of a horizontal force, braking or driving, is the load that shifts between the wheels.

        Args:
            centre_of_mass: in the frame's axes, (k,) or (1,) complex [mm].
        """
        out: Array = self.local(centre_of_mass).imag / self.wheelbase
        return out

    @property
    def tilt(self) -> Array:
        """Slope of the ground in the frame's axes, positive where the frame's nose is down, (k,)
        [degrees].
        """
        out: Array = np.degrees(np.angle(self.ahead))
        return out


def ground(
    rear_axle: Complex, rear_radius: float, front_axle: ArrayLike, front_radius: float
) -> Ground:
    """Return the ground, the common lower tangent of both wheels.

    With the unit normal n upward from the ground, n·(front - rear) = front radius - rear radius.

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
