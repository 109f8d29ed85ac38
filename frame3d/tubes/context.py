"""What placing the tubes has to hand, and the faults and notes that it gathers."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches

from frame3d.chart.cache import Cache
from frame3d.errors import Fault, Note
from frame3d.geometry.vector import Point
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.models.tubes import Side, TubeSpec
from frame3d.tubes.hardware import DROPOUT, LUG, SHELL, Housing
from frame3d.tubes.pin import Pin
from frame3d.tubes.tube import Shell, Tube


@dataclass(frozen=True, slots=True)
class DropoutPlate:
    """What stays need to know of the rear dropouts [mm]."""

    hub_width: float
    thickness: float
    boss: float
    bore: float

    @property
    def middle(self) -> float:
        """Of the plate, from the centre plane."""
        return self.hub_width / 2 + self.thickness / 2


@dataclass
class PlacementContext:
    """The spec and the chart's results, the tubes placed so far, and what was found wrong."""

    spec: FrameSpec
    nodes: Mapping[str, Point]
    chart: Mapping[str, float | None]
    shell: Shell | None = None
    plate: DropoutPlate | None = None
    pivots: Mapping[str, Point] = field(default_factory=dict)
    """Points of the rear suspension, once they are known."""
    pins: Mapping[str, Pin] = field(default_factory=dict)
    """What stands at those points where something turns."""
    housings: dict[str, Housing] = field(default_factory=dict)
    """Across the centre plane, by name."""
    tubes: dict[str, Tube] = field(default_factory=dict)
    """By `Tube.name`, in build order."""
    faults: list[Fault] = field(default_factory=list)
    notes: list[Note] = field(default_factory=list)
    memory: Cache = field(default_factory=Cache)

    def link_of(self, name: str) -> str | None:
        """Link that a body moves with; None on the front frame."""
        body = self.body(name)
        return None if body is None or isinstance(body, Shell) else body.link

    def body(self, name: str | None) -> Tube | Shell | Housing | None:
        """What has an axis and is there so far, by name."""
        if name is None:
            return None
        if name == SHELL:
            return self.shell
        return self.tubes.get(name, self.housings.get(name))

    def fault(self, code: str, path: str, message: str, hint: str = "") -> None:
        """Take down a fault at `path`."""
        self.faults.append(self.spec.fault(code, path, message, hint))

    def lacks_shell(self, path: str) -> None:
        """Take down that the end at `path` asks for a bottom bracket shell that is not there."""
        self.fault(
            "junction-target",
            f"{path}.on",
            "there is no bottom bracket shell to sit on",
            "say which one under build, e.g. bottom_bracket: {shell: threaded-73}",
        )

    def warn(self, path: str, message: str) -> None:
        """Take down a warning at `path`."""
        self.notes.append(self.spec.note("warning", message, path))

    def suggest(self, name: str, asker: str) -> str:
        """The nearest name that an end of tube `asker` may sit on, and the whole list."""
        legal = [key for key in self.spec.tubes if key != asker]
        points = () if self.spec.suspension is None else self.spec.suspension.points
        legal = list(dict.fromkeys([*legal, SHELL, DROPOUT, *self.nodes, *points]))
        near = get_close_matches(name, legal, n=1, cutoff=0.6)
        first = f"did you mean {near[0]}? " if near else ""
        return f"{first}it may be one of: {', '.join(legal)}"


@dataclass(frozen=True, slots=True)
class Member:
    """One tube to place: a single one, or the left or right one of a pair."""

    key: str
    side: Side | None
    spec: TubeSpec

    @property
    def name(self) -> str:
        """As in `Tube.name`."""
        return member_name(self.key, self.side)

    @property
    def path(self) -> str:
        """In the parameter file."""
        return f"tubes.{self.key}"


def member_name(key: str, side: Side | None) -> str:
    """Name of a tube: ``down_tube``, ``chainstay_left``."""
    return key if side is None else f"{key}_{side}"


def other_side(name: str | None, pairs: Iterable[str]) -> str | None:
    """The body across the centre plane: the other one of a pair, or the same body."""
    if name is None:
        return None
    if name.startswith(f"{LUG}_"):
        pairs = (*pairs, name.removesuffix("_left").removesuffix("_right"))
    for key in (*pairs, DROPOUT):
        if name == f"{key}_left":
            return f"{key}_right"
        if name == f"{key}_right":
            return f"{key}_left"
    return name
