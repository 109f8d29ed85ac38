"""Mass, centre of mass and inertia of pieces of a bicycle and its rider, and of several together.

Axes as everywhere here: x forward, y to the left, z up. Places in mm, inertia in kg m² about the piece's
own centre of mass; the tensor's elements, so off the diagonal minus the integral of the product.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.geometry.vector import Point, mirrored, pitched, point, vector

SLENDER = 12**-0.5
"""Radius of gyration of a uniform slender rod about its middle, over its length."""


@dataclass(frozen=True, slots=True)
class RigidPiece:
    """A rigid piece."""

    mass_kg: float
    at: Point
    """Centre of mass."""
    inertia: Array
    """(3, 3) float [kg m²]"""

    @property
    def mirrored(self) -> RigidPiece:
        """The same piece on the other side of the middle plane."""
        turn = np.diag([1.0, -1.0, 1.0])
        return RigidPiece(self.mass_kg, mirrored(self.at), turn @ self.inertia @ turn)

    def placed_at(self, at: Point) -> RigidPiece:
        """Return the same piece with its centre of mass elsewhere."""
        return RigidPiece(self.mass_kg, at, self.inertia)

    def scaled(self, share: float) -> RigidPiece:
        """Return a piece of the same size with another mass."""
        return RigidPiece(share * self.mass_kg, self.at, share * self.inertia)

    def pitched(self, angle: float) -> RigidPiece:
        """Return the piece turned about the bottom bracket, nose up [degrees]."""
        turn = np.radians(angle)
        c, s = np.cos(turn), np.sin(turn)
        by = np.array([[c, 0.0, -s], [0.0, 1.0, 0.0], [s, 0.0, c]])
        return RigidPiece(self.mass_kg, pitched(self.at, angle), by @ self.inertia @ by.T)


def point_mass(mass_kg: float, at: Point) -> RigidPiece:
    """Return a piece whose own size does not matter."""
    return RigidPiece(mass_kg, at, np.zeros((3, 3)))


def rod(mass_kg: float, start: Point, end: Point) -> RigidPiece:
    """Return a uniform slender rod: m·length²/12 about its middle (any textbook of mechanics)."""
    return limb(mass_kg, start, end, 0.5, (SLENDER, SLENDER, 0.0))


def limb(
    mass_kg: float,
    start: Point,
    end: Point,
    centre_share: float,
    gyration: tuple[float, float, float],
) -> RigidPiece:
    """Return a segment of a body.

    Args:
        mass_kg: of it.
        start: the joint from which its centre counts.
        end: its other end.
        centre_share: from start to centre of mass over start to end.
        gyration: radii of gyration over start to end, about the axis that is square to the segment and
            to the sideways one, about the sideways one, and about the segment itself.
    """
    a, b = vector(start), vector(end)
    length = float(np.linalg.norm(b - a))
    if length < 1e-9:
        return point_mass(mass_kg, start)
    along = (b - a) / length
    aside = np.array([0.0, 1.0, 0.0]) - along[1] * along
    if float(np.linalg.norm(aside)) < 1e-6:  # lies sideways itself
        aside = np.array([1.0, 0.0, 0.0])
    aside = aside / np.linalg.norm(aside)
    axes = (np.cross(aside, along), aside, along)
    inertia = sum(
        ((radius * length / 1000) ** 2 * np.outer(axis, axis))
        for radius, axis in zip(gyration, axes, strict=True)
    )
    return RigidPiece(mass_kg, point(a + centre_share * (b - a)), mass_kg * np.asarray(inertia))


def hoop(mass_kg: float, at: Point, radius: float, tube_radius: float = 0.0) -> RigidPiece:
    """Return a thin-walled ring of round section about an axle across the bike.

    About the axle R² + 3/2 r², about a diameter R²/2 + 5/4 r², times the mass: the surface of a torus
    (integrated over it).

    Args:
        mass_kg: of it.
        at: its middle.
        radius: of its middle line [mm].
        tube_radius: of its section [mm].
    """
    square, section = (radius / 1000) ** 2, (tube_radius / 1000) ** 2
    across = square / 2 + 5 / 4 * section
    return RigidPiece(mass_kg, at, mass_kg * np.diag([across, square + 3 / 2 * section, across]))


def disc(mass_kg: float, at: Point, radius: float) -> RigidPiece:
    """Return a thin uniform disc about an axle across the bike: m·R²/2 and m·R²/4 (any textbook)."""
    square = (radius / 1000) ** 2
    return RigidPiece(mass_kg, at, mass_kg * np.diag([square / 4, square / 2, square / 4]))


def combined(pieces: Iterable[RigidPiece]) -> RigidPiece:
    """Return pieces fixed to one another as one: parallel axis theorem.

    Raises:
        ValueError: there is no mass.
    """
    there = list(pieces)
    mass = sum(piece.mass_kg for piece in there)
    if mass <= 0:
        raise ValueError("pieces without mass have no centre of mass")
    centre = sum((piece.mass_kg * vector(piece.at) for piece in there), np.zeros(3)) / mass
    inertia = np.zeros((3, 3))
    for piece in there:
        d = (vector(piece.at) - centre) / 1000
        inertia += piece.inertia + piece.mass_kg * (d @ d * np.eye(3) - np.outer(d, d))
    return RigidPiece(mass, point(centre), inertia)
