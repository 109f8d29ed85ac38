"""Area, second moments, torsion constant and shear areas of sections, for a beam's flexibility.

All sizes are arrays of n places along a beam. Formulas hold for complex numbers too, so that a
complex step gives their derivatives without loss of digits.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from frame3d.geometry import rounded

Numbers = npt.NDArray[Any]
"""(n,) float, or complex where a derivative is taken by a complex step."""


@dataclass(frozen=True, slots=True)
class SectionConstants:
    """What a section gives to a beam, each (n,)."""

    area: Numbers
    """[mm²]"""
    upright: Numbers
    """Second moment of area for bending in the plane of height and axis [mm⁴]."""
    sideways: Numbers
    """Second moment of area for bending in the plane of width and axis [mm⁴]."""
    torsion: Numbers
    """Torsion constant J [mm⁴]."""
    shear_upright: Numbers
    """Shear area, shear coefficient times area, for a force along the height [mm²]."""
    shear_sideways: Numbers
    """Shear area for a force along the width [mm²]."""


def hollow_oval(
    outer: tuple[Numbers, Numbers], inner: tuple[Numbers, Numbers], poisson: float
) -> SectionConstants:
    """Return the constants between two ellipses of the same axes, or of a full one.

    Area and second moments are exact. The torsion constant is exact for rings and full ellipses
    (Saint-Venant); between others it is Bredt's formula on the mean line with the mean wall, times
    the ratio by which a ring of the same mean radius and wall exceeds it. Shear coefficients are
    Cowper's (1966) of a ring of the same ratio of areas (value from memory of the paper). In a thin
    oval both directions share them by (height/width)^1.5: a rough rule, as shear gives under 1 % of a
    frame's deflection.

    Args:
        outer: half height and half width of the outside [mm].
        inner: the same of the bore, both 0 for a full section [mm].
        poisson: Poisson's ratio.
    """
    (a, b), (c, d) = outer, inner
    area = np.pi * (a * b - c * d)
    hollow = (c.real > 0) & (d.real > 0)
    mean_a, mean_b = (a + c) / 2, (b + d) / 2
    enclosed = np.pi * mean_a * mean_b
    around = _perimeter(mean_a, mean_b)
    wall = area / around
    bredt = 4 * enclosed**2 * wall / around * (1 + (wall * around / (4 * enclosed)) ** 2)
    full = np.pi * (a * b) ** 3 / (a**2 + b**2)
    ratio = np.where(hollow, c * d / (a * b), 0.0)  # m² of Cowper's formula
    square = (1 + ratio) ** 2
    cowper = 6 * (1 + poisson) * square
    cowper = cowper / ((7 + 6 * poisson) * square + (20 + 12 * poisson) * ratio)
    tall, wide = a**1.5, b**1.5
    share = np.where(hollow, 2 * tall / (tall + wide), 1.0)
    return SectionConstants(
        area=area,
        upright=np.pi / 4 * (a**3 * b - c**3 * d),
        sideways=np.pi / 4 * (a * b**3 - c * d**3),
        torsion=np.where(hollow, bredt, full),
        shear_upright=cowper * share * area,
        shear_sideways=cowper * (2 - share) * area,
    )


def hollow_rounded(
    outer: tuple[Numbers, Numbers, Numbers], inner: tuple[Numbers, Numbers, Numbers]
) -> SectionConstants:
    """Return the constants between two rounded outlines (`geometry.rounded`), or of a full one.

    Area and second moments are exact, about the centroid, which in a D lies beside the tube's axis: the
    beam runs along the axis all the same, some millimetres off. The torsion constant of a hollow one is
    Bredt's for a thin closed wall on the mean line, 4 A² t / u, and what the wall adds as an open strip,
    u t³ / 3 (values from memory of Timoshenko, Strength of Materials); of a full one Saint-Venant's
    approximation A⁴ / (40 Ip), which is within some per cent of compact sections (value from memory of
    the same). Shear goes through the two walls along the force, less 0.7 of a radius at either end: a
    rule of our own, within 15 % of finite elements, as shear gives under 1 % of a frame's deflection.

    Args:
        outer: half height, half width (n,) and the corners' radii (n, 4) of the outside [mm].
        inner: the same of the bore, all 0 for a full section [mm].
    """
    (a, b, r), (c, d, q) = outer, inner
    area = rounded.area(a, b, r) - rounded.area(c, d, q)
    (first, second), (less, lesser) = rounded.moments(a, b, r), rounded.moments(c, d, q)
    about = second - lesser - (first - less) ** 2 / area[:, None]
    upright, sideways = about[:, 0], about[:, 1]
    hollow = c.real > 0
    wall = a - c
    mean = (a + c) / 2, (b + d) / 2, (r + q) / 2
    enclosed, around = rounded.area(*mean), rounded.girth(*mean)
    bredt = 4 * enclosed**2 * wall / around + around * wall**3 / 3
    ends = 1.4 * mean[2].min(axis=1)
    tall, wide = (np.where(hollow, 2 * wall * (2 * size - ends), 5 / 6 * area) for size in mean[:2])
    return SectionConstants(
        area=area,
        upright=upright,
        sideways=sideways,
        torsion=np.where(hollow, bredt, area**4 / (40 * (upright + sideways))),
        shear_upright=tall,
        shear_sideways=wide,
    )


def rectangle(height: Numbers, width: Numbers) -> SectionConstants:
    """Return the constants of a full rectangle.

    The torsion constant is the usual closed approximation of Saint-Venant's series, within 0.5 %
    (value from memory of Roark's handbook); the shear coefficient is 5/6.

    Args:
        height: [mm]
        width: [mm]
    """
    long, short = np.maximum(height, width), np.minimum(height, width)
    slim = short / long
    area = height * width
    return SectionConstants(
        area=area,
        upright=width * height**3 / 12,
        sideways=height * width**3 / 12,
        torsion=long * short**3 * (1 / 3 - 0.21 * slim * (1 - slim**4 / 12)),
        shear_upright=5 / 6 * area,
        shear_sideways=5 / 6 * area,
    )


def _perimeter(a: Numbers, b: Numbers) -> Numbers:
    """Return the perimeter of an ellipse by Ramanujan's second formula, exact for a circle [mm]."""
    h = ((a - b) / (a + b)) ** 2
    around: Numbers = np.pi * (a + b) * (1 + 3 * h / (10 + np.sqrt(4 - 3 * h)))
    return around
