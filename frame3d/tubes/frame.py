"""The built frame, with tubes in place, shell, dropouts, bores and pivot hardware."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

from frame3d.chart.solve import Solved
from frame3d.errors import Note
from frame3d.geometry.side_motion import SideMotion
from frame3d.geometry.vector import Point
from frame3d.parameters.models.frame import FrameSpec
from frame3d.tubes.features.feature import Feature
from frame3d.tubes.hardware import Hardware
from frame3d.tubes.plate import Plate
from frame3d.tubes.tube import Bore, Dropout, Shell, Tube

if TYPE_CHECKING:
    from frame3d.tubes.mass import Masses


@dataclass(frozen=True)
class Frame:
    """A built frame: its metal, and the chart that it was built to.

    Everything lies where the bike stands now: exchanged parts pitch the frame about the bottom
    bracket until both wheels stand on level ground, and an exchanged point of the rear suspension, or
    another shock, moves its links against the front frame. Whatever moves keeps the shape in which it
    was made.
    """

    spec: FrameSpec
    """The file that it was built to."""
    solved: Solved
    """Chart of that file."""
    nodes: Mapping[str, Point]
    """Nodes of that chart, in the position that the frame was designed in."""
    tubes: tuple[Tube, ...]
    """In build order: whatever a tube sits on comes before it."""
    shell: Shell | None
    dropouts: tuple[Dropout, ...]
    bores: tuple[Bore, ...]
    pivots: tuple[Hardware, ...] = ()
    """Hardware of the rear suspension: housings, then lugs, then the plates of links without tubes."""
    plates: tuple[Plate, ...] = ()
    """Gussets, tabs and other flat parts, in the file's order."""
    features: tuple[Feature, ...] = ()
    """What stands on its tubes or is cut into them, given relative to them."""
    notes: tuple[Note, ...] = ()
    """Notes of its chart and its tubes."""
    pitch: float = 0.0
    """Turn of the front frame from the position that it was designed in, nose up positive [degrees]."""
    shift: tuple[float, float] = (0.0, 0.0)
    """Shift of the front frame after that turn, x and z: an eccentric insert that was turned moves it
    about the bottom bracket [mm]."""
    links: Mapping[str, SideMotion] = field(default_factory=dict)
    """Motion of links from the position that they were designed in, pitch included; those left out only
    pitched with the front frame."""

    def motion(self, link: str | None) -> SideMotion:
        """Return the motion of a link, or of the front frame (None), since the frame was designed."""
        still = SideMotion(self.pitch, *self.shift)
        return still if link is None else self.links.get(link, still)

    @cached_property
    def masses(self) -> Masses:
        """Masses of tubes, shell, housings and plates, without a CAD kernel; weighed once."""
        from frame3d.tubes.mass import masses_of

        return masses_of(self)
