"""A solved bike at the print's scale and pose, and the diameters of the model's pins."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Final

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.bodies.motion.mounts import FRAME, Mount
from frame3d.bodies.motion.pose import Pose, matrix
from frame3d.bodies.placement import End, Placement
from frame3d.geometry.arrays import Array
from frame3d.geometry.vector import vector
from frame3d.mockup.options import PEG, THIN_ROD, THIN_WALL, Options
from frame3d.mockup.thicken import Ledger

BLACK: Final = "#26282c"
SILVER: Final = "#b9bdc2"

SPINDLE: Final = 24.0
"""Diameter of a crank spindle [mm]; common practice, no source."""
STEM: Final = 36.0
"""Diameter of a stem around its steerer [mm]; common practice, no source."""
STEERER: Final = 28.6
"""Diameter of a steerer [mm] (1-1/8 in; trade pages)."""


@dataclass(frozen=True, eq=False)
class Drawing:
    """A solved bike as it will be printed.

    Arguments are lengths of the bike [mm]; results are lengths of the print [mm].
    """

    bike: Bike
    options: Options
    pose: Pose = field(default_factory=Pose)
    ledger: Ledger = field(default_factory=Ledger)
    eased: Mapping[str, float] = field(default_factory=dict)
    """Name of a part or tube -> the share, 0 to 1, of the way from the thinnest that prints to the least
    that was asked for; 1 for those not named. See `easing.py`."""
    arms_out: float = 0.0
    """How far each crank arm, with its pedal, is outside its place by the scale [mm of the print]."""

    @cached_property
    def place(self) -> Placement:
        """Placement of parts on the bike."""
        return Placement(self.bike)

    @property
    def scale(self) -> float:
        """Scale: print over bike."""
        return self.options.scale

    def has(self, kit: str) -> bool:
        """Return whether a kit goes with the frame."""
        return kit in self.options.kits

    def at(self, point: object, mount: Mount = FRAME) -> Array:
        """Return where a drawn point of a part on a mount is in the print: (3,) float [mm]."""
        moved = matrix(mount, self.pose) @ np.append(np.asarray(point, dtype=np.float64), 1.0)
        return np.asarray(self.scale * moved[:3])

    def node(self, name: str, mount: Mount = FRAME) -> Array:
        """Return a node of the bike in the print: (3,) float."""
        return self.at(vector(self.bike.nodes[name]), mount)

    def axle(self, end: End) -> Array:
        """Return the middle of an axle in the print: (3,) float [mm]."""
        return self.at(self.place.axle(end), self.place.wheel_mount(end))

    def least(self, part: str, size: str, own: float, least: float) -> float:
        """Return a dimension of the bike at the print's scale, at least `least`; noted in the ledger."""
        return self.ledger.at_least(part, size, own * self.scale, least)

    def wall(self, part: str) -> float:
        """Return the thinnest wall of a part or tube [mm]."""
        return self._least(part, self.options.wall, THIN_WALL)

    def rod(self, part: str) -> float:
        """Return the thinnest rod of a part, or diameter of a tube [mm]."""
        return self._least(part, self.options.rod, THIN_ROD)

    def _least(self, part: str, asked: float, thin: float) -> float:
        low = min(asked, thin)
        return low + self.eased.get(part, 1.0) * (asked - low)

    # Diameters of pins in the print: the bike's at scale, less where room is short, at least `PEG`.

    def axle_pin(self, end: End) -> float:
        """Return the diameter of a wheel's axle [mm]."""
        hub = self.place.hub(end)
        own = 0.0 if hub is None else hub[1]
        return max(own * self.scale, PEG)

    @cached_property
    def steerer_pin(self) -> float:
        """Diameter of the steerer's pin through head tube and stem [mm]."""
        own = min(STEERER * self.scale, STEM * self.scale - 2 * self.around)
        head = next((t for t in self.bike.tubes if t.key == "head_tube"), None)
        if head is not None:
            room = 2 * self.options.wall + 2 * self.options.turn
            own = min(own, min(*head.section.height, *head.section.width) * self.scale - room)
        return max(own, PEG)

    @cached_property
    def spindle_pin(self) -> float:
        """Diameter of the crank spindle through the shell [mm]."""
        shell = self.bike.shell
        room = 2 * self.options.wall + 2 * self.options.turn
        own = SPINDLE * self.scale
        if shell is not None:
            own = min(own, (shell.od - 2 * self.shell_offset) * self.scale - room)
        return max(own, PEG)

    @property
    def shell_offset(self) -> float:
        """Distance of the spindle from the shell's middle, in an eccentric insert [mm of the bike]."""
        shell = self.bike.shell
        return 0.0 if shell is None else math.hypot(*shell.at)

    @property
    def around(self) -> float:
        """Material needed around a peg on each side: clearance plus wall [mm]."""
        return self.options.fit + self.options.wall
