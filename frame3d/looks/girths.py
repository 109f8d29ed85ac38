"""How thick a body is: the shape of each segment, as wide as its mass fills it.

A segment is a row of rings along its own axis, from joint to joint, with a rounded end over each joint:

::

          rounded end                                     rounded end
             .--o------------------------------------------o--.
    s < 0  (    |  across, deep, ahead at each s           |    )  s > length
             '--o------------------------------------------o--'
              joint                                       joint

Its profile is drawn by hand (common practice, no source) and then made wider or narrower as a whole
until it takes up what its mass does at `DENSITY`; so a heavier rider of the same height is drawn
heavier. Head and feet keep to the stature and the shoe: weight hardly changes them.

Masses are those of Winter, Biomechanics and Motor Control of Human Movement, 2nd edition, table 3.1
(published, two public copies agree).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

MASS_SHARES: Final[Mapping[str, float]] = MappingProxyType(
    {
        "trunk": 0.497,
        "upper_arm": 0.028,
        "forearm": 0.016,
        "hand": 0.006,
        "thigh": 0.100,
        "shank": 0.0465,
    }
)
"""Of the body's mass; of one side where there are two. The rest is head, neck and feet."""
DENSITY: Final = 1.06e-6
"""Of the body [kg/mm³], about that of water; common practice, no source."""

Ring = tuple[float, float, float, float]
"""Place along the axis, half width across the body, half depth, and how far its middle stands ahead of
the axis [mm]."""

ROUND_STEPS: Final = 5
"""Rings of a rounded end."""

# Share of the length from the first joint on; half width, half depth and the middle's distance ahead, as
# shares of each segment's unit.
TRUNK: Final[Sequence[Ring]] = (
    (-0.196, 0.03, 0.03, -0.012), (-0.191, 0.095, 0.075, -0.012), (-0.176, 0.165, 0.124, -0.014),
    (-0.148, 0.228, 0.170, -0.019), (-0.105, 0.283, 0.205, -0.028), (-0.050, 0.317, 0.227, -0.037),
    (0.010, 0.330, 0.235, -0.042), (0.080, 0.325, 0.230, -0.040), (0.160, 0.305, 0.214, -0.033),
    (0.260, 0.281, 0.198, -0.028), (0.360, 0.273, 0.194, -0.032), (0.460, 0.284, 0.202, -0.040),
    (0.570, 0.305, 0.216, -0.050), (0.680, 0.324, 0.226, -0.056), (0.780, 0.338, 0.220, -0.058),
    (0.870, 0.345, 0.200, -0.056), (0.935, 0.336, 0.176, -0.051), (0.985, 0.300, 0.154, -0.045),
    (1.025, 0.245, 0.135, -0.039), (1.065, 0.185, 0.118, -0.033), (1.100, 0.135, 0.098, -0.027),
    (1.122, 0.085, 0.068, -0.022), (1.134, 0.03, 0.025, -0.020),
)  # fmt: skip
"""Hip to shoulder, with its own ends; the unit is its length."""
LIMBS: Final[Mapping[str, Sequence[Ring]]] = MappingProxyType(
    {
        "thigh": (
            (0.0, 1.14, 1.20, 0.0), (0.08, 1.15, 1.22, 0.0), (0.18, 1.13, 1.20, 0.02),
            (0.30, 1.08, 1.15, 0.05), (0.45, 1.00, 1.06, 0.07), (0.60, 0.90, 0.95, 0.06),
            (0.75, 0.79, 0.83, 0.03), (0.88, 0.72, 0.75, 0.01), (1.0, 0.70, 0.73, 0.0),
        ),
        "shank": (
            (0.0, 1.04, 1.08, 0.0), (0.07, 1.04, 1.08, 0.0), (0.16, 1.12, 1.15, -0.08),
            (0.26, 1.21, 1.23, -0.15), (0.36, 1.19, 1.22, -0.17), (0.48, 1.06, 1.10, -0.14),
            (0.62, 0.88, 0.92, -0.08), (0.76, 0.74, 0.78, -0.03), (0.90, 0.66, 0.70, 0.0),
            (1.0, 0.66, 0.70, 0.0),
        ),
        "upper_arm": (
            (0.0, 1.12, 1.16, 0.0), (0.08, 1.15, 1.20, 0.0), (0.20, 1.13, 1.18, 0.0),
            (0.35, 1.03, 1.10, 0.03), (0.50, 0.96, 1.06, 0.05), (0.66, 0.90, 0.98, 0.03),
            (0.84, 0.84, 0.86, 0.0), (1.0, 0.82, 0.83, 0.0),
        ),
        "forearm": (
            (0.0, 0.98, 0.97, 0.0), (0.08, 1.05, 1.04, 0.0), (0.20, 1.18, 1.12, 0.0),
            (0.34, 1.17, 1.10, 0.0), (0.52, 1.02, 0.97, 0.0), (0.72, 0.84, 0.80, 0.0),
            (0.88, 0.76, 0.70, 0.0), (1.0, 0.76, 0.68, 0.0),
        ),
        "hand": (
            (0.0, 0.84, 0.66, 0.0), (0.22, 1.00, 0.70, 0.0), (0.50, 1.26, 0.84, 0.0),
            (0.78, 1.40, 1.02, 0.0), (1.0, 1.34, 1.04, 0.0),
        ),
    }
)  # fmt: skip
"""Between two joints; the unit is the radius of the cylinder that would have the segment's volume."""
NECK: Final[Sequence[Ring]] = (
    (-0.6, 0.40, 0.32, -0.16), (-0.25, 0.32, 0.30, -0.13), (0.1, 0.272, 0.282, -0.10),
    (0.6, 0.250, 0.268, -0.07), (1.1, 0.235, 0.245, -0.06), (1.5, 0.20, 0.20, -0.04),
    (1.9, 0.10, 0.10, -0.02),
)  # fmt: skip
"""Shoulder to chin; half widths are shares of the head's height."""
HEAD: Final[Sequence[Ring]] = (
    (-0.02, 0.06, 0.06, 0.11), (-0.008, 0.135, 0.145, 0.105), (0.03, 0.195, 0.215, 0.092),
    (0.10, 0.235, 0.282, 0.066), (0.22, 0.268, 0.342, 0.034), (0.36, 0.298, 0.384, 0.010),
    (0.50, 0.322, 0.412, -0.008), (0.64, 0.332, 0.420, -0.018), (0.76, 0.316, 0.400, -0.024),
    (0.86, 0.272, 0.345, -0.026), (0.94, 0.195, 0.25, -0.024), (0.98, 0.115, 0.15, -0.022),
    (1.0, 0.03, 0.04, -0.020),
)  # fmt: skip
"""Chin to vertex; all are shares of the head's height."""
SHOE: Final[Sequence[tuple[float, float, float, float]]] = (
    (0.0, 0.04, 0.03, 0.10), (0.008, 0.085, 0.012, 0.17), (0.03, 0.115, 0.004, 0.235),
    (0.08, 0.132, 0.0, 0.275), (0.16, 0.138, 0.0, 0.292), (0.25, 0.136, 0.0, 0.288),
    (0.34, 0.134, 0.0, 0.262), (0.44, 0.140, 0.0, 0.226), (0.56, 0.158, 0.0, 0.190),
    (0.68, 0.174, 0.0, 0.162), (0.78, 0.176, 0.002, 0.142), (0.87, 0.158, 0.010, 0.124),
    (0.94, 0.120, 0.022, 0.108), (0.98, 0.074, 0.034, 0.094), (1.0, 0.022, 0.052, 0.072),
)  # fmt: skip
"""Heel to toe: place, half width, underside and top, all as shares of the shoe's length."""


