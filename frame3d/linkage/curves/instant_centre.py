"""Instant centres of links against the frame.

The instant centre is the point of a body whose velocity is zero at an instant. With v the velocity of a
point p of the body and w the body's angular velocity, it is p + i·v/w (any textbook on kinematics, e.g.
Norton, Design of Machinery, chapter 6). For a body that does not rotate it lies at infinity, in the
direction normal to v.
"""

from __future__ import annotations

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.linkage.motion import LinkageMotion, frozen

FAR = 1e9
"""An instant centre this far from the bottom bracket counts as infinitely far [mm]."""


def instant_centre(motion: LinkageMotion, link: str) -> Array:
    """Return the path of a link's instant centre in the frame's axes, (k, 2): x, z [mm].

    Where the link does not rotate, coordinates are infinite, or NaN where the velocity has no component.
    """
    own = motion.mechanism.structure.axle == link
    point = motion.wheel if own else motion.body_point(link, 0j)
    turn = motion.turn_rate(link)
    turn = np.where(np.abs(turn) * FAR > np.abs(point.rate), turn, 0.0)
    out = np.empty((len(turn), 2))
    with np.errstate(all="ignore"):
        out[:, 0] = point.at.real - point.rate.imag / turn
        out[:, 1] = point.at.imag + point.rate.real / turn
    return frozen(out)
