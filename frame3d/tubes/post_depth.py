"""How far a seatpost extends from the seat tube, and how deep it goes in."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np

from frame3d.geometry.vector import Point, vector
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.models.parts import SeatpostSpec
from frame3d.rider.contacts import saddle_height_of

RAILS = 45.0
"""Height of the saddle's top above the clamp of its rails, along the seatpost [mm]; common practice,
no source."""


MARK = 2.0
"""Least insertion in post diameters where the file gives no mark: 16 CFR 1512.15(b)."""


def exposure(spec: FrameSpec, nodes: Mapping[str, Point]) -> float | None:
    """Return the post's length from the seat tube's top to the rails' clamp [mm].

    Negative where the seat tube is too long; None where neither file nor rider says how high the
    saddle is.
    """
    if saddle_height_of(spec) is None:
        return None
    way = vector(nodes["saddle"]) - vector(nodes["seat_tube_top"])
    return math.copysign(float(np.linalg.norm(way)), float(way[2])) - RAILS


def insertion(spec: FrameSpec, nodes: Mapping[str, Point]) -> float | None:
    """Return how deep the post goes into the seat tube [mm]; None where the file does not say.

    Zero or negative where a post of the given length does not reach the tube.
    """
    post = spec.build.seatpost
    if post is None:
        return None
    out = exposure(spec, nodes)
    if post.length is None or out is None:
        return post.insertion
    return post.length - out


def least_insertion(post: SeatpostSpec) -> float | None:
    """Return the insertion up to the post's mark [mm]; None where not even its diameter is given."""
    if post.least_insertion is not None:
        return post.least_insertion
    return None if post.diameter is None else MARK * post.diameter
