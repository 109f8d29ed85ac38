"""The values that the parameter file states, as variables of the relations."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from frame3d.chart.relations import ANGLES, Relation, chart_relations
from frame3d.chart.top_tube_relations import TopTube, top_tube_relations
from frame3d.parameters.models.figures import FIGURES, title
from frame3d.parameters.models.fork import ForkSpec
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.models.parts import WheelSpec
from frame3d.parameters.models.profiles import height_and_width, sizes
from frame3d.parameters.models.tubes import JunctionSpec, TubeSpec
from frame3d.parameters.sizes import standards

Origin = Literal["file", "assumed"]


@dataclass(frozen=True)
class Given:
    """A variable with a fixed value."""

    variable: str
    value: float
    """Value in mm or radians."""
    path: str
    """Dotted path in the file; empty where the value is assumed."""
    origin: Origin = "file"

    @property
    def shown(self) -> float:
        """The value as people read it: mm or degrees."""
        return shown(self.variable, self.value)


ASSUMED: tuple[Given, ...] = (
    Given("cup_angle", 0.0, "", "assumed"),
    Given("seat_tube_offset", 0.0, "", "assumed"),
)
"""Assumptions, in this order, for figures that few frames use, where the file leaves them open."""

_LABELS = {
    "saddle_height": ("Saddle height", "build.seatpost.saddle_height"),
    "fork_length_straight": ("Fork axle to crown, straight", "build.fork.axle_to_crown"),
    "cup_angle": ("Headset cup angle", "build.headset.angle"),
}


AGREE = 0.0051
"""Largest difference between a redundant figure and the solution [mm or degrees]: the rounding of
printed charts to two decimals."""


def label(variable: str) -> str:
    """Return a variable's name as people write it."""
    return title(variable) if variable in FIGURES else _LABELS[variable][0]


def key(variable: str) -> str | None:
    """Return the dotted path that would state a variable; None for one that no file states."""
    if variable in FIGURES:
        return f"geometry.{variable}"
    return _LABELS[variable][1] if variable in _LABELS else None


def shown(variable: str, value: float) -> float:
    """Return a variable's value as people read it: mm or degrees."""
    return float(np.degrees(value)) if variable in ANGLES else float(value)


def held(variable: str, value: float) -> float:
    """Return a value in mm or degrees as the relations hold it, in mm or radians."""
    return float(np.radians(value)) if variable in ANGLES else float(value)


USUAL: tuple[str, ...] = (
    "reach",
    "stack",
    "head_tube_angle",
    "head_tube_length",
    "effective_seat_tube_angle",
    "seat_tube_length",
    "chainstay_length",
    "bb_drop",
    "fork_axle_to_crown",
    "fork_offset",
    "lower_headset_stack",
    "front_wheel_radius",
    "rear_wheel_radius",
)
"""Figures from which a frame is usually drawn (common practice, no source)."""


def givens(spec: FrameSpec) -> tuple[Given, ...]:
    """Return all values that the file states: those of the parts, then the chart figures.

    Where values disagree, the later ones are reported as wrong. So figures that are usually results come
    after those that are usually given, and values set by overrides last. The order in the file makes no
    difference.
    """
    stated = [
        Given(figure, held(figure, value), f"geometry.{figure}")
        for figure in FIGURES
        if (value := getattr(spec.geometry, figure)) is not None
    ]

    def doubt(given: Given) -> tuple[bool, bool]:
        place = spec.place(given.path)
        return place is not None and place.line is None, given.variable not in USUAL

    return (*part_givens(spec), *sorted(stated, key=doubt))


def part_givens(spec: FrameSpec) -> tuple[Given, ...]:
    """Return the values that ``build`` states."""
    out: list[Given] = []
    build = spec.build
    if build.fork is not None:
        out += fork_givens(build.fork)
    if build.headset is not None:
        if build.headset.lower_stack is not None:
            out.append(
                Given("lower_headset_stack", build.headset.lower_stack, "build.headset.lower_stack")
            )
        if build.headset.angle != 0:
            out.append(
                Given("cup_angle", held("cup_angle", build.headset.angle), "build.headset.angle")
            )
    for where in ("front_wheel", "rear_wheel"):
        wheel: WheelSpec | None = getattr(build, where)
        if wheel is not None:
            out += wheel_givens(where, wheel)
    if build.seatpost is not None and build.seatpost.saddle_height is not None:
        out.append(
            Given("saddle_height", build.seatpost.saddle_height, "build.seatpost.saddle_height")
        )
    return tuple(out)


