"""A solved frame, the parts that it carries, and how it stands with them; no CAD kernel."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from frame3d.chart.solve import Solved
from frame3d.errors import Note
from frame3d.geometry.vector import Point
from frame3d.linkage.result import Linkage
from frame3d.parameters.models.frame import FrameSpec
from frame3d.rider.posture import Rider
from frame3d.tubes.frame import Frame
from frame3d.tubes.hardware import Hardware
from frame3d.tubes.plate import Plate
from frame3d.tubes.tube import Bore, Dropout, Shell, Tube


@dataclass(frozen=True, slots=True)
class Stance:
    """The bike on level ground in another position than the drawn one."""

    chart: Mapping[str, float | None]
    """Chart figures, as `Bike.chart`."""
    nodes: Mapping[str, Point]
    """Named points, as `Bike.nodes`, from the bottom bracket with z vertical [mm]."""
    pitch: float
    """Pitch of the frame from the drawn position, nose up positive [degrees]."""
    rider: Rider | None = None


@dataclass(frozen=True, slots=True)
class Bike:
    """A solved frame, the parts that it carries, and how it stands with them on level ground.

    All outputs are made from this alone. So a file and an exchange of parts that lead to the same bike
    give the same results; see `frame3d.bike.exchange`.
    """

    frame: Frame
    spec: FrameSpec
    """The file with the parts that the bike carries; the frame's own where none was exchanged."""
    solved: Solved
    """The chart's variables with those parts."""
    chart: Mapping[str, float | None]
    """Chart figures in mm and degrees, in the order of `FIGURES`; None where the file does not determine
    one (standover without a top tube)."""
    nodes: Mapping[str, Point]
    """Named points [mm], at least those of `NODE_NAMES`; contact points are on the ground."""
    notes: tuple[Note, ...]
    sagged: Stance | None = None
    """The bike under the rider's weight; None where nothing is sprung."""
    rider: Rider | None = None
    linkage: Linkage | None = None
    """The rear suspension; None on a frame without."""
    exchanged: tuple[str, ...] = ()
    """Dotted paths of the values in which `spec` differs from the frame's own file."""
    designed: Bike | None = None
    """The bike that the frame was built for, with no part exchanged; None where this is it."""
    fork: Bike | None = None
    """The fork that the shop builds, where it stands, as a frame of its own: its tubes and plates with
    their masses; None where the fork is bought."""

    @property
    def warnings(self) -> tuple[Note, ...]:
        """Those of the notes that warn: what was left out, or may go wrong in the workshop."""
        return tuple(note for note in self.notes if note.code == "warning")

    @property
    def tubes(self) -> tuple[Tube, ...]:
        """The frame's tubes, in build order."""
        return self.frame.tubes

    @property
    def shell(self) -> Shell | None:
        """The frame's bottom bracket shell."""
        return self.frame.shell

    @property
    def dropouts(self) -> tuple[Dropout, ...]:
        """The frame's rear dropouts."""
        return self.frame.dropouts

    @property
    def plates(self) -> tuple[Plate, ...]:
        """The frame's gussets, tabs and other flat parts."""
        return self.frame.plates

    @property
    def bores(self) -> tuple[Bore, ...]:
        """The frame's bores."""
        return self.frame.bores

    @property
    def pivots(self) -> tuple[Hardware, ...]:
        """The frame's pivot hardware: housings, lugs and plates."""
        return self.frame.pivots

    def tube(self, name: str) -> Tube:
        """Return the tube of that name.

        Raises:
            KeyError: there is no such tube.
        """
        for tube in self.tubes:
            if tube.name == name:
                return tube
        raise KeyError(name)
