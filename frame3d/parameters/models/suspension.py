"""Rear suspension: ``suspension:`` in the parameter file: points, links, shock, spring.

All points lie in the side view, x forward and z up from the bottom bracket [mm], with the shock at
full extension, as the bike is drawn.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, Final, Literal

from pydantic import BaseModel, Discriminator, Field, Strict, Tag

from frame3d.parameters.models.base import Model, Problem, Share, number, unknown
from frame3d.parameters.models.custom_bodies import FIXED
from frame3d.parameters.models.junctions import TARGETS
from frame3d.parameters.models.names import LinkName, PointName
from frame3d.parameters.models.pivots import PivotSpec, pivot_problems
from frame3d.parameters.models.shock import ShockSpec
from frame3d.parameters.models.springs import SpringSpec
from frame3d.parameters.models.tubes import TubeSpec

FRAME: Final = "frame"
"""The front frame among the links: it is always there, and it stands still."""
NODES: Final = ("bottom_bracket", "rear_axle")
"""Points that every bike has; links may name them and points may be given from them."""
ON_TUBE: Final = ("from_start", "from_end", "offset")
ON_POINT: Final = ("forward", "above")

_Coordinate = Annotated[float, Field(ge=-3000, le=3000)]


class PointSpec(Model):
    """A point given from a tube of the front frame, or from another point.

    On a tube `from_start` or `from_end` says where along its axis, `offset` how far beside it. From
    a point, `forward` and `above` say how far.
    """

    on: str = Field(
        ...,
        title="On",
        description="A tube of the front frame, another point, bottom_bracket or rear_axle",
        examples=["down_tube"],
    )
    from_start: float | None = number(
        "From start", "Along the tube's axis, from its start", low=-200, high=1500, example=250
    )
    from_end: float | None = number(
        "From end", "Along the tube's axis, from its end", low=-200, high=1500, example=250
    )
    offset: float | None = number(
        "Offset",
        "Square to the tube's axis, positive above it (ahead of an upright tube)",
        low=-300,
        high=300,
        example=30,
    )
    forward: float | None = number(
        "Forward", "Ahead of the other point", low=-1500, high=1500, example=30
    )
    above: float | None = number("Above", "Above the other point", low=-1500, high=1500, example=40)

    @property
    def is_on_tube(self) -> bool:
        """Whether it is given relative to a tube."""
        return any(getattr(self, key) is not None for key in ON_TUBE)

    def problems(self) -> Iterator[Problem]:
        """Yield problems unless the position is given in exactly one way."""
        if self.is_on_tube:
            for key in ON_POINT:
                if getattr(self, key) is not None:
                    yield Problem(
                        "inconsistent",
                        key,
                        "says nothing together with " + ", ".join(ON_TUBE),
                        "on a tube use from_start or from_end, and offset; from another point "
                        "forward and above",
                    )
            if self.from_start is not None and self.from_end is not None:
                yield Problem(
                    "inconsistent",
                    "from_end",
                    "the point is already placed by from_start",
                    "keep one of from_start, from_end",
                )
            if self.from_start is None and self.from_end is None:
                yield Problem(
                    "missing-key",
                    "from_start",
                    f"missing: where along {self.on}",
                    "from_start or from_end",
                )


def _shape(value: object) -> str | None:
    if isinstance(value, Mapping | BaseModel):
        return "<mapping>"
    return "<list>" if isinstance(value, list | tuple) else None


Place = Annotated[
    Annotated[tuple[_Coordinate, _Coordinate], Strict(False), Tag("<list>")]
    | Annotated[PointSpec, Tag("<mapping>")],
    Discriminator(
        _shape,
        custom_error_type="shape",
        custom_error_message="[x, z], or {on: down_tube, from_start: 250, offset: 30}, or "
        "{on: main_pivot, forward: 30, above: 40}",
    ),
]


class CarrierSpec(Model):
    """Which link carries a part."""

    on: LinkName = Field(
        ..., title="On", description="Name of the link that carries it", examples=["swingarm"]
    )


class SolveForSpec(Model):
    """A coordinate of a point that is moved until a wish is met."""

    point: PointName = Field(
        ..., title="Point", description="The point that moves", examples=["rocker_shock"]
    )
    coordinate: Literal["x", "z", "forward", "above", "from_start", "from_end", "offset"] = Field(
        ...,
        title="Coordinate",
        description="Which of its coordinates; what the file gives is the start of the search",
        examples=["x"],
    )
    to_meet: Literal["travel", "eye_to_eye"] = Field(
        ...,
        title="To meet",
        description="travel: the wanted wheel travel; eye_to_eye: the shock's length between its ends",
        examples=["travel"],
    )


class SuspensionSpec(Model):
    """Rear suspension: any planar linkage of one freedom between front frame, rear wheel and shock."""

    travel: float | None = number(
        "Travel",
        "Wanted vertical travel of the rear wheel over the whole stroke",
        above=0,
        high=400,
        example=140,
    )
    points: dict[PointName, Place] = Field(
        ...,
        title="Points",
        description="Side view from the bottom bracket at full extension: [x, z], or from a tube of "
        "the front frame, or from another point",
        max_length=40,
    )
    links: dict[LinkName, Annotated[tuple[PointName, ...], Strict(False)]] = Field(
        ...,
        title="Links",
        description="Rigid bodies and the points on each; a point on several of them is a pivot. "
        "frame is the front frame",
        max_length=16,
    )
    axle: CarrierSpec = Field(
        ...,
        title="Axle",
        description="The link that carries the rear axle",
        examples=[{"on": "arm"}],
    )
    brake: CarrierSpec | None = Field(
        None,
        title="Brake",
        description="The link that carries the rear caliper; left out, the axle's",
        examples=[{"on": "arm"}],
    )
    shock: ShockSpec = Field(..., title="Shock", description="Ends and size")
    pivots: dict[PointName, PivotSpec] = Field(
        default_factory=dict,
        title="Pivots",
        description="Housings and lugs by point; what is left out is common practice",
        examples=[{"main_pivot": {"housing": "frame", "width": 60, "od": 30, "axle": 12}}],
    )
    spring: SpringSpec | None = Field(None, title="Spring", description="Coil, air or a table")
    sag: Share | None = Field(
        None,
        title="Sag",
        description="Share used up by the rider's weight, e.g. 30%",
        examples=["30%"],
    )
    sag_of: Literal["stroke", "travel"] = Field(
        "stroke",
        title="Sag of",
        description="What the sag is a share of: the shock's stroke or the wheel's travel",
    )
    unsprung_kg: float | None = number(
        "Unsprung mass",
        "At the rear axle, which the ground carries past the spring: wheel, cassette, brake, the axle's "
        "share of the links; left out, estimated from the parts and tubes that the file gives",
        low=0,
        high=30,
        example=4.2,
        unit="kg",
    )
    rear_share: Share | None = Field(
        None,
        title="Rear share",
        description="Share of the weight of rider and bicycle on the rear wheel, e.g. 65%; left out, "
        "from the rider's posture",
        examples=["65%"],
    )
    centre_of_mass_height: float | None = number(
        "Height of the centre of mass",
        "Of rider and bicycle together above the ground, for anti-squat and anti-rise; left out, from "
        "the rider's posture",
        low=200,
        high=2500,
        example=1150,
    )
    solve_for: Annotated[tuple[SolveForSpec, ...], Strict(False)] = Field(
        (),
        title="Solve for",
        description="Coordinates that are moved until travel or the shock's length is met",
        max_length=2,
        examples=[[{"point": "rocker_shock", "coordinate": "x", "to_meet": "travel"}]],
    )

    @property
    def brake_link(self) -> str:
        """The link that carries the caliper."""
        return self.axle.on if self.brake is None else self.brake.on

    def bodies_of(self, point: str) -> tuple[str, ...]:
        """Return the links that a point is on, in the order of the file."""
        found = [name for name, points in self.links.items() if point in points]
        if point == "rear_axle" and self.axle.on not in found:
            found.append(self.axle.on)
        return tuple(found)

    def problems(self) -> Iterator[Problem]:
        """Yield problems: unknown names, shock within one body, wrong spring, wishes not given."""
        yield from self._links()
        yield from self._points()
        yield from self._shock()
        yield from self._spring()
        yield from self._wishes()
        yield from pivot_problems(self)

    def _links(self) -> Iterator[Problem]:
        points = (*self.points, *NODES)
        moving = [name for name in self.links if name != FRAME]
        if FRAME not in self.links:
            yield Problem(
                "missing-key",
                "links.frame",
                "missing: the pivots on the front frame",
                "e.g. frame: [main_pivot, shock_front]",
            )
        if not moving:
            yield Problem(
                "mechanism", "links", "nothing moves", "e.g. swingarm: [main_pivot, shock_rear]"
            )
        for name, on in self.links.items():
            if name in FIXED and name != FRAME:
                yield Problem(
                    "bad-name",
                    f"links.{name}",
                    "bodies are fixed to something of this name already",
                    "another name, e.g. rocker",
                )
            for i, point in enumerate(on):
                if point not in points:
                    yield unknown(f"links.{name}.{i}", "point", point, points)
                elif point in on[:i]:
                    yield Problem(
                        "inconsistent",
                        f"links.{name}.{i}",
                        f"{point} stands twice in one link",
                        "name each point once",
                    )
        for key, carrier in (("axle", self.axle), ("brake", self.brake)):
            if carrier is not None and carrier.on not in moving:
                yield unknown(f"{key}.on", "moving link", carrier.on, moving)
        if self.axle.on in moving and FRAME in self.links:
            yield from self._apart(moving)

    def _apart(self, moving: list[str]) -> Iterator[Problem]:
        """Yield problems of links that are not joined to the front frame, directly or over others."""
        joined = {FRAME}
        rest = set(moving)
        while True:
            touching = {
                name
                for name in rest
                if any(name in bodies and joined & set(bodies) for bodies in self._bodies())
            }
            if not touching:
                break
            joined |= touching
            rest -= touching
        for name in moving:
            if name in rest:
                yield Problem(
                    "mechanism",
                    f"links.{name}",
                    "no pivot joins it to the front frame, directly or through other links",
                    "a pivot is a point that two links name; check the names of its points",
                )

    def _bodies(self) -> list[tuple[str, ...]]:
        return [self.bodies_of(point) for point in (*self.points, *NODES)]

    def _points(self) -> Iterator[Problem]:
        used = {point for on in self.links.values() for point in on}
        used |= {self.shock.start, self.shock.end}
        for name, place in self.points.items():
            if name in NODES:
                yield Problem(
                    "bad-name",
                    f"points.{name}",
                    "the bike has this point already",
                    "another name; links may name it as it is",
                )
            if isinstance(place, PointSpec):
                used.add(place.on)
        for name in self.points:
            if name not in used:
                yield Problem(
                    "inconsistent",
                    f"points.{name}",
                    "no link, and no other point, names it",
                    "list it under the links that it is on, or take it out",
                )
        told: set[str] = set()
        for name in self.points:
            loop = self._circle(name)
            if loop and not told & set(loop):
                told |= set(loop)
                yield Problem(
                    "junction-cycle",
                    f"points.{name}",
                    "points are given from each other in a circle: "
                    + " -> ".join((*loop, loop[0])),
                    "give one of them as [x, z]",
                )

    def _circle(self, name: str) -> tuple[str, ...]:
        """Return the cycle of points in which a point is given relative to itself; empty if none."""
        trail = [name]
        while True:
            place = self.points.get(trail[-1])
            if not isinstance(place, PointSpec) or place.is_on_tube:
                return ()
            if place.on == name:
                return tuple(trail)
            if place.on in trail:
                return ()
            trail.append(place.on)

    def _shock(self) -> Iterator[Problem]:
        points = (*self.points, *NODES)
        ends = (("start", self.shock.start), ("end", self.shock.end))
        for key, point in ends:
            if point not in points:
                yield unknown(f"shock.{key}", "point", point, points)
            elif not self.bodies_of(point):
                yield Problem(
                    "shock",
                    f"shock.{key}",
                    f"{point} is on no link, so nothing holds this end",
                    f"list it under the link that it is on, e.g. links.frame: [..., {point}]",
                )
        shared = set(self.bodies_of(self.shock.start)) & set(self.bodies_of(self.shock.end))
        if shared and self.shock.start != self.shock.end:
            yield Problem(
                "shock",
                "shock",
                f"both ends are on {sorted(shared)[0]}, so it never shortens",
                "put its ends on two bodies",
            )

    def _spring(self) -> Iterator[Problem]:
        stroke = self.shock.full_stroke
        if self.spring is not None:
            yield from self.spring.over(stroke, None if self.sag else "suspension.sag: 30%")
        if self.shock.damper is not None:
            for problem in self.shock.damper.over(stroke):
                yield Problem(problem.code, f"shock.{problem.key}", problem.message, problem.hint)

    def _wishes(self) -> Iterator[Problem]:
        met: list[str] = []
        moved: list[tuple[str, str]] = []
        for i, wish in enumerate(self.solve_for):
            key = f"solve_for.{i}"
            if wish.to_meet in met:
                yield Problem(
                    "inconsistent", f"{key}.to_meet", f"{wish.to_meet} is met by another coordinate",
                    "one coordinate for each wish",
                )  # fmt: skip
            if (wish.point, wish.coordinate) in moved:
                yield Problem(
                    "inconsistent", f"{key}.coordinate", "this coordinate is solved for already",
                    "another coordinate for each wish",
                )  # fmt: skip
            met.append(wish.to_meet)
            moved.append((wish.point, wish.coordinate))
            if wish.to_meet == "travel" and self.travel is None:
                yield Problem(
                    "missing-key", "travel", f"missing: solve_for.{i} is to meet it",
                    "the wanted wheel travel, e.g. travel: 140",
                )  # fmt: skip
            place = self.points.get(wish.point)
            if place is None:
                yield unknown(f"{key}.point", "point", wish.point, tuple(self.points))
                continue
            own = coordinates(place)
            if wish.coordinate not in own:
                yield Problem(
                    "not-allowed",
                    f"{key}.coordinate",
                    f"{wish.point} is not given by {wish.coordinate}",
                    f"it has {' and '.join(own)}",
                )


def coordinates(place: Any) -> tuple[str, ...]:
    """Return the names of the coordinates by which a point is given."""
    if not isinstance(place, PointSpec):
        return ("x", "z")
    if not place.is_on_tube:
        return ON_POINT
    return ("from_end" if place.from_start is None else "from_start", "offset")


def suspension_problems(
    suspension: SuspensionSpec, tubes: Mapping[str, TubeSpec]
) -> Iterator[Problem]:
    """Yield inconsistencies between points and tubes; keys below ``suspension``."""
    points = (*suspension.points, *NODES)
    plain = tuple(name for name, tube in tubes.items() if not tube.pair)
    for name, place in suspension.points.items():
        if name in tubes or name in TARGETS:
            whose = "a tube has" if name in tubes else "the bike has a point with"
            yield Problem(
                "bad-name", f"points.{name}", f"{whose} this name", "another name, e.g. pivot"
            )
        if not isinstance(place, PointSpec):
            continue
        key = f"points.{name}.on"
        if place.is_on_tube:
            if place.on in tubes and tubes[place.on].link is not None:
                yield Problem(
                    "not-allowed",
                    key,
                    f"{place.on} moves with {tubes[place.on].link}",
                    "a tube of the front frame, or give the point as [x, z]",
                )
            elif place.on not in plain:
                yield unknown(key, "single tube", place.on, plain)
        elif place.on in tubes and place.on not in points:
            yield Problem(
                "missing-key",
                f"points.{name}.from_start",
                f"missing: where along {place.on}",
                "from_start or from_end",
            )
        elif place.on not in points:
            yield unknown(key, "point or tube", place.on, (*points, *plain))
