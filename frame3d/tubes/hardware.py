"""Hardware that the rear suspension turns on: housings, lugs and link plates; no CAD.

Section through a pivot axle with a housing across, left half, seen from the front::

       y = 0
        |       housing                lug        plate of a link
        +---------------------+     +-------+     +-------+
        |                     | gap |       | gap |       |
        |     +---------------+  =  |       |  =  |       |
        |     | seat: bearing | PLAY|       | PLAY|       |
        +-----+---------------+     +-------+     +-------+
      - | - - - - - axle - - - - - - - - - - - - - - - - - - - > y, left
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from frame3d.geometry.centreline import Centreline, Line
from frame3d.geometry.disc_hull import Disc, Flat
from frame3d.geometry.section import Section
from frame3d.geometry.vector import Point
from frame3d.parameters.models.junctions import Side
from frame3d.tubes.plate import Plate

AROUND = 1.0
"""Room beside a lug that is kept free, around the lug or the shock's eye there [mm]; common practice,
no source. Arms and sockets begin beyond it; a flat tongue of the lug leads to them."""
PLAY = 0.5
"""Gap between a lug and what it turns beside [mm]; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Arm:
    """A tapering block from hardware to the middle of a tube; the tube's outside cuts it off."""

    start: Point
    end: Point
    height: tuple[float, float]
    """Size in the upright plane, at start and end [mm]."""
    width: tuple[float, float]
    """Size sideways, at start and end [mm]."""


@dataclass(frozen=True, slots=True)
class Web:
    """A plate or arm that holds hardware to the nearest tube, or dropout, of its body."""

    to: str
    """A `Tube.name`, or a rear dropout."""
    metal: Flat | Arm
    """Its shape before it is cut by what it reaches. A lug's flat web includes the lug's boss."""
    tongue: Disc | None = None
    """As `frame3d.pivots.sockets.Socket.tongue`."""


@dataclass(frozen=True, slots=True)
class Seat:
    """A straight seat for a bearing at each face of a housing."""

    diameter: float
    depth: float
    """Depth from the face [mm]."""


@dataclass(frozen=True, slots=True)
class Housing:
    """A cylinder across the centre plane, bored for the axle that a pivot turns on."""

    name: str
    """``housing_main_pivot``"""
    pivot: str
    """Point of the suspension."""
    at: Point
    """Its centre [mm]; y = 0."""
    width: float
    od: float
    bore: float
    """Bore for the axle [mm]."""
    link: str | None
    """Link that it moves with; None on the front frame."""
    inset: bool = True
    """Whether it was there before the tubes, which are cut by it; if not, it is cut by them."""
    webs: tuple[Web, ...] = ()
    seat: Seat | None = None
    """None if it is bored for the axle alone."""

    @property
    def opening(self) -> float:
        """Diameter of the hole in its faces, for bearing or axle [mm]."""
        return self.bore if self.seat is None else self.seat.diameter

    @property
    def axis(self) -> Centreline:
        """Axis from the right face to the left face."""
        x, _, z = self.at
        half = self.width / 2
        return Centreline((Line((x, -half, z), (x, half, z)),))

    @property
    def section(self) -> Section:
        """Section of the plain cylinder."""
        return Section.round(self.width, self.od, (self.od - self.bore) / 2)


@dataclass(frozen=True, slots=True)
class Lug:
    """A round flat plate square to y, bored for a pivot's axle, with arms to tubes of its body.

    A housing of a pair, left and right, is a thick lug.
    """

    name: str
    """``lug_main_pivot_swingarm_left``"""
    pivot: str
    """Point of the suspension."""
    side: Side
    axle: Point
    """Centre of the bore at the face nearer to the centre plane [mm]; y > 0 on the left."""
    thickness: float
    boss: float
    """Diameter [mm]."""
    bore: float
    """Bore for the axle, or for the bearing of a housing of a pair [mm]."""
    stays: tuple[tuple[str, Literal["start", "end"]], ...]
    """Tube ends that sit on it: (`Tube.name`, which end)."""
    link: str | None
    webs: tuple[Web, ...] = ()
    """Webs that hold it, if no tube ends on it."""
    eye: float = 0.0
    """Diameter of the shock's eye beside it [mm]; 0 beside anything else."""
    plate: Plate | None = None
    """Its metal where the file gives a tab for it, instead of round and web."""

    @property
    def room(self) -> float:
        """Radius about the axle of the room beside it that is kept free for what it turns on [mm]."""
        return max(self.boss, self.eye) / 2 + AROUND

    @property
    def span(self) -> tuple[float, float]:
        """The y of its faces, the smaller one first [mm]."""
        y = self.axle[1]
        far = y + self.thickness if self.side == "left" else y - self.thickness
        return min(y, far), max(y, far)


SLIMMER = 0.5
"""How much narrower than its plate's round a boss is that stands out of it [mm]."""


@dataclass(frozen=True, slots=True)
class Boss:
    """A round of a link plate at one of the link's points."""

    pivot: str
    x: float
    z: float
    low: float
    """y of one face [mm]; beyond the plate's face where the plate has to reach what it turns beside."""
    high: float
    """y of the other face, larger [mm]."""
    od: float
    bore: float
    """0 if nothing turns there."""

    @property
    def stands(self) -> float:
        """Diameter of the part that stands out of the plate [mm]: smaller, so that no faces coincide."""
        return self.od - SLIMMER


@dataclass(frozen=True, slots=True)
class LinkPlate:
    """Left or right plate of a link without tubes, over all its points."""

    name: str
    """``plate_rocker_left``"""
    side: Side
    link: str
    plate: Flat
    bosses: tuple[Boss, ...]
    own: Plate | None = None
    """Its metal where the file gives its outline; `plate` then only says where its faces are."""


Hardware = Housing | Lug | LinkPlate


DROPOUT = "rear_dropout"


LUG = "lug"


SHELL = "bottom_bracket"


RACE_SEAT = "fork_race_seat"
"""The ring on a built fork's steerer that the crown race stands on; the steerer goes through it."""
STEERER = "fork_steerer"
FORK_DROPOUT = "fork_dropout"
