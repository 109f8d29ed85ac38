r"""The linearised Whipple bicycle: two rigid bodies and two thin wheels that roll, hands off.

After Meijaard, Papadopoulos, Ruina, Schwab (2007), Linearized dynamics equations for the balance and
steer of a bicycle, Proc. R. Soc. A 463, 1955-1982, doi 10.1098/rspa.2007.1857; formulas of its
appendix A, from memory, which the benchmark bicycle and an own derivation confirm.

    body: rear frame and rider         x forward, y to the right, z DOWN,
         o                             from the rear contact; metres, as the paper has them
          \___/ front assembly
         ( )  \( )                     lean to the right and steer to the right positive
    -----o-------o--> x
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.polynomial import Polynomial

from frame3d.geometry.arrays import Array, Complex

GRAVITY: Final = 9.80665
"""Standard gravity [m/s²]; the paper's benchmark has 9.81."""


@dataclass(frozen=True, slots=True)
class WheelMass:
    """A wheel: a thin disc with mass, symmetric about its axle."""

    radius_m: float
    mass_kg: float
    ixx_kg_m2: float
    """Moment of inertia about any diameter."""
    iyy_kg_m2: float
    """Moment of inertia about the axle."""


@dataclass(frozen=True, slots=True)
class BodyMass:
    """A rigid body, symmetric about the bicycle's middle plane."""

    x_m: float
    """Centre of mass ahead of the rear contact."""
    z_m: float
    """Centre of mass below the ground: negative."""
    mass_kg: float
    ixx_kg_m2: float
    """Elements of the inertia tensor about its own centre of mass."""
    iyy_kg_m2: float
    """Does not enter the linear equations."""
    izz_kg_m2: float
    ixz_kg_m2: float
    """The tensor's element: minus the integral of x·z over the mass."""


@dataclass(frozen=True, slots=True)
class Matrices:
    """M q'' + v C1 q' + (g K0 + v² K2) q = (lean torque, steer torque), with q = (lean, steer).

    Each (2, 2) float; v in m/s, q in radians, torques in N m.
    """

    mass: Array
    """M [kg m²]"""
    damping: Array
    """C1 [kg m]: per speed."""
    gravity: Array
    """K0 [kg m]: per gravity."""
    speed: Array
    """K2 [kg]: per speed squared."""


