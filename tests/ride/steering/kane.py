"""The linear bicycle derived by Kane's method in SymPy: bodies, rotations, rolling contacts.

Straight running is steady, so inertia forces are of first order in lean, steer and their rates, and
partial velocities are wanted at zeroth order only; gravity, of zeroth order, through the potential energy
to second order, with the pitch that keeps the front wheel on the ground.
"""

from collections.abc import Sequence

import numpy as np
import sympy as sp

from frame3d.ride.steering.whipple import Whipple

DIGITS = 30
t, small, v, g = sp.symbols("t epsilon v g")
lean, steer, yaw, aside = (sp.Function(n)(t) for n in ("lean", "steer", "yaw", "aside"))
RATES = [lean.diff(t), steer.diff(t)]


def turn(axis: Sequence[sp.Expr], angle: sp.Expr) -> sp.Matrix:
    """The rotation by an angle about a unit vector (Rodrigues)."""
    x, y, z = axis
    k = sp.Matrix([[0, -z, y], [z, 0, -x], [-y, x, 0]])
    return sp.eye(3) + sp.sin(angle) * k + (1 - sp.cos(angle)) * k**2


def first_order(m: sp.Matrix) -> sp.Matrix:
    """What of a vector is of first order in the small quantities."""
    return m.diff(small).subs(small, 0).doit()


def by_kane(bicycle: Whipple) -> tuple[np.ndarray, ...]:
    """M, C1, K0, K2."""

    def number(x: float) -> sp.Float:
        return sp.Float(x, DIGITS)

    w, c = number(bicycle.wheelbase_m), number(bicycle.trail_m)
    tilt = number(bicycle.tilt_degrees) * sp.pi.evalf(DIGITS) / 180
    R, B, H, F = bicycle.rear_wheel, bicycle.body, bicycle.front_assembly, bicycle.front_wheel
    r_rear, r_front = number(R.radius_m), number(F.radius_m)
    pitch = sp.Symbol("pitch")

    # x forward, y right, z down. Yaw and lean about the rear contact, pitch about the rear axle, steer
    # about an axis through the ground at wheelbase + trail.
    leant = turn((0, 0, 1), small * yaw) * turn((1, 0, 0), small * lean)
    rear = leant * turn((0, 1, 0), small**2 * pitch)  # of second order
    axis = (sp.sin(tilt), 0, sp.cos(tilt))
    turned = turn(axis, small * steer)
    front = rear * turned
    contact = sp.Matrix([v * t, small * aside, 0])
    rear_axle = contact + leant * sp.Matrix([0, 0, -r_rear])
    ground_point = sp.Matrix([w + c, 0, 0])

    def on_rear(x: sp.Expr, z: sp.Expr) -> sp.Matrix:
        return rear_axle + rear * sp.Matrix([x, 0, z + r_rear])

    def on_front(x: sp.Expr, z: sp.Expr) -> sp.Matrix:
        at = ground_point + turned * (sp.Matrix([x, 0, z]) - ground_point)
        return rear_axle + rear * (at + sp.Matrix([0, 0, r_rear]))

    front_axle = on_front(w, -r_front)
    front_direction = front * sp.Matrix([0, 1, 0])

    def spin_of(m: sp.Matrix) -> sp.Matrix:
        """First order of the angular velocity of a rotation."""
        k = first_order(m.diff(t) * m.subs(small, 0).T)
        return sp.Matrix([k[2, 1], k[0, 2], k[1, 0]])

    # Rolling: the rear contact goes where the rear wheel points, and so does the front one. At first
    # order the point of the front wheel on the ground, were it not to spin, moves along the axle's
    # direction by its own velocity there and by the forward speed on the axle's turn.
    heading = {aside.diff(t): v * yaw}
    level = first_order(front_direction)[0]
    across = first_order(front_axle.diff(t)) + spin_of(front).cross(sp.Matrix([0, 0, r_front]))
    no_slip = (across[1] + v * level).subs(heading)
    yaw_rate = sp.solve(sp.expand(no_slip), yaw.diff(t))[0]
    known = {yaw.diff(t): sp.expand(yaw_rate)}

    def with_rolling(m: sp.Matrix) -> sp.Matrix:
        return sp.expand(m.subs(heading).subs(known))

    equations = sp.Matrix([0, 0])
    for mass, at in (
        (R.mass_kg, rear_axle),
        (B.mass_kg, on_rear(number(B.x_m), number(B.z_m))),
        (H.mass_kg, on_front(number(H.x_m), number(H.z_m))),
        (F.mass_kg, front_axle),
    ):
        velocity = with_rolling(first_order(at.diff(t)))
        acceleration = with_rolling(velocity.diff(t))
        equations += number(mass) * velocity.jacobian(RATES).T * acceleration

    for body, rotation in ((B, rear), (H, front)):
        inertia = sp.Matrix(
            [
                [number(body.ixx_kg_m2), 0, number(body.ixz_kg_m2)],
                [0, number(body.iyy_kg_m2), 0],
                [number(body.ixz_kg_m2), 0, number(body.izz_kg_m2)],
            ]
        )
        omega = with_rolling(spin_of(rotation))
        equations += omega.jacobian(RATES).T * with_rolling(inertia * omega.diff(t))
    for wheel, rotation, radius in ((R, rear, r_rear), (F, front, r_front)):
        omega = with_rolling(spin_of(rotation))
        across_axle = sp.Matrix([omega[0], 0, omega[2]])
        axle = first_order(rotation * sp.Matrix([0, 1, 0]))
        momentum = (
            number(wheel.ixx_kg_m2) * across_axle - number(wheel.iyy_kg_m2) * v / radius * axle
        )
        equations += omega.jacobian(RATES).T * with_rolling(momentum.diff(t))

    # Gravity: second order of the heights, with the pitch that brings the front wheel's lowest point,
    # its radius · sqrt(1 - (vertical part of its axle)²) below its middle, to the ground.
    def second_order(e: sp.Expr) -> sp.Expr:
        return e.diff(small, 2).subs(small, 0).doit() / 2

    lowest = front_axle[2] + r_front * sp.sqrt(1 - front_direction[2] ** 2)
    found = sp.solve(second_order(lowest), pitch)[0]
    energy = sum(
        -number(mass) * g * second_order(at[2]).subs(pitch, found)
        for mass, at in (
            (R.mass_kg, rear_axle),
            (B.mass_kg, on_rear(number(B.x_m), number(B.z_m))),
            (H.mass_kg, on_front(number(H.x_m), number(H.z_m))),
            (F.mass_kg, front_axle),
        )
    )
    equations += sp.Matrix([energy.diff(lean), energy.diff(steer)])

    whole = sp.expand(equations)

    def by(*variables: sp.Expr) -> sp.Matrix:
        return whole.jacobian(sp.Matrix(variables))

    stiffness = by(lean, steer)
    return tuple(
        np.array(sp.expand(m).subs({v: 1, g: 1}).evalf(), dtype=float)
        for m in (
            by(lean.diff(t, 2), steer.diff(t, 2)),
            by(*RATES).diff(v),
            stiffness.diff(g),
            stiffness.diff(v, 2) / 2,
        )
    )
