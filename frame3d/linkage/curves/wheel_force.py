"""What the spring does at the wheel.

Virtual work without friction and inertia: wheel force × d(travel) = shock force × d(stroke), so the
vertical wheel force is the shock force over the leverage ratio LR = d(travel)/d(stroke). The wheel rate
is its derivative by the travel, (shock rate / LR²) - shock force·(dLR/dstroke) / LR³; with a constant
ratio it is the trade's rate over LR².
"""

from __future__ import annotations

from frame3d.linkage.linear import Array


def wheel_force(shock_force: Array, leverage: Array) -> Array:
    """(k,) [N]."""
    return shock_force / leverage


def wheel_rate(
    shock_force: Array, shock_rate: Array, leverage: Array, leverage_rate: Array
) -> Array:
    """(k,) [N/mm].

    Args:
        shock_force: (k,) [N].
        shock_rate: its derivative by the stroke, (k,) [N/mm].
        leverage: (k,).
        leverage_rate: its derivative by the stroke, (k,) [1/mm].
    """
    return (shock_rate - shock_force * leverage_rate / leverage) / leverage**2
