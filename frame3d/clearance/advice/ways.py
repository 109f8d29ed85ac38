"""Values of the file that bear on a check, and how far each may be changed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from frame3d.bodies.parts.brake import caliper_angle
from frame3d.bodies.parts.fork import arch_radius
from frame3d.bodies.placement import Placement
from frame3d.clearance.result import Result
from frame3d.clearance.scene import Scene
from frame3d.parameters.models.figures import FIGURES, unit
from frame3d.parameters.models.forks.built import RESERVED
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.models.suspension import ON_POINT, ON_TUBE
from frame3d.parameters.reading.change import value_at

_LARGEST = {"mm": 40.0, "degrees": 4.0}
"""Largest changes; beyond them it is another bike."""
_DEGREE = 10.0
"""Millimetres that one degree of the frame counts as when changes are sorted by size."""
_TURN = 60.0
"""Largest turn of a caliper about its rotor [degrees]; a degree of it counts as a millimetre."""
_ALONG = 200.0
"""Largest shift of a bottle along its tube [mm]."""
_SECTION = 0.25
"""Largest change of a tube's diameter, as a fraction of it."""
_PLACES = ("below_top", "above_bottom", "from_start", "from_end")
_PARTS = (
    "build.fork.axle_to_crown",
    "build.crank.length",
    "build.crank.q_factor",
    "build.crank.chainline",
    "build.seatpost.insertion",
    "build.seatpost.length",
)
_BUILT_FORK = (
    "crown.spacing",
    "crown.join",
    "crown.shoulder",
    "crown.drop",
    "crown.beyond",
    "blades.bend.above_axle",
    "brake.above_axle",
    "brake.stand",
)
"""What of a built fork's layout may be changed, below its key."""


@dataclass(frozen=True)
class Way:
    """A number that may be changed, at several paths where these belong together."""

    paths: tuple[str, ...]
    start: float
    """Present value."""
    unit: str
    largest: float
    """Largest change."""
    cost: float = 1.0
    """Millimetres that one unit of change counts as."""


def ways(scene: Scene, result: Result) -> Iterator[Way]:
    """Yield the numbers that bear on a check."""
    spec = scene.spec
    names = list(result.between or ())
    for key in dict.fromkeys(n.removesuffix("_left").removesuffix("_right") for n in names):
        if key in spec.tubes:
            yield from _of_tube(spec, key)
    for point in _points(spec, names):
        for key in ("0", "1", *ON_TUBE, *ON_POINT):
            yield from _given(spec, f"suspension.points.{point}.{key}")
        for key in ("y", "width", "od"):
            yield from _given(spec, f"suspension.pivots.{point}.{key}")
    for figure in FIGURES:
        yield from _given(spec, f"geometry.{figure}", kind=unit(figure))
    for path in _PARTS:
        yield from _given(spec, path)
    if value_at(spec, "build.fork.travel"):
        yield from _given(spec, "build.fork.travel")
    yield from _of_parts(scene, names)


def _given(
    spec: FrameSpec, *paths: str, kind: str = "mm", largest: float | None = None
) -> Iterator[Way]:
    """Yield one way along paths that all hold the same number; none otherwise."""
    values = {value_at(spec, path) for path in paths}
    (value, *others) = values
    if isinstance(value, int | float) and not others:
        most = _LARGEST[kind] if largest is None else largest
        yield Way(paths, value, kind, most, _DEGREE if kind == "degrees" else 1.0)


def _of_tube(spec: FrameSpec, key: str) -> Iterator[Way]:
    tube, path = spec.tubes[key], f"tubes.{key}"
    for i, bend in enumerate(tube.bends):
        yield from _given(spec, f"{path}.bends.{i}.y")
        if bend.rise:
            yield from _given(spec, f"{path}.bends.{i}.rise")
    ends = tuple(f"{path}.{end}" for end in ("start", "end"))
    if _is_bridge(spec, ends):
        # Changed at both ends, so that it stays square.
        for place in _PLACES:
            yield from _given(spec, *(f"{end}.{place}" for end in ends))
    else:
        for end in ends:
            for place in ("y", *_PLACES):
                yield from _given(spec, f"{end}.{place}")
    if isinstance(tube.od, float | int):
        yield from _given(spec, f"{path}.od", largest=_SECTION * tube.od)


def _is_bridge(spec: FrameSpec, ends: Sequence[str]) -> bool:
    """Return whether a tube joins the left and right tube of one pair."""
    on, sides = ([value_at(spec, f"{end}.{key}") for end in ends] for key in ("on", "side"))
    return on[0] == on[1] and set(sides) == {"left", "right"}


def _of_parts(scene: Scene, names: Sequence[str]) -> Iterator[Way]:
    """Yield shapes and places of the parts that come too near."""
    spec, place = scene.spec, Placement(scene.bike)
    build = spec.build
    if "rear_caliper" in names and build.rear_brake is not None:
        angle = caliper_angle(place, build.rear_brake)
        yield Way(("build.rear_brake.angle",), angle, "degrees", _TURN)
    if "fork_arch" in names and build.fork is not None and build.fork.arch is not None:
        radius = arch_radius(place, build.fork.arch)
        if radius is not None:
            yield Way(("build.fork.arch.radius",), radius, "mm", _LARGEST["mm"])
    if "fork_crown" in names:
        for key in ("height", "back", "front", "width"):
            yield from _given(spec, f"build.fork.crown.{key}")
    if scene.bike.fork is not None and any(name.startswith(RESERVED) for name in names):
        for key in _BUILT_FORK:
            yield from _given(spec, f"build.fork.built.{key}")
    for i in bottles(spec, names):
        yield from _given(spec, f"build.bottles.{i}.from_start", largest=_ALONG)


def bottles(spec: FrameSpec, names: Sequence[str]) -> Iterator[int]:
    """Yield the indices in the file's list of the bottles among some bodies."""
    return (i for i in range(len(spec.build.bottles)) if f"bottle_{i + 1}" in names)


def _points(spec: FrameSpec, names: Sequence[str]) -> Iterator[str]:
    """Yield the points of the suspension that bodies stand on: a housing, a lug, a link's plates."""
    suspension = spec.suspension
    if suspension is None:
        return
    for point in suspension.points:
        starts = [f"housing_{point}", f"lug_{point}"]
        starts += [f"plate_{link}" for link, own in suspension.links.items() if point in own]
        if any(f"{name}_".startswith(f"{start}_") for name in names for start in starts):
            yield point
