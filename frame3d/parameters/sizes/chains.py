"""Cycle chains: pitch, pitch radius of sprockets, and how many links go round two of them."""

from __future__ import annotations

import math

PITCH = 12.7
"""Chain pitch, 1/2 in (ISO 606, ISO 9633; from memory) [mm]. A half link is one pitch: it makes a chain
of an even number of links odd."""


def pitch_radius(teeth: int) -> float:
    """Return the pitch radius: pitch over 2 sin(180°/N) [mm] (ASME B29.1-2011; ISO 606 from memory)."""
    return PITCH / 2 / math.sin(math.pi / teeth)


def links_around(distance: float, ring: int, cog: int) -> float:
    """Return how many links a taut chain around two sprockets has, whole or not.

    The length of an open belt on both pitch circles, R and r, a distance D apart (closed form), over
    the pitch: 2 √(D² - (R - r)²) + π (R + r) + 2 (R - r) asin((R - r)/D). That a chain lies on its
    circles in straight links, and sags, is not counted.

    Args:
        distance: of their axes, more than R and r differ by [mm].
        ring: teeth of one.
        cog: teeth of the other.
    """
    large, small = pitch_radius(ring), pitch_radius(cog)
    apart = large - small
    straight = math.sqrt(distance**2 - apart**2)
    round_both = math.pi * (large + small) + 2 * apart * math.asin(apart / distance)
    return (2 * straight + round_both) / PITCH


def distance_for(links: int, ring: int, cog: int, low: float, high: float) -> float:
    """Return the distance of the axes at which a chain of so many links is taut [mm].

    By halving: the number of links grows with the distance.

    Args:
        links: of the chain.
        ring: teeth of one sprocket.
        cog: teeth of the other.
        low: distance that is too short or just right [mm].
        high: distance that is too long or just right [mm].
    """
    while high - low > 1e-9:
        middle = (low + high) / 2
        if links_around(middle, ring, cog) < links:
            low = middle
        else:
            high = middle
    return (low + high) / 2
