"""Data at hand while tubes are placed, and the faults and notes found."""

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
    """Sizes of the rear dropouts [mm]."""

    hub_width: float
    thickness: float
    boss: float
    bore: float

    @property
    def middle(self) -> float:
        """Distance of the plate's middle from the centre plane."""
        return self.hub_width / 2 + self.thickness / 2


@dataclass
class PlacementContext:
    """The spec, the chart's results, the tubes placed so far, and the faults and notes found."""

    spec: FrameSpec
    nodes: Mapping[str, Point]
    chart: Mapping[str, float | None]
    shell: Shell | None = None
    plate: DropoutPlate | None = None
    pivots: Mapping[str, Point] = field(default_factory=dict)
    """Points of the rear suspension, once they are known."""
    pins: Mapping[str, Pin] = field(default_factory=dict)
    """What is at each of those points where something turns."""
    housings: dict[str, Housing] = field(default_factory=dict)
    """Housings across the centre plane, by name."""
    tubes: dict[str, Tube] = field(default_factory=dict)
    """Tubes by `Tube.name`, in build order."""
    faults: list[Fault] = field(default_factory=list)
    notes: list[Note] = field(default_factory=list)
    memory: Cache = field(default_factory=Cache)

    def link_of(self, name: str) -> str | None:
        """Return the link that a body moves with; None on the front frame."""
        body = self.body(name)
        return None if body is None or isinstance(body, Shell) else body.link

    def body(self, name: str | None) -> Tube | Shell | Housing | None:
        """Return a body placed so far that has an axis, by name; None if there is none."""
        if name is None:
            return None
        if name == SHELL:
            return self.shell
        return self.tubes.get(name, self.housings.get(name))

    def fault(self, code: str, path: str, message: str, hint: str = "") -> None:
        """Record a fault at `path`."""
        self.faults.append(self.spec.fault(code, path, message, hint))

    def lacks_shell(self, path: str) -> None:
        """Record the fault that the end at `path` needs a bottom bracket shell and there is none."""
        self.fault(
            "junction-target",
            f"{path}.on",
            "there is no bottom bracket shell to sit on",
            "say which one under build, e.g. bottom_bracket: {shell: threaded-73}",
        )

    def warn(self, path: str, message: str) -> None:
        """Record a warning at `path`."""
        self.notes.append(self.spec.note("warning", message, path))

    def suggest(self, name: str, asker: str) -> str:
        """Return a hint: the nearest name that an end of tube `asker` may sit on, and all such names."""
        legal = [key for key in self.spec.tubes if key != asker]
        points = () if self.spec.suspension is None else self.spec.suspension.points
        legal = list(dict.fromkeys([*legal, SHELL, DROPOUT, *self.nodes, *points]))
        near = get_close_matches(name, legal, n=1, cutoff=0.6)
        first = f"did you mean {near[0]}? " if near else ""
        return f"{first}it may be one of: {', '.join(legal)}"


@dataclass(frozen=True, slots=True)
class Member:
    """One tube to place: a single tube, or the left or right tube of a pair."""

    key: str
    side: Side | None
    spec: TubeSpec

    @property
    def name(self) -> str:
        """Name, as in `Tube.name`."""
        return member_name(self.key, self.side)

    @property
    def path(self) -> str:
        """Path in the parameter file."""
        return f"tubes.{self.key}"


def member_name(key: str, side: Side | None) -> str:
    """Return the name of a tube: ``down_tube``, ``chainstay_left``."""
    return key if side is None else f"{key}_{side}"


def other_side(name: str | None, pairs: Iterable[str]) -> str | None:
    """Return the body across the centre plane: the other one of a pair, or the same body."""
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
