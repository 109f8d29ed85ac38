r"""Loads on both wheels on a slope: free bodies in the plane, without air resistance.

                        o centre of mass
                        |
                        | height, square to the ground
    *-------------------+------------*
    rear contact  ahead              front contact
    |<--------- wheelbase ---------->|

A gradient is the rise over the run, the tangent of the slope's angle θ: 0.2 for 20 %, negative downhill.
Moments about the contacts give the front wheel's share of the weight square to the ground,
(ahead - height·tan θ) / wheelbase, at a steady speed; everything here follows from that. The level limit
of braking, (wheelbase - ahead) / height, is eq. 3 of J. S. Riel, Maximal Braking on a Standard Bicycle
(2005); its eqs. 6 and 7 say that a descent takes its slope off it, to first order.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from frame3d.geometry.arrays import Array

LIGHT = 0.1
"""Below this share of the weight the front wheel hardly steers (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Balance:
    """The common centre of mass over the wheels; all of one shape (k,) or plain numbers [mm]."""

    ahead: Array
    """Distance of the centre of mass ahead of the rear contact, along the ground."""
    height: Array
    """Its distance from the ground, square to it."""
    wheelbase: Array
    """Distance between the contacts."""


def balance(ahead: ArrayLike, height: ArrayLike, wheelbase: ArrayLike) -> Balance:
    """Return the balance of figures in mm, of any shapes that go together."""
    x, h, w = np.broadcast_arrays(*(np.asarray(v, float) for v in (ahead, height, wheelbase)))
    return Balance(x, h, w)


def cosine(gradient: ArrayLike) -> Array:
    """Return the cosine of the slope's angle."""
    out: Array = 1 / np.hypot(1.0, np.asarray(gradient, float))
    return out


def sine(gradient: ArrayLike) -> Array:
    """Return the sine of the slope's angle, positive uphill."""
    out: Array = np.asarray(gradient, float) * cosine(gradient)
    return out


def front_share(bike: Balance, gradient: ArrayLike, pull: float = 1.0) -> Array:
    """Return the front wheel's share of the weight that both wheels carry, square to the ground.

    Below 0 the front wheel is lifted, above 1 the rear wheel.

    Args:
        bike: where its centre of mass is.
        gradient: rise over run.
        pull: drive (or, downhill, brake) as a multiple of what holds the speed: a push of the pedals
            pulls harder than the mean. The pitch that it starts is left out.
    """
    out: Array = (bike.ahead - pull * bike.height * np.asarray(gradient, float)) / bike.wheelbase
    return out


def gradient_at(bike: Balance, share: ArrayLike = 0.0, pull: ArrayLike = 1.0) -> Array:
    """Return the gradient at which the front wheel carries a share of the weight; `pull` as above.

    With a share of 0, the gradient at which the front wheel lifts.
    """
    carried = np.asarray(share, float) * bike.wheelbase
    out: Array = (bike.ahead - carried) / (np.asarray(pull, float) * bike.height)
    return out


def rear_lifts_at(bike: Balance, gradient: ArrayLike) -> Array:
    """Return the deceleration at which the rear wheel lifts [g].

    (wheelbase - ahead) / height · cos θ + sin θ; below 0 the rear wheel lifts at a steady speed already.
    """
    level = (bike.wheelbase - bike.ahead) / bike.height
    out: Array = level * cosine(gradient) + sine(gradient)
    return out


def rear_spring_load(
    bike: Balance, weight_n: float, gradient: ArrayLike, anti_squat: ArrayLike = 0.0
) -> Array:
    """Return the load that climbing at a steady speed puts on the rear spring, at the wheel [N].

    The wheel's load less what the chain carries: N - anti-squat · T · height / wheelbase, with the drive
    T = weight · sin θ. At 100 % it is the level load times cos θ.

    Args:
        bike: where its centre of mass is.
        weight_n: weight of rider and bicycle [N].
        gradient: rise over run.
        anti_squat: of the gear [%].
    """
    drive = weight_n * sine(gradient)
    wheel = weight_n * cosine(gradient) * (1 - front_share(bike, gradient))
    out: Array = wheel - np.asarray(anti_squat, float) / 100 * drive * bike.height / bike.wheelbase
    return out


def fork_load(load_n: ArrayLike, head_angle: ArrayLike, brake_n: ArrayLike = 0.0) -> Array:
    """Return the force along the steering axis that compresses the fork [N].

    The part of the wheel's load along the axis, and, with the caliper on the fork, of the brake's force.
    Friction is left out.

    Args:
        load_n: on the front wheel, square to the ground [N].
        head_angle: between steering axis and ground [degrees].
        brake_n: braking force at the front contact, against the direction of travel [N].
    """
    angle = np.radians(np.asarray(head_angle, float))
    out: Array = np.asarray(load_n, float) * np.sin(angle)
    out = out + np.asarray(brake_n, float) * np.cos(angle)
    return out
