"""The saddle: saddle and seatpost in one piece, with a keyed peg for the seat tube."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Final

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.mockup.drawing import BLACK, Drawing
from frame3d.mockup.fits import SPARE
from frame3d.mockup.interfaces import SOCKET, seat_peg
from frame3d.mockup.options import PEG
from frame3d.mockup.part import Joint, Made, ModelPart
from frame3d.mockup.solid import Z, hull, rod, together
from frame3d.parameters.models.mating import SaddleSpec
from frame3d.tubes.post_depth import RAILS

if TYPE_CHECKING:
    from manifold3d import Manifold

# Along a saddle from tail to nose: place and half width as shares of its length and width, and how
# far its sides come down and its underside is in, as shares of its height; common practice, no source.
OUTLINE: Final = (
    (0.00, 0.240, 0.42), (0.02, 0.340, 0.52), (0.06, 0.430, 0.60), (0.12, 0.485, 0.64),
    (0.19, 0.500, 0.64), (0.27, 0.475, 0.60), (0.35, 0.400, 0.55), (0.43, 0.300, 0.52),
    (0.52, 0.225, 0.49), (0.65, 0.175, 0.46), (0.80, 0.145, 0.43), (0.92, 0.130, 0.41),
    (0.98, 0.100, 0.37), (1.00, 0.055, 0.30),
)  # fmt: skip
POST: Final = 27.2
"""Diameter of a seatpost where the file gives none [mm]; common practice, no source."""


def saddle(drawing: Drawing) -> Made:
    """Return saddle, post and peg as one part, with a flat top on which it prints upside down."""
    build, options, scale = drawing.bike.spec.build, drawing.options, drawing.scale
    spec = SaddleSpec() if build.saddle is None else build.saddle
    own = (
        POST
        if build.seatpost is None or build.seatpost.diameter is None
        else build.seatpost.diameter
    )
    thick = drawing.least("saddle", "seatpost's diameter", own, max(drawing.rod("saddle"), PEG))
    top, foot, up = drawing.node("saddle"), drawing.node("seat_tube_top"), drawing.place.seat_up
    height = drawing.least("saddle", "height", spec.height, 2 * drawing.wall("saddle"))
    shell = _shell(spec, top, scale, height, drawing.wall("saddle"))
    exposed = float((top - foot) @ up)
    collar = thick / 2 + 2.2 * scale
    head = foot + (exposed - 0.35 * RAILS * scale) * up
    neck = foot + max(exposed - 1.3 * RAILS * scale, 0.6 * exposed) * up
    clamp = 0.6 * thick
    peg = seat_peg(drawing)
    deep = SOCKET * PEG - SPARE
    pieces = [
        shell,
        rod(foot, head, thick / 2),
        rod(neck, head, thick / 2, min(thick / 2 + clamp, 0.16 * spec.width * scale + thick / 2)),
        rod(foot + 0.05 * up, foot + 9.0 * scale * up, collar),
        peg.solid(-deep, 0.5, (True, False)),
    ]
    joint = Joint(
        kind="fixed",
        peg="saddle",
        hole="frame",
        at=foot - deep / 2 * up,
        along=up,
        diameter=PEG,
        depth=deep,
        clearance=options.fit,
    )
    return Made((ModelPart("saddle", BLACK, together(pieces), down=Z, anywhere=True),), (joint,))


def _shell(spec: SaddleSpec, top: Array, scale: float, height: float, wall: float) -> Manifold:
    """Return the shell by hulls between stations: flat top, bevelled edges, sides drawn in below."""
    length, width = spec.length * scale, spec.width * scale
    start = top[0] + spec.forward * scale - length / 2
    rings = []
    for along, half, deep in OUTLINE:
        x, y, d = start + along * length, half * width, max(deep * height, wall)
        bevel = min(0.35 * d, 0.5 * y)
        rings.append(
            np.array(
                [
                    (x, sign * (y - inset), top[2] - down)
                    for sign in (-1.0, 1.0)
                    for inset, down in (
                        (bevel, 0.0),
                        (0.0, bevel),
                        (0.15 * y, 0.75 * d),
                        (0.5 * y, d),
                    )
                ]
            )
        )
    return together(hull(np.vstack(pair)) for pair in pairwise(rings))
