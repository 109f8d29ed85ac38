"""The tubes of the frame: ``tubes:`` in the parameter file."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace
from typing import Annotated

from pydantic import AfterValidator, Field, Strict

from frame3d.parameters.models.base import Colour, MaterialName, Model, Problem, number
from frame3d.parameters.models.junctions import TARGETS, JunctionSpec, Side
from frame3d.parameters.models.names import LinkName, PointName
from frame3d.parameters.models.profiles import (
    BoreSpec,
    ButtedSpec,
    DimpleSpec,
    DSpec,
    OutsideField,
    OvalSpec,
    Size,
    StationsSpec,
    SteppedSpec,
    TaperSpec,
    WallField,
    height_and_width,
    mixed_problems,
    rounded_sizes,
    sizes,
    smallest,
)
from frame3d.parameters.models.tube_features.feature import FeatureSpec

__all__ = [
    "BendSpec",
    "BoreSpec",
    "ButtedSpec",
    "DimpleSpec",
    "JunctionSpec",
    "OvalSpec",
    "Side",
    "Size",
    "StationsSpec",
    "SteppedSpec",
    "TaperSpec",
    "TubeSpec",
]


class BendSpec(Model):
    """A bend: a corner of the tube's axis, rounded by the bend radius."""

    along: float = number(
        "Along",
        "Of the corner, along the straight line from start to end",
        above=0,
        high=1500,
        example=110,
        default=...,
    )
    y: float | None = number(
        "Lateral position",
        "Of the corner from the centre plane; left out, it stays on the straight line",
        low=-200,
        high=200,
        example=37,
    )
    rise: float = number(
        "Rise",
        "Of the corner above the straight line, square to it in the upright plane",
        low=-400,
        high=400,
        example=15,
        default=0,
    )
    radius: float = number(
        "Radius", "Bend radius of the axis", above=0, high=5000, example=180, default=...
    )


def _moving(link: str | None) -> str | None:
    """Treat the front frame, which does not move, as no link."""
    return None if link == "frame" else link