@dataclass(frozen=True, slots=True)
class Whipple:
    """The parameters of the bicycle, as table 1 of the paper lists them."""

    wheelbase_m: float
    trail_m: float
    tilt_degrees: float
    """Steering axis from the vertical: 90 less the head tube angle."""
    rear_wheel: WheelMass
    body: BodyMass
    """Rear frame and rider."""
    front_assembly: BodyMass
    """Fork, stem, bar: what turns with the bar, without the wheel."""
    front_wheel: WheelMass
    gravity_m_s2: float = GRAVITY

    def matrices(self) -> Matrices:
        """Return the coefficients of the linear equations of motion (appendix A, (A 1) to (A 22))."""
        w, c, tilt = self.wheelbase_m, self.trail_m, math.radians(self.tilt_degrees)
        sin, cos = math.sin(tilt), math.cos(tilt)
        R, B, H, F = self.rear_wheel, self.body, self.front_assembly, self.front_wheel
        # The whole bicycle, about the rear contact.
        xT_mT = B.x_m * B.mass_kg + H.x_m * H.mass_kg + w * F.mass_kg
        zT_mT = (
            B.z_m * B.mass_kg + H.z_m * H.mass_kg - R.radius_m * R.mass_kg - F.radius_m * F.mass_kg
        )
        ixx = (
            sum(part.ixx_kg_m2 for part in (R, B, H, F))
            + R.mass_kg * R.radius_m**2
            + B.mass_kg * B.z_m**2
            + H.mass_kg * H.z_m**2
            + F.mass_kg * F.radius_m**2
        )
        ixz = (
            B.ixz_kg_m2
            + H.ixz_kg_m2
            - B.mass_kg * B.x_m * B.z_m
            - H.mass_kg * H.x_m * H.z_m
            + F.mass_kg * w * F.radius_m
        )
        izz = (
            R.ixx_kg_m2
            + B.izz_kg_m2
            + H.izz_kg_m2
            + F.ixx_kg_m2
            + B.mass_kg * B.x_m**2
            + H.mass_kg * H.x_m**2
            + F.mass_kg * w**2
        )
        # Front assembly with its wheel, about the steering axis.
        mA, xA, zA, uA = self._front()
        a_xx = (
            H.ixx_kg_m2
            + F.ixx_kg_m2
            + H.mass_kg * (H.z_m - zA) ** 2
            + F.mass_kg * (F.radius_m + zA) ** 2
        )
        a_xz = (
            H.ixz_kg_m2
            - H.mass_kg * (H.x_m - xA) * (H.z_m - zA)
            + F.mass_kg * (w - xA) * (F.radius_m + zA)
        )
        a_zz = H.izz_kg_m2 + F.ixx_kg_m2 + H.mass_kg * (H.x_m - xA) ** 2 + F.mass_kg * (w - xA) ** 2
        a_ll = mA * uA**2 + a_xx * sin**2 + 2 * a_xz * sin * cos + a_zz * cos**2
        a_lx = -mA * uA * zA + a_xx * sin + a_xz * cos
        a_lz = mA * uA * xA + a_xz * sin + a_zz * cos
        mu = c / w * cos
        spin_r, spin_f = R.iyy_kg_m2 / R.radius_m, F.iyy_kg_m2 / F.radius_m
        spin = spin_r + spin_f
        sA = mA * uA + mu * xT_mT
        k = cos / w
        lean_steer = a_lx + mu * ixz
        return Matrices(
            mass=np.array([[ixx, lean_steer], [lean_steer, a_ll + 2 * mu * a_lz + mu**2 * izz]]),
            damping=np.array(
                [
                    [0.0, mu * spin + spin_f * cos + ixz * k - mu * zT_mT],
                    [-(mu * spin + spin_f * cos), a_lz * k + mu * (sA + izz * k)],
                ]
            ),
            gravity=np.array([[zT_mT, -sA], [-sA, -sA * sin]]),
            speed=np.array([[0.0, (spin - zT_mT) * k], [0.0, (sA + spin_f * sin) * k]]),
        )

    def _front(self) -> tuple[float, float, float, float]:
        """Return mass, x, z of front assembly with wheel, and its lead on the axis [kg, m]."""
        H, F = self.front_assembly, self.front_wheel
        mass = H.mass_kg + F.mass_kg
        x = (H.x_m * H.mass_kg + self.wheelbase_m * F.mass_kg) / mass
        z = (H.z_m * H.mass_kg - F.radius_m * F.mass_kg) / mass
        tilt = math.radians(self.tilt_degrees)
        ahead = (x - self.wheelbase_m - self.trail_m) * math.cos(tilt) - z * math.sin(tilt)
        return mass, x, z, ahead

    @property
    def falling_in_nm_per_rad(self) -> float:
        """Torque with which bars turned at rest turn on, upright: g·SA·sin(tilt) per radian [N m].

        Both the front end that goes down with the trail and the front assembly's own mass ahead of the
        steering axis.
        """
        return -self.gravity_m_s2 * float(self.matrices().gravity[1, 1])

    def eigenvalues(self, speeds: Array) -> Complex:
        """Return the eigenvalues at each speed [1/s], by real, then imaginary part.

        Args:
            speeds: (n,) float [m/s].

        Returns:
            (n, 4) complex: a positive real part grows, an imaginary part swings.
        """
        m = self.matrices()
        inverse = np.linalg.inv(m.mass)
        first = np.zeros((len(speeds), 4, 4))
        first[:, :2, 2:] = np.eye(2)
        v = np.asarray(speeds, dtype=float)[:, None, None]
        first[:, 2:, :2] = -inverse @ (self.gravity_m_s2 * m.gravity + v**2 * m.speed)
        first[:, 2:, 2:] = -v * (inverse @ m.damping)
        found = np.linalg.eigvals(first)
        order = np.lexsort((found.imag, found.real.round(9)), axis=-1)
        return np.take_along_axis(found, order, axis=-1).astype(np.complex128)

    def characteristic(self) -> tuple[Polynomial, ...]:
        """Return det(s² M + s v C1 + g K0 + v² K2): of s⁴ to s⁰, each a polynomial in v."""
        m, g = self.matrices(), self.gravity_m_s2
        M, C, K0, K2 = m.mass, m.damping, m.gravity, m.speed
        return (
            Polynomial([_det(M)]),
            Polynomial([0.0, _mixed(M, C)]),
            Polynomial([g * _mixed(M, K0), 0.0, _mixed(M, K2) + _det(C)]),
            Polynomial([0.0, g * _mixed(C, K0), 0.0, _mixed(C, K2)]),
            Polynomial([g**2 * _det(K0), 0.0, g * _mixed(K0, K2)]),
        )

    def capsize_speed(self) -> float | None:
        """Return the speed at which the slow falling over begins [m/s]; None where there is none.

        There an eigenvalue is zero: det(g K0 + v² K2) = 0.
        """
        constant, _, square = (float(k) for k in self.characteristic()[4].coef)
        return _root(-constant / square) if square != 0.0 else None

    def weave_speed(self) -> float | None:
        """Return the lowest speed at which the swinging neither grows nor dies [m/s]; None if none.

        There a pair of eigenvalues is imaginary: by Hurwitz b c d = a d² + b² e, and s² = -d/b < 0.
        """
        a, b, c, d, e = self.characteristic()
        # b and d are odd in v: with V = v² each is v times a polynomial in V.
        a_, b_, e_ = float(a.coef[0]), float(b.coef[1]), Polynomial(e.coef[::2])
        c_, d_ = Polynomial(c.coef[::2]), Polynomial(d.coef[1::2])
        left = b_ * c_ * d_ - a_ * d_**2 - b_**2 * e_
        squares = [V for V in _real_roots(left) if V > 0 and float(d_(V)) / b_ > 0]
        return math.sqrt(min(squares)) if squares else None

    def double_root(self) -> tuple[float, float] | None:
        """Return the speed at which two real eigenvalues meet and begin to swing, and that eigenvalue.

        None where they never do above standstill. [m/s, 1/s]
        """
        coefficients = self.characteristic()
        for v in sorted(v for v in _real_roots(_discriminant(*coefficients)) if v > 1e-6):
            quartic = Polynomial([float(p(v)) for p in reversed(coefficients)])
            near = min(_real_roots(quartic.deriv()), key=lambda s: abs(float(quartic(s))))
            scale = sum(abs(float(k)) * abs(near) ** i for i, k in enumerate(quartic.coef))
            if abs(float(quartic(near))) < 1e-6 * scale:
                return self._fold(v, near)
        return None

    def _fold(self, v: float, s: float) -> tuple[float, float]:
        """Return where the characteristic polynomial and its derivative by s are zero, by Newton."""
        coefficients = self.characteristic()[::-1]
        for _ in range(8):
            p = Polynomial([float(k(v)) for k in coefficients])
            by_v = Polynomial([float(k.deriv()(v)) for k in coefficients])
            value = np.array([p(s), p.deriv()(s)])
            slope = np.array([[by_v(s), p.deriv()(s)], [by_v.deriv()(s), p.deriv(2)(s)]])
            step = np.linalg.solve(slope, value)
            v, s = float(v - step[0]), float(s - step[1])
        return v, s

    def steady_turn(self, speed: float) -> tuple[float, float]:
        """Return lean per steer and the torque to be held at the bar per steer, in a steady turn.

        Args:
            speed: [m/s]

        Returns:
            rad/rad and N m/rad; a negative torque is held against the turn.
        """
        m = self.matrices()
        k = self.gravity_m_s2 * m.gravity + speed**2 * m.speed
        return -float(k[0, 1] / k[0, 0]), _det(k) / float(k[0, 0])


