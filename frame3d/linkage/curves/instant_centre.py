"""Instant centres of links against the frame.

The instant centre is the point of a body that stands still at an instant. With a point of the body at p,
its velocity v and the body's turning speed w, it lies at p + i·v/w (any textbook on kinematics, e.g.
Norton, Design of Machinery, chapter 6); velocities come from the Jacobian. A body that does not turn has
it at infinity, square to v.
"""

from __future__ import annotations

import numpy as np

from frame3d.linkage.linear import Array
from frame3d.linkage.motion import LinkageMotion, frozen

FAR = 1e9
"""An instant centre this far from the bottom bracket counts as infinitely far [mm]."""


def instant_centre(motion: LinkageMotion, link: str) -> Array:
    """Path of a link's instant centre in the frame's axes, (k, 2): x, z [mm]; infinite (or NaN in a
    coordinate that has no side) where the link only shifts.
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