class TubeSpec(Model):
    """A tube: where its ends sit, its section, its wall.

    `head_tube` and `seat_tube` take their axes from the chart.
    """

    start: JunctionSpec | None = Field(None, title="Start", description="Where the tube starts")
    end: JunctionSpec | None = Field(None, title="End", description="Where the tube ends")
    pair: bool = Field(
        False, title="Pair", description="Left as written and right as its mirror image"
    )
    link: Annotated[LinkName | None, AfterValidator(_moving)] = Field(
        None,
        title="Link",
        description="Link of the rear suspension that it belongs to and moves with; left out, the "
        "front frame",
        examples=["swingarm"],
    )
    bends: Annotated[tuple[BendSpec, ...], Strict(False)] = Field(
        (),
        title="Bends",
        description="From start to end. Those of the seat tube count along the chart's axis, from the "
        "foot of the bottom bracket on it, and rise forward of it; the last one lies on it",
        max_length=20,
    )
    od: OutsideField = Field(
        ...,
        title="Outside diameter",
        description="Number, oval, rectangle, D, start and end, thick ends, or stations [mm]",
        examples=[38.1],
    )
    wall: WallField = Field(
        ..., title="Wall", description="Thickness, butts, a bore, or solid [mm]", examples=[0.8]
    )
    dimples: Annotated[tuple[DimpleSpec, ...], Strict(False)] = Field(
        (), title="Dimples", description="Flattened stretches, from start to end", max_length=10
    )
    material: MaterialName | None = Field(
        None, title="Material", description="Where it is not the frame's own", examples=["4130"]
    )
    features: dict[PointName, FeatureSpec] = Field(
        default_factory=dict,
        title="Features",
        description="Bosses, ports, guides, stops, eyes, vents and slots, by names of your own",
        max_length=40,
    )
    colour: Colour | None = Field(
        None,
        title="Colour",
        description="Of this tube in STEP, 3MF and GLB, #rrggbb",
        examples=["#3b5b7a"],
    )

    def problems(self) -> Iterator[Problem]:
        """Yield problems: walls that leave no bore, bends and dimples that are not in order."""
        yield from self._wall_problems()
        if rounded_sizes(self.od):
            yield from self._rounded_problems()
        for i in range(1, len(self.dimples)):
            if self.dimples[i].at <= self.dimples[i - 1].at:
                yield Problem(
                    "inconsistent",
                    f"dimples.{i}.at",
                    f"comes before the dimple before it, at {self.dimples[i - 1].at:g} mm",
                    "dimples stand in the order from start to end",
                )
        for i in range(1, len(self.bends)):
            if self.bends[i].along <= self.bends[i - 1].along:
                yield Problem(
                    "inconsistent",
                    f"bends.{i}.along",
                    f"comes before the bend before it, at {self.bends[i - 1].along:g} mm",
                    "bends stand in the order from start to end",
                )

    def _wall_problems(self) -> Iterator[Problem]:
        """Yield problems of walls that leave no bore, or no metal."""
        room = smallest(self.od) / 2
        flat = [size for dimple in self.dimples for size in (dimple.height, dimple.width) if size]
        walls: tuple[tuple[str, float], ...] = ()
        if isinstance(self.wall, BoreSpec):
            yield from self._bore_problems(self.wall.bore, 2 * room)
        elif isinstance(self.wall, ButtedSpec):
            walls = tuple((f"wall.butted.{i}", wall) for i, wall in enumerate(self.wall.butted))
        elif not isinstance(self.wall, str):
            walls = (("wall", self.wall),)
        least = min([2 * room, *flat])
        for key, wall in walls:
            if wall >= least / 2:
                yield Problem(
                    "section",
                    key,
                    f"a wall of {wall:g} mm leaves no bore in a tube of {least:g} mm",
                    f"less than {least / 2:g} mm, or wall: solid for a bar",
                )

    def _rounded_problems(self) -> Iterator[Problem]:
        """Yield problems of what a tube of a rectangular or D section cannot have."""
        for problem in mixed_problems(self.od):
            yield replace(problem, key=f"od.{problem.key}")
        found = rounded_sizes(self.od)
        what = "a D" if isinstance(found[0][1], DSpec) else "a rectangular section"
        if self.dimples:
            yield Problem(
                "section",
                "dimples",
                f"{what} is not pressed flat: dimples are those of round and oval tubes",
                "leave dimples out, and give the sizes along the tube: {stations: …}",
            )
        if isinstance(self.wall, ButtedSpec):
            walls = [(f"wall.butted.{i}", wall) for i, wall in enumerate(self.wall.butted)]
        else:
            walls = [] if isinstance(self.wall, str | BoreSpec) else [("wall", self.wall)]
        for at, size in found:
            below = f"od.{at}" if at else "od"
            for key, wall in walls:
                if wall > size.corner - 0.05:
                    yield Problem(
                        "section",
                        f"{below}.corner",
                        f"corners of {size.corner:g} mm leave the bore none in a wall of {wall:g} mm "
                        f"({key})",
                        f"over {wall + 0.05:g} mm",
                    )
            if isinstance(size, DSpec) and size.flat in ("inside", "outside") and not self.pair:
                yield Problem(
                    "section",
                    f"{below}.flat",
                    f"{size.flat} of what? Only a pair has a side toward the centre plane",
                    "below or above, or pair: true",
                )
        if isinstance(self.wall, BoreSpec):
            yield Problem(
                "section",
                "wall.bore",
                f"a round bore needs a round outside all along, and this is {what}",
                "a wall, e.g. wall: 2",
            )

    def _bore_problems(self, bore: float, least: float) -> Iterator[Problem]:
        """Yield problems of a bore of one diameter in an outside that is `least` mm wide or more."""
        if bore >= least:
            yield Problem(
                "section",
                "wall.bore",
                f"a bore of {bore:g} mm leaves no metal in a tube of {least:g} mm",
                f"less than {least:g}",
            )
        if rounded_sizes(self.od):
            return  # told as a whole
        ovals = [key for key, size in sizes(self.od) if len(set(height_and_width(size))) > 1]
        if ovals or self.dimples:
            yield Problem(
                "section",
                "wall.bore",
                "a round bore needs a round outside all along, and this tube is "
                + (f"oval (od{'.' * bool(ovals[0])}{ovals[0]})" if ovals else "dimpled"),
                "a wall, e.g. wall: 0.9",
            )