def _det(a: Array) -> float:
    return float(a[0, 0] * a[1, 1] - a[0, 1] * a[1, 0])


def _mixed(a: Array, b: Array) -> float:
    """Return the part of det(a + b) that holds elements of both."""
    return float(a[0, 0] * b[1, 1] + a[1, 1] * b[0, 0] - a[0, 1] * b[1, 0] - a[1, 0] * b[0, 1])


def _root(square: float) -> float | None:
    return math.sqrt(square) if square > 0 else None


def _real_roots(p: Polynomial) -> list[float]:
    """Return the real roots of a polynomial with real coefficients."""
    roots: Complex = np.asarray(p.trim().roots(), dtype=np.complex128)
    return [float(r.real) for r in roots if abs(r.imag) <= 1e-6 * abs(r)]


def _discriminant(
    a: Polynomial, b: Polynomial, c: Polynomial, d: Polynomial, e: Polynomial
) -> Polynomial:
    """Return the discriminant of a s⁴ + b s³ + c s² + d s + e, by way of its resolvent cubic.

    27·disc = 4 I³ - J² with the invariants I = 12 a e - 3 b d + c² and
    J = 72 a c e + 9 b c d - 27 a d² - 27 e b² - 2 c³.
    """
    first = 12 * a * e - 3 * b * d + c**2
    second = 72 * a * c * e + 9 * b * c * d - 27 * a * d**2 - 27 * e * b**2 - 2 * c**3
    return (4 * first**3 - second**2) / 27
