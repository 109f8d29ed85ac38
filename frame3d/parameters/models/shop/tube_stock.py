"""TubeStockSpec: the shop's own tubes as they are sold: a file of their own beside the bike's."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, Literal

from pydantic import Discriminator, Field, Strict, Tag

from frame3d.parameters.models.base import Model, Problem, kind, number
from frame3d.parameters.models.names import OneLine
from frame3d.parameters.models.profiles import (
    OvalSpec,
    SizeField,
    Thickness,
    height_and_width,
    lengths_problems,
)


def _outside(value: Any) -> str | None:
    """Return the union's branch for an outside."""
    if isinstance(value, Mapping):
        return "<SoldTaperSpec>" if {"start", "end"} & set(value) else "<OvalSpec>"
    return "<number>" if isinstance(value, str) else kind(value)


def _wall(value: Any) -> str | None:
    """Return the union's branch for a wall."""
    if isinstance(value, Mapping):
        return "<SoldButtsSpec>"
    if isinstance(value, str) and value[:1].isalpha():
        return "<solid>"
    return "<number>" if isinstance(value, str) else kind(value)


_Length = Annotated[float, Field(ge=0, le=4000)]


class SoldTaperSpec(Model):
    """An outside that runs evenly from one size to another, over the whole tube or a stretch of it."""

    start: SizeField = Field(..., title="At the start", description="Diameter, or oval [mm]")
    end: SizeField = Field(..., title="At the end", description="Diameter, or oval [mm]")
    after: float = number(
        "After", "From the start to where the taper begins", low=0, high=4000, example=60, default=0
    )
    over: float | None = number(
        "Over", "Length of the taper; left out, up to the end", above=0, high=4000, example=200
    )


class SoldButtsSpec(Model):
    """A butted wall; lengths count from the ends of the tube as sold."""

    butted: Annotated[tuple[Thickness, ...], Strict(False)] = Field(
        ...,
        title="Wall thicknesses",
        description="From start to end, two or three [mm]",
        min_length=2,
        max_length=3,
        examples=[[0.9, 0.6, 0.9]],
    )
    lengths: Annotated[tuple[_Length, ...], Strict(False)] = Field(
        ...,
        title="Butt lengths",
        description="Of the start butt, and of the end butt where there are three walls [mm]",
        min_length=1,
        max_length=2,
        examples=[[100, 140]],
    )
    transition: float = number(
        "Transition", "Length of each taper of the wall", above=0, high=400, example=50, default=...
    )

    def problems(self) -> Iterator[Problem]:
        """Yield a problem unless there is one length fewer than walls."""
        yield from lengths_problems("wall", len(self.butted), len(self.lengths))

    @property
    def taken(self) -> float:
        """Length that butts and transitions take together [mm]."""
        return sum(self.lengths) + self.transition * len(self.lengths)


class StockTubeSpec(Model):
    """A tube as it is sold."""

    name: OneLine = Field(
        ..., title="Name", description="The shop's own name for it", examples=["Down 38 butted"]
    )
    od: Annotated[
        Annotated[float, Field(gt=0, le=150, title="Diameter [mm]"), Tag("<number>")]
        | Annotated[OvalSpec, Tag("<OvalSpec>")]
        | Annotated[SoldTaperSpec, Tag("<SoldTaperSpec>")],
        Discriminator(
            _outside,
            custom_error_type="shape",
            custom_error_message="a diameter, an oval {height: 30, width: 17}, or a taper "
            "{start: 20, end: 14}",
        ),
    ] = Field(..., title="Outside", description="Diameter, oval or taper [mm]", examples=[38.1])
    wall: Annotated[
        Annotated[Thickness, Tag("<number>")]
        | Annotated[SoldButtsSpec, Tag("<SoldButtsSpec>")]
        | Annotated[Literal["solid"], Tag("<solid>")],
        Discriminator(
            _wall,
            custom_error_type="shape",
            custom_error_message="a thickness, solid, or butts "
            "{butted: [0.9, 0.6, 0.9], lengths: [100, 140], transition: 50}",
        ),
    ] = Field(..., title="Wall", description="Thickness, butts, or solid [mm]", examples=[0.9])
    length: float = number("Length", "As sold", above=0, high=8000, example=700, default=...)
    material: OneLine = Field(
        ..., title="Material", description="Named as bikes' files name it", examples=["4130"]
    )
    count: int | None = Field(
        None,
        title="Count",
        description="How many lie there; left out, as many as are needed",
        ge=0,
        le=1000,
        examples=[3],
    )

    def problems(self) -> Iterator[Problem]:
        """Yield problems: butts or a taper longer than the tube, a wall that leaves no bore."""
        if isinstance(self.wall, SoldButtsSpec) and self.wall.taken > self.length:
            yield Problem(
                "butt",
                "wall",
                f"butts and transitions take {self.wall.taken:g} mm of a tube of {self.length:g} mm",
                "their lengths count from the tube's ends, as sold",
            )
        if isinstance(self.od, SoldTaperSpec):
            over = 0.0 if self.od.over is None else self.od.over
            if self.od.after + over > self.length:
                yield Problem(
                    "section",
                    "od",
                    f"the taper ends {self.od.after + over:g} mm from the start of a tube of "
                    f"{self.length:g} mm",
                    "a shorter taper, or leave over out",
                )
        if self.wall != "solid":
            walls = self.wall.butted if isinstance(self.wall, SoldButtsSpec) else (self.wall,)
            least = min(min(size) for size in self.sizes)
            if 2 * max(walls) >= least:
                yield Problem(
                    "section",
                    "wall",
                    f"{max(walls):g} mm leaves no bore in {least:g} mm",
                    "a thinner wall, or wall: solid",
                )

    @property
    def sizes(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """Height and width at the start, and at the end [mm]."""
        ends = (
            (self.od.start, self.od.end) if isinstance(self.od, SoldTaperSpec) else (self.od,) * 2
        )
        first, last = map(height_and_width, ends)
        return first, last


class TubeStockSpec(Model):
    """The tubes that lie in the shop, or that it buys."""

    format: Literal[1] = Field(..., title="Format", description="Version of this file format: 1")
    name: OneLine = Field(
        ..., title="Name", description="Of the list", examples=["Rack by the door"]
    )
    tubes: Annotated[tuple[StockTubeSpec, ...], Strict(False)] = Field(
        ..., title="Tubes", description="As they are sold", min_length=1, max_length=500
    )

    def problems(self) -> Iterator[Problem]:
        """Yield names that stand twice."""
        names = [tube.name for tube in self.tubes]
        for i, name in enumerate(names):
            if name in names[:i]:
                yield Problem(
                    "duplicate-key", f"tubes.{i}.name", f"{name} stands twice", "a name for each"
                )