def tube_problems(tubes: Mapping[str, TubeSpec], pivots: Collection[str] = ()) -> Iterator[Problem]:
    """Yield inconsistencies between a tube's name and its values; keys below ``tubes``.

    Args:
        tubes: by name.
        pivots: points of the rear suspension.
    """
    known = {"head_tube", "seat_tube", *tubes, *pivots, *TARGETS}
    for name, tube in tubes.items():
        yield from _round_only(name, tube, pivots)
        if name == "head_tube":
            yield from _unused(name, tube, ("start", "end", "bends", "pair", "link"))
        elif name == "seat_tube":
            yield from _unused(name, tube, ("end", "pair", "link"))
            yield from _bent_seat_tube(tube)
            if tube.start is not None:
                yield from _split_seat_tube(tube.start)
        else:
            for end, junction in (("start", tube.start), ("end", tube.end)):
                if junction is None:
                    yield Problem(
                        "missing-key",
                        f"{name}.{end}",
                        "missing: only head_tube and seat_tube take their ends from the chart",
                        f"say what it sits on, e.g. {end}: {{on: head_tube, below_top: 40}}",
                    )
                elif junction.on is None or junction.on in known:
                    yield from _placed(f"{name}.{end}", junction, pivots)
                # Other names are unknown: placing the tube reports them.


def _round_only(name: str, tube: TubeSpec, pivots: Collection[str]) -> Iterator[Problem]:
    """Yield a problem of a rectangular or D section where something round is let in or fitted."""
    if not rounded_sizes(tube.od):
        return
    if name in ("head_tube", "seat_tube"):
        what = "headset cups need" if name == "head_tube" else "the seatpost needs"
        yield Problem(
            "section", f"{name}.od", f"{what} a round {name.replace('_', ' ')}", "a diameter"
        )
    for end, junction in (("start", tube.start), ("end", tube.end)):
        if junction is not None and junction.on in pivots:
            yield Problem(
                "section",
                f"{name}.od",
                f"its {end} sits in a socket or on a housing at {junction.on}, which are made for round "
                "and oval tubes alone",
                "a diameter or an oval, or end it on another tube",
            )


def _unused(name: str, tube: TubeSpec, keys: tuple[str, ...]) -> Iterator[Problem]:
    for key in keys:
        if getattr(tube, key) not in (None, (), False):
            yield Problem(
                "inconsistent",
                f"{name}.{key}",
                f"{name} takes its axis from the chart",
                "leave it out; geometry says where this tube runs",
            )


def _bent_seat_tube(tube: TubeSpec) -> Iterator[Problem]:
    """Yield problems of a seat tube's bends: its top is straight on the chart's axis, in the middle."""
    for i, bend in enumerate(tube.bends):
        if bend.y:
            yield Problem(
                "inconsistent",
                f"seat_tube.bends.{i}.y",
                "the seat tube stays in the centre plane",
                "leave y out",
            )
    if tube.bends and tube.bends[-1].rise:
        yield Problem(
            "inconsistent",
            f"seat_tube.bends.{len(tube.bends) - 1}.rise",
            "the seat tube's top is straight along the chart's axis, on which its last corner lies",
            "leave rise out there, or add a last bend: {along: 250, radius: 200}",
        )


def _placed(path: str, junction: JunctionSpec, pivots: Collection[str]) -> Iterator[Problem]:
    """Yield problems of an end's placement: one on a tube, none on a pivot; a target is needed."""
    if junction.on is None and junction.at is None:
        yield Problem(
            "missing-key",
            f"{path}.on",
            "missing: above what tube's bottom?",
            "on: the tube that it sits on",
        )
    elif junction.on is not None and junction.on not in TARGETS:
        on_pivot = junction.on in pivots
        found = junction.on_pivot_problems() if on_pivot else junction.on_tube_problems()
        for problem in found:
            key = f"{path}.{problem.key}" if problem.key else path
            yield Problem(problem.code, key, problem.message, problem.hint)


def _split_seat_tube(start: JunctionSpec) -> Iterator[Problem]:
    """Yield a problem unless the seat tube starts in one of the ways that its axis allows."""
    if start.on == "bottom_bracket" and start.y is None and not (start.forward or start.above):
        return
    if start.on is not None and start.on not in TARGETS and start.y is None:
        return
    if start.on is None and start.at is None:  # above_bottom alone: on its own axis
        return
    yield Problem(
        "inconsistent",
        "seat_tube.start",
        "the seat tube's axis comes from the chart",
        "leave start out (bottom bracket), name the tube that it stands on: {on: down_tube}, "
        "or where it begins: {above_bottom: 90}",
    )
