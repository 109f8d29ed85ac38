"""The tubes of the frame: ``tubes:`` in the parameter file."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import Annotated

from pydantic import AfterValidator, Field, Strict

from frame3d.parameters.models.base import Colour, MaterialName, Model, Problem, number
from frame3d.parameters.models.junctions import TARGETS, JunctionSpec, Side
from frame3d.parameters.models.names import LinkName
from frame3d.parameters.models.profiles import (
    ButtedSpec,
    OutsideField,
    OvalSpec,
    Size,
    TaperSpec,
    WallField,
    smallest,
)

__all__ = [
    "BendSpec",
    "ButtedSpec",
    "JunctionSpec",
    "OvalSpec",
    "Side",
    "Size",
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
        (), title="Bends", description="From start to end", max_length=20
    )
    od: OutsideField = Field(
        ...,
        title="Outside diameter",
        description="Number, oval, or start and end [mm]",
        examples=[38.1],
    )
    wall: WallField = Field(
        ..., title="Wall", description="Thickness, butts, or solid [mm]", examples=[0.8]
    )
    material: MaterialName | None = Field(
        None, title="Material", description="Where it is not the frame's own", examples=["4130"]
    )
    colour: Colour | None = Field(
        None,
        title="Colour",
        description="Of this tube in STEP, 3MF and GLB, #rrggbb",
        examples=["#3b5b7a"],
    )

    def problems(self) -> Iterator[Problem]:
        """Yield problems: walls that leave no bore, bends that are not in order."""
        room = smallest(self.od) / 2
        walls: tuple[tuple[str, float], ...] = ()
        if isinstance(self.wall, ButtedSpec):
            walls = tuple((f"wall.butted.{i}", wall) for i, wall in enumerate(self.wall.butted))
        elif not isinstance(self.wall, str):
            walls = (("wall", self.wall),)
        for key, wall in walls:
            if wall >= room:
                yield Problem(
                    "section",
                    key,
                    f"a wall of {wall:g} mm leaves no bore in a tube of {2 * room:g} mm",
                    f"less than {room:g} mm, or wall: solid for a bar",
                )
        for i in range(1, len(self.bends)):
            if self.bends[i].along <= self.bends[i - 1].along:
                yield Problem(
                    "inconsistent",
                    f"bends.{i}.along",
                    f"comes before the bend before it, at {self.bends[i - 1].along:g} mm",
                    "bends stand in the order from start to end",
                )


def tube_problems(tubes: Mapping[str, TubeSpec], pivots: Collection[str] = ()) -> Iterator[Problem]:
    """Yield inconsistencies between a tube's name and its values; keys below ``tubes``.

    Args:
        tubes: by name.
        pivots: points of the rear suspension.
    """
    known = {"head_tube", "seat_tube", *tubes, *pivots, *TARGETS}
    for name, tube in tubes.items():
        if name == "head_tube":
            yield from _unused(name, tube, ("start", "end", "bends", "pair", "link"))
        elif name == "seat_tube":
            yield from _unused(name, tube, ("end", "bends", "pair", "link"))
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


def _unused(name: str, tube: TubeSpec, keys: tuple[str, ...]) -> Iterator[Problem]:
    for key in keys:
        if getattr(tube, key) not in (None, (), False):
            way = "leave it out; geometry says where this tube runs"
            if (name, key) == ("seat_tube", "bends"):
                way = (
                    "make it two tubes: seat_tube, straight, with start: {above_bottom: 190}, and the "
                    "bent lower part under a name of its own, e.g. seat_low: {start: {on: "
                    "bottom_bracket}, bends: [...], end: {on: seat_tube, from_start: 0, cut: square}}"
                )
            yield Problem(
                "inconsistent", f"{name}.{key}", f"{name} takes its axis from the chart", way
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
