"""Force and rate of the spring at the wheel.

By virtual work without friction and inertia, wheel force × d(travel) = shock force × d(stroke). So the
vertical wheel force is the shock force over the leverage ratio LR = d(travel)/d(stroke). The wheel rate
is its derivative by the travel, shock rate / LR² - shock force·(dLR/dstroke) / LR³; with a constant
ratio this is the usual shock rate / LR².
"""

from __future__ import annotations

from frame3d.geometry.arrays import Array


def wheel_force(shock_force: Array, leverage: Array) -> Array:
    """Return the vertical wheel force, (k,) [N], from the shock force [N] and the leverage ratio."""
    return shock_force / leverage


def wheel_rate(
    shock_force: Array, shock_rate: Array, leverage: Array, leverage_rate: Array
) -> Array:
    """Return the wheel rate, the derivative of the wheel force by the travel, (k,) [N/mm].

    Args:
        shock_force: (k,) [N].
        shock_rate: derivative of the shock force by the stroke, (k,) [N/mm].
        leverage: leverage ratio, (k,).
        leverage_rate: derivative of the leverage ratio by the stroke, (k,) [1/mm].
    """
    return (shock_rate - shock_force * leverage_rate / leverage) / leverage**2