@dataclass(frozen=True)
class Shape:
    """A segment's surface about its own axis, from its first joint along it."""

    rings: tuple[Ring, ...]
    square: float = 2.0
    """Exponent of its sections: 2 for ellipses, more for sections that fill their corners."""

    @property
    def area_share(self) -> float:
        """Area of a section over across × deep: π for ellipses.

        That of |x/a|ⁿ + |y/b|ⁿ = 1 is 4·Γ(1 + 1/n)² / Γ(1 + 2/n) (closed form of the superellipse).
        """
        n = self.square
        return 4 * math.gamma(1 + 1 / n) ** 2 / math.gamma(1 + 2 / n)

    def volume(self, low: float = -math.inf, high: float = math.inf) -> float:
        """Return the volume between two places of the axis at which rings stand [mm³]."""
        total = 0.0
        for (s, a, b, _), (t, c, d, _) in zip(self.rings, self.rings[1:], strict=False):
            if s >= low - 1e-9 and t <= high + 1e-9:
                # Widths are linear between rings, so the area is quadratic: Simpson's rule is exact.
                total += (t - s) * (2 * a * b + 2 * c * d + a * d + b * c) / 6
        return self.area_share * total


def limb(name: str, length: float, mass: float) -> Shape:
    """Return a limb's segment between two joints, with a rounded end over each.

    Args:
        name: one of `LIMBS`.
        length: from joint to joint [mm].
        mass: of the segment [kg].
    """
    profile = LIMBS[name]
    plain = Shape(tuple((s * length, a, b, c) for s, a, b, c in profile))
    unit = math.sqrt(mass / DENSITY / plain.volume())
    rings = [(s * length, unit * a, unit * b, unit * c) for s, a, b, c in profile]
    return Shape((*_rounded(rings[0], -1.0), *rings, *_rounded(rings[-1], 1.0)[::-1]))


def trunk(length: float, mass: float) -> Shape:
    """Return the trunk, hip to shoulder, ends included.

    Args:
        length: from hip to shoulder [mm].
        mass: of trunk without neck and head [kg].
    """
    square = 2.3
    plain = Shape(tuple((s * length, a, b, c) for s, a, b, c in TRUNK), square)
    unit = math.sqrt(mass / DENSITY / plain.volume())
    return Shape(tuple((s, unit * a, unit * b, c * length) for s, a, b, c in plain.rings), square)


def neck(length: float, head: float) -> Shape:
    """Return the neck, shoulder to chin.

    Args:
        length: from shoulder to chin [mm].
        head: height of the head [mm].
    """
    return Shape(tuple((s * length, a * head, b * head, c * head) for s, a, b, c in NECK))


def skull(head: float) -> Shape:
    """Return the head, chin to vertex, of a height [mm]."""
    return Shape(tuple((s * head, a * head, b * head, c * head) for s, a, b, c in HEAD))


def shoe(length: float) -> Shape:
    """Return a foot in its shoe, heel to toe along the underside, of a length [mm]."""
    rings = [(s, a, (top - low) / 2, (top + low) / 2) for s, a, low, top in SHOE]
    return Shape(
        tuple((s * length, a * length, b * length, c * length) for s, a, b, c in rings), 2.4
    )


def _rounded(ring: Ring, way: float) -> list[Ring]:
    """Return the rings of an ellipsoid's half over the end at `ring`, from its pole on."""
    s, a, b, c = ring
    radius = (a + b) / 2
    out = []
    for i in range(ROUND_STEPS):
        turn = math.pi / 2 * (1 - i / ROUND_STEPS)
        # The pole is a small ring, so that every ring has as many corners.
        share = max(math.cos(turn), 0.02)
        out.append((s + way * radius * math.sin(turn), share * a, share * b, c))
    return out
