"""A tube in place, the bottom bracket shell, dropouts and bores; no CAD kernel."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from frame3d.geometry.centreline import Centreline, Line
from frame3d.geometry.disc_hull import Flat
from frame3d.geometry.section import Section
from frame3d.geometry.vector import Point
from frame3d.parameters.models.tubes import Side
from frame3d.tubes.on_dropout import DropoutMount, Eye
from frame3d.tubes.plate import Plate

TIP = 0.8
"""Width of a flat dropout's arm at a stay, as a share of the stay's height."""


@dataclass(frozen=True, slots=True)
class End:
    """One end of a tube: what it sits on and how it is cut (figure in `mitre`).

    For a mitre, `point` lies on the target's axis, or beside it where the file gives a lateral
    position. The edge follows the target's outside as if that continued past its own ends. Where a
    part of the tube misses the target, that part is cut square at `long_point`, which is then at most
    0. A negative `long_point` means that metal reaches past `point`, along the end's tangent.
    """

    point: Point
    """Where the tube's axis ends, before the cut [mm]."""
    cut: Literal["mitre", "square"]
    target: str | None
    """Body that the end sits on: a `Tube.name`, ``bottom_bracket``, ``rear_dropout_left``,
    ``rear_dropout_right``, a housing or lug of `Frame.pivots`; None at a bare node, an axle or a
    free point."""
    angle: float | None
    """Angle between this tube, away from the junction, and the target's axis toward its end
    [degrees]; None without a target axis."""
    offset: float
    """Shortest distance between the two axes' lines [mm], 0 where they meet."""
    long_point: float
    """Distance along the axis from `point` to where the cut tube is longest [mm]; 0 if square."""
    short_point: float
    """Distance along the axis from `point` to where the cut tube is shortest [mm]; 0 if square."""


@dataclass(frozen=True, slots=True)
class Sold:
    """A butted tube as it is bought, and what is cut off its ends, up to the long points."""

    length: float
    """[mm]"""
    start: float
    """Cut off at the start [mm]."""
    end: float
    """Cut off at the end [mm]."""
    is_given: bool
    """Whether the file gives the length; else it is what is needed with what is cut off."""


@dataclass(frozen=True, slots=True)
class Tube:
    """A tube in place: axis from start to end, section along it, both ends, and what cuts it."""

    name: str
    """``down_tube``; members of a pair are ``chainstay_left`` and ``chainstay_right``."""
    key: str
    """Key under ``tubes`` in the parameter file."""
    side: Side | None
    axis: Centreline
    section: Section
    start: End
    end: End
    cut_by: tuple[str, ...]
    """Bodies earlier in the build order that this tube overlaps, its end targets first; it is cut by
    the outside of each."""
    density: float
    """Density of its material [g/cm³]."""
    material: str
    colour: str
    """#rrggbb"""
    link: str | None = None
    """Link of the rear suspension that it moves with; None on the front frame."""
    sold: Sold | None = None
    """The tube as it is bought; None where the file does not say."""


@dataclass(frozen=True, slots=True)
class Shell:
    """The bottom bracket shell: a cylinder along y.

    Its axis is the bottom bracket's, through the origin, unless an eccentric insert carries the bottom
    bracket beside it. Whoever asks where the shell is asks `place`, `axis` or `faces`.
    """

    name: str
    """The standard it follows, e.g. ``threaded-73``, or ``shell`` for plain millimetres."""
    width: float
    od: float
    bore: float
    middle: float = 0.0
    """y of its middle: 0 but for shells that reach further out on one side."""
    at: tuple[float, float] = (0.0, 0.0)
    """x and z of its axis: 0 but where an insert carries the bottom bracket beside it [mm]."""

    @property
    def place(self) -> Point:
        """Where its axis meets the centre plane [mm]."""
        return (self.at[0], 0.0, self.at[1])

    @property
    def faces(self) -> tuple[float, float]:
        """Right face's and left face's y [mm]."""
        return self.middle - self.width / 2, self.middle + self.width / 2

    @property
    def half(self) -> float:
        """Largest distance of a face from the centre plane [mm]."""
        return max(abs(y) for y in self.faces)

    @property
    def axis(self) -> Centreline:
        """Axis from the right face to the left face."""
        right, left = self.faces
        x, z = self.at
        return Centreline((Line((x, right, z), (x, left, z)),))

    @property
    def section(self) -> Section:
        """Section of the plain shell, before threads or reaming."""
        return Section.round(self.width, self.od, (self.od - self.bore) / 2)