def fork_givens(fork: ForkSpec) -> list[Given]:
    """Return the fork's length, in the way in which it is measured, and its offset."""
    out: list[Given] = []
    if fork.axle_to_crown is not None:
        variable = "fork_length_straight" if fork.measured == "straight" else "fork_axle_to_crown"
        out.append(Given(variable, fork.axle_to_crown, "build.fork.axle_to_crown"))
    if fork.offset is not None:
        out.append(Given("fork_offset", fork.offset, "build.fork.offset"))
    return out


def wheel_givens(where: str, wheel: WheelSpec) -> list[Given]:
    """Return the wheel's radius: as measured, or half the tyre's diameter."""
    if wheel.radius is not None:
        return [Given(f"{where}_radius", wheel.radius, f"build.{where}.radius")]
    if wheel.tyre is None:
        return []
    if isinstance(wheel.tyre, str):
        radius = standards.tyre(wheel.tyre).diameter / 2
    else:
        radius = wheel.tyre.diameter / 2
    return [Given(f"{where}_radius", radius, f"build.{where}.tyre")]


def relations_for(spec: FrameSpec, *, saddle: bool = False) -> tuple[Relation, ...]:
    """Return the relations that the file's bike must satisfy.

    Args:
        spec: the file.
        saddle: whether there is a saddle at some height even where the file gives none.
    """
    top = top_tube(spec)
    extra = () if top is None else top_tube_relations(top)
    return chart_relations(saddle=saddle or has_saddle(spec), extra=extra)


def has_saddle(spec: FrameSpec) -> bool:
    """Whether the file says how high the saddle is."""
    return spec.build.seatpost is not None and spec.build.seatpost.saddle_height is not None


def top_tube(spec: FrameSpec) -> TopTube | None:
    """Return the top tube, if it is straight, in the centre plane and between seat tube and head tube.

    None otherwise, and for a tube whose height changes: a taper ends at the tube's cuts, which the chart
    does not know. None on a bent seat tube either, along which places are not those of its chart's axis.
    """
    tube = spec.tubes.get("top_tube")
    if tube is None or tube.bends or tube.pair or tube.start is None or tube.end is None:
        return None
    ends = {tube.start.on: tube.start, tube.end.on: tube.end}
    if set(ends) != {"seat_tube", "head_tube"} or any(e.y for e in ends.values()):
        return None
    seat_tube = spec.tubes.get("seat_tube")
    if seat_tube is not None and seat_tube.bends:
        return None
    seat, head = _placed(ends["seat_tube"]), _placed(ends["head_tube"])
    if seat is None or head is None or seat[0] == head[0] == "angle":
        return None
    if seat[0] == "above_bottom":
        bottom = _seat_tube_bottom(spec)
        if bottom is None:
            return None
        seat = seat[0], seat[1] + bottom
    height = _height(tube)
    return None if height is None else TopTube(height / 2, seat[0], seat[1], head[0], head[1])


def _seat_tube_bottom(spec: FrameSpec) -> float | None:
    """Return where the seat tube starts, up its axis from the foot of the bottom bracket on it [mm].

    None where it starts on another tube, or on a shell with an eccentric insert, whose positions the
    chart does not determine.
    """
    tube = spec.tubes.get("seat_tube")
    on_shell = tube is None or tube.start is None or tube.start.on == "bottom_bracket"
    if on_shell and spec.build.insert is not None:
        return None
    if tube is None or tube.start is None or tube.start.on == "bottom_bracket":
        return 0.0
    return tube.start.above_bottom if tube.start.on is None else None


_By = Literal["below_top", "above_bottom", "angle"]


def _placed(end: JunctionSpec) -> tuple[_By, float] | None:
    """Return how an end is placed on a head or seat tube, whose start is its bottom."""
    if end.below_top is not None:
        return "below_top", end.below_top
    if end.from_end is not None:
        return "below_top", end.from_end
    if end.above_bottom is not None:
        return "above_bottom", end.above_bottom
    if end.from_start is not None:
        return "above_bottom", end.from_start
    if end.angle is not None:
        return "angle", float(np.radians(end.angle))
    return None


def _height(tube: TubeSpec) -> float | None:
    """Return the outer height of a tube's section [mm]; None where it changes along the tube."""
    heights = {height_and_width(size)[0] for _, size in sizes(tube.od)}
    return heights.pop() if len(heights) == 1 and not tube.dimples else None
