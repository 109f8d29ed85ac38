"""A tube between two upright ones, and its figures."""

from __future__ import annotations

from typing import Any

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.fabrication.tube_facts import TubeFacts, facts_of
from frame3d.tubes.cuts.edge import Cutting, bodies_of
from tests.frames import bar, context


def facts(layout: Bike, name: str) -> TubeFacts:
    bodies = bodies_of(layout.frame)
    tube = layout.tube(name)
    return facts_of(tube, bodies, Cutting(tube, bodies))


def between(wall: Any = 1.0, lean: float = 0.0, od: float = 20.0) -> Bike:
    """A tube along x between two upright ones of 40 mm, 300 mm apart; the far one leans sideways."""
    turn = np.radians(lean)
    side, up = 200 * np.sin(turn), 200 * np.cos(turn)
    return context(
        {
            "near": bar(40.0, (0, 0, -200), (0, 0, 200)),
            "far": bar(40.0, (300, -side, -up), (300, side, up)),
            "middle": bar(
                od, {"on": "near", "from_start": 200}, {"on": "far", "from_start": 200}, wall
            ),
        }
    )