@dataclass(frozen=True, slots=True)
class Hood:
    """What closes each stay's end on a flat dropout and takes the plate's arm."""

    wall: float
    """Around the stay [mm]."""
    depth: float
    """How far it reaches over the stay, from its end [mm]."""
    back: float
    """How far it reaches beyond the stay's end, toward the axle [mm]."""


@dataclass(frozen=True, slots=True)
class Slide:
    """Where a sliding dropout's axle can stand, and the bolt that stops it."""

    front: Point
    """Foremost place of the axle, at the plate's inner face [mm]."""
    back: Point
    """Rearmost one [mm]."""
    stop: tuple[Point, Point] | None = None
    """Axis of the hole for the stop's bolt, from the plate's edge to the slot [mm]."""
    stop_thread: str = ""
    stop_from: Literal["front", "rear"] = "rear"
    stop_drill: float = 0.0
    """Diameter of that hole [mm]."""


@dataclass(frozen=True, slots=True)
class Dropout:
    """A rear dropout: a flat plate square to y with the axle bore, and arms to the stays' ends."""

    name: str
    """``rear_dropout_left`` or ``rear_dropout_right``"""
    side: Side
    axle: Point
    """Centre of the axle at the plate's inner face [mm]; y > 0 on the left. On a sliding one where the
    axle stands now."""
    thickness: float
    boss: float
    """Diameter of the plate around the axle [mm]."""
    bore: float
    """Axle bore, or width of the axle's slot [mm]."""
    stays: tuple[tuple[str, Literal["start", "end"]], ...]
    """Tube ends that sit on it: (`Tube.name`, which end)."""
    link: str | None = None
    """As `Tube.link`."""
    plate: Plate | None = None
    """Its outline where it is cut from flat plate; None for a plain one, a boss with tapering arms."""
    hood: Hood | None = None
    """On the stays' ends, of a flat one."""
    tip: float | None = None
    """Width of a flat one's arms at the stays [mm]; None for `TIP` of each stay."""
    slide: Slide | None = None
    ring: float = 0.0
    """Diameter of a round about the axle beside a flat one's plate, in scale models, whose axles are
    thicker; 0 for none [mm]."""
    ears: tuple[Flat, ...] = ()
    """What a plain one reaches out with to its eyes and to its mount's blocks."""
    eyes: tuple[Eye, ...] = ()
    mount: DropoutMount | None = None
    """The rear brake's mount, where it stands on this dropout."""

    def tip_at(self, stay: Tube, which: Literal["start", "end"]) -> float:
        """Return the width of a flat one's arm at a stay's end [mm]."""
        s = 0.0 if which == "start" else stay.axis.length
        return TIP * float(stay.section.height_at(s)) if self.tip is None else self.tip

    @property
    def places(self) -> tuple[Point, ...]:
        """Where the axle can stand: one place, or the foremost and the rearmost [mm]."""
        return (self.axle,) if self.slide is None else (self.slide.front, self.slide.back)


@dataclass(frozen=True, slots=True)
class Bore:
    """A cylindrical bore in a tube, coaxial with it, for a headset cup or a seatpost."""

    tube: str
    at: Literal["start", "end"]
    diameter: float
    depth: float
    """Depth from the tube's end face [mm]."""
    code: str
    """The standard it follows, e.g. ``ZS44``, or ``44 mm`` for plain millimetres."""
