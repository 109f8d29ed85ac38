"""The linearised bicycle of a bike: its parameters, matrices, and eigenvalues over speed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.geometry.vector import Point
from frame3d.ride.steering.mass_properties import RigidPiece
from frame3d.ride.steering.rigid_bodies import RigidBodies
from frame3d.ride.steering.whipple import BodyMass, Matrices, WheelMass, Whipple

LABEL: Final = "hands off, rigid rider, thin tyres"
CAVEAT: Final = (
    "Weave and capsize speed belong to the model: arms on the bar and real tyres change where a bicycle "
    "is stable by itself, or take that away (Doria, Tognazzo 2014; Doria, Roa, Muñoz 2019). They "
    "compare bikes, and promise nothing about a ridden one."
)
SPEEDS: Final = tuple(float(v) for v in range(13))
"""Speeds at which eigenvalues are listed [m/s]."""


@dataclass(frozen=True, slots=True)
class AtSpeed:
    """The linearised bicycle at one speed."""

    speed_m_s: float
    eigenvalues_per_s: tuple[complex, ...]
    """Four, by real, then imaginary part: a positive real part grows, an imaginary part swings."""
    steady_lean_per_steer: float
    """In a steady turn; 1 is a degree of lean for a degree of bar."""
    steady_torque_nm_per_degree: float
    """To be held at the bar in a steady turn, per degree of bar; negative against the turn."""


@dataclass(frozen=True, slots=True)
class LinearBicycle:
    """The linearised Whipple bicycle of Meijaard et al. (2007) for a bike and its rider."""

    label: str
    caveat: str
    at_sag: bool
    """Whether the bike stands under its rider; else as drawn."""
    parameters: Whipple
    matrices: Matrices
    weave_speed_m_s: float | None
    """Lowest speed at which swinging dies out; None where there is none."""
    capsize_speed_m_s: float | None
    """Speed from which it falls over slowly; None where there is none."""
    meeting_speed_m_s: float | None
    """Speed from which it swings at all: two real eigenvalues meet."""
    over_speed: tuple[AtSpeed, ...]
    rider_mass_kg: float
    rider_inertia_kg_m2: Array
    """(3, 3) about the rider's own centre of mass, x forward, y to the right, z down."""


def whipple_of(
    bodies: RigidBodies, nodes: Mapping[str, Point], chart: Mapping[str, float | None]
) -> Whipple:
    """Return the parameters of a bike on level ground.

    Args:
        bodies: of the bike in the same stance.
        nodes: named points [mm].
        chart: figures [mm, degrees].
    """
    rear, front = nodes["rear_contact"], nodes["front_contact"]
    trail, angle = chart["trail"], chart["head_tube_angle"]
    assert trail is not None
    assert angle is not None

    def body(piece: RigidPiece) -> BodyMass:
        turned = in_paper_axes(piece.inertia)
        return BodyMass(
            x_m=(piece.at[0] - rear[0]) / 1000,
            z_m=-(piece.at[2] - rear[2]) / 1000,
            mass_kg=piece.mass_kg,
            ixx_kg_m2=float(turned[0, 0]),
            iyy_kg_m2=float(turned[1, 1]),
            izz_kg_m2=float(turned[2, 2]),
            ixz_kg_m2=float(turned[0, 2]),
        )

    def wheel(piece: RigidPiece, radius: float) -> WheelMass:
        return WheelMass(
            radius_m=radius / 1000,
            mass_kg=piece.mass_kg,
            ixx_kg_m2=float(piece.inertia[0, 0]),
            iyy_kg_m2=float(piece.inertia[1, 1]),
        )

    return Whipple(
        wheelbase_m=(front[0] - rear[0]) / 1000,
        trail_m=trail / 1000,
        tilt_degrees=90.0 - angle,
        rear_wheel=wheel(bodies.rear_wheel, nodes["rear_axle"][2] - rear[2]),
        body=body(bodies.body),
        front_assembly=body(bodies.front_assembly),
        front_wheel=wheel(bodies.front_wheel, nodes["front_axle"][2] - front[2]),
    )


def in_paper_axes(inertia: Array) -> Array:
    """Return an inertia tensor of ISO 8855 axes in those of the paper: y to the right, z down."""
    turn = np.diag([1.0, -1.0, -1.0])
    return turn @ inertia @ turn + 0.0


def linear_bicycle(parameters: Whipple, rider: RigidPiece, *, at_sag: bool) -> LinearBicycle:
    """Return the linearised bicycle over `SPEEDS`."""
    eigenvalues = parameters.eigenvalues(np.array(SPEEDS))
    turns = [parameters.steady_turn(speed) for speed in SPEEDS]
    meeting = parameters.double_root()
    return LinearBicycle(
        label=LABEL,
        caveat=CAVEAT,
        at_sag=at_sag,
        parameters=parameters,
        matrices=parameters.matrices(),
        weave_speed_m_s=parameters.weave_speed(),
        capsize_speed_m_s=parameters.capsize_speed(),
        meeting_speed_m_s=None if meeting is None else meeting[0],
        over_speed=tuple(
            AtSpeed(speed, tuple(complex(s) for s in found), lean, float(np.radians(torque)))
            for speed, found, (lean, torque) in zip(SPEEDS, eigenvalues, turns, strict=True)
        ),
        rider_mass_kg=rider.mass_kg,
        rider_inertia_kg_m2=in_paper_axes(rider.inertia),
    )
