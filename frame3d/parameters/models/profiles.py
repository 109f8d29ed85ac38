"""Sections of tubes: outside dimensions and walls."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, Literal

from pydantic import Discriminator, Field, Strict, Tag

from frame3d.parameters.models.base import Model, Problem, kind, number


def _size(value: Any) -> str | None:
    """Return the union's branch for a size."""
    if isinstance(value, Mapping):
        for key, branch in (("flat", "<DSpec>"), ("corner", "<RectangleSpec>")):
            if key in value:
                return branch
        return "<OvalSpec>"
    return "<number>" if isinstance(value, str) else kind(value)  # text: a number with a unit


_OUTSIDES = (
    ({"start", "end", "after", "over"}, "<TaperSpec>"),
    ({"steps"}, "<SteppedSpec>"),
    ({"stations"}, "<StationsSpec>"),
)


def _outside(value: Any) -> str | None:
    """Return the union's branch for an outside diameter."""
    if isinstance(value, Mapping):
        for keys, branch in _OUTSIDES:
            if keys & set(value):
                return branch
    return _size(value)


def _wall(value: Any) -> str | None:
    """Return the union's branch for a wall."""
    if isinstance(value, Mapping):
        return "<BoreSpec>" if "bore" in value else "<ButtedSpec>"
    if isinstance(value, str) and value[:1].isalpha():
        return "<solid>"
    return _size(value)


class OvalSpec(Model):
    """An oval (elliptic) section."""

    height: float = number(
        "Height", "Across the tube in its upright plane", above=0, high=150, example=30, default=...
    )
    width: float = number(
        "Width", "Across the tube, sideways", above=0, high=150, example=17, default=...
    )


class RectangleSpec(OvalSpec):
    """A rectangular section with rounded corners; where they are nearly half its size, all but round."""

    corner: float = number(
        "Corner",
        "Outer radius of its corners; over the wall, so that those of the bore are round too",
        above=0,
        high=75,
        example=4,
        default=...,
    )

    def problems(self) -> Iterator[Problem]:
        """Yield a problem of corners that leave no straight sides."""
        most = min(self.height, self.width) / 2
        if self.corner >= most - 0.05:
            yield Problem(
                "section",
                "corner",
                f"corners of {self.corner:g} mm leave no straight side of {2 * most:g} mm",
                f"less than {most:g} mm",
            )


class DSpec(OvalSpec):
    """A D: flat on one side, a full half round on the other.

    ::

           .-~~~-.    ^
         .'       '.  |               flat: below, seen along the tube
        |           | | height        round: its radius is half the width (of a flat inside or
        |           | |               outside, half the height)
        '-----------' v
            width        corner: at either end of the flat
    """

    corner: float = number(
        "Corner",
        "Outer radius of the two corners at its flat; over the wall",
        above=0,
        high=75,
        example=4,
        default=...,
    )
    flat: Literal["below", "above", "inside", "outside"] = Field(
        ...,
        title="Flat",
        description="Where its flat side is: below, above, or, of a pair, inside (toward the centre "
        "plane) or outside",
        examples=["below"],
    )

    def problems(self) -> Iterator[Problem]:
        """Yield a problem of corners that leave no flat, or run into the round."""
        deep, across = self.height, self.width
        if self.flat in ("inside", "outside"):
            deep, across = across, deep
        if self.corner >= across / 2 - 0.05:
            yield Problem(
                "section",
                "corner",
                f"corners of {self.corner:g} mm leave nothing flat on a side of {across:g} mm",
                f"less than {across / 2:g} mm",
            )
        elif deep < across / 2 + self.corner + 0.05:
            yield Problem(
                "section",
                "width" if self.flat in ("inside", "outside") else "height",
                f"{deep:g} mm from flat to round leave no room for a half round of "
                f"{across / 2:g} mm and corners of {self.corner:g} mm",
                f"more than {across / 2 + self.corner + 0.05:g} mm",
            )


Rounded = RectangleSpec | DSpec
Size = float | OvalSpec
"""A diameter, an oval, a rectangle or a D."""
_Diameter = Annotated[float, Field(gt=0, le=150, title="Diameter [mm]"), Tag("<number>")]
_Oval = Annotated[OvalSpec, Tag("<OvalSpec>")]
SizeField = Annotated[
    _Diameter
    | _Oval
    | Annotated[RectangleSpec, Tag("<RectangleSpec>")]
    | Annotated[DSpec, Tag("<DSpec>")],
    Discriminator(
        _size,
        custom_error_type="shape",
        custom_error_message="a diameter, an oval {height: 30, width: 17}, a rectangle "
        "{height: 40, width: 30, corner: 4}, or a D with flat: below besides",
    ),
]


class TaperSpec(Model):
    """A section that runs evenly from one size to another, over the whole tube or a stretch of it."""

    start: SizeField = Field(
        ..., title="At the start", description="Diameter, oval, rectangle or D [mm]", examples=[61]
    )
    end: SizeField = Field(
        ..., title="At the end", description="Diameter, oval, rectangle or D [mm]", examples=[50]
    )
    after: float = number(
        "After",
        "Where the taper begins, from the long point of the tube's start; up to there it is as wide as "
        "at the start",
        low=0,
        high=1500,
        example=120,
        default=0,
    )
    over: float | None = number(
        "Over",
        "Length of the taper; left out, it runs to the long point of the tube's end",
        above=0,
        high=1500,
        example=200,
    )


_Length = Annotated[float, Field(gt=0, le=1500)]


class SteppedSpec(Model):
    """Outsides that follow one another along the tube: thick ends, a bell, an external butt.

    Of two sizes the first holds for `lengths[0]` from the start; of three the last one holds for
    `lengths[1]` before the end. Lengths are measured from the long points of the cut ends, as those of
    butts are; `transition` follows each.
    """

    steps: Annotated[tuple[SizeField, ...], Strict(False)] = Field(
        ...,
        title="Outsides",
        description="From start to end, two or three diameters, ovals, rectangles or Ds [mm]",
        min_length=2,
        max_length=3,
        examples=[[50, 46, 50]],
    )
    lengths: Annotated[tuple[_Length, ...], Strict(False)] = Field(
        ...,
        title="Lengths",
        description="Of the first outside, and of the last where there are three [mm]",
        min_length=1,
        max_length=2,
        examples=[[20, 20]],
    )
    transition: float = number(
        "Transition",
        "Length of each taper between outsides",
        above=0,
        high=300,
        example=5,
        default=...,
    )

    def problems(self) -> Iterator[Problem]:
        """Yield a problem unless there is one length fewer than outsides."""
        yield from lengths_problems("outside", len(self.steps), len(self.lengths))


_Place = Annotated[float, Field(ge=-1500, le=1500)]
_Station = Annotated[tuple[_Place, SizeField], Strict(False)]


class StationsSpec(Model):
    """Outsides at any places along the tube; between two places the size changes evenly."""

    stations: Annotated[tuple[_Station, ...], Strict(False)] = Field(
        ...,
        title="Stations",
        description="From start to end, each a place and the diameter, oval, rectangle or D there [mm]: "
        "places from 0 on count from the long point of the tube's start, negative ones back from that "
        "of its end; before the first and behind the last the size stays",
        min_length=2,
        max_length=40,
        examples=[[[0, 50], [20, 46], [-25, 46], [-20, 50]]],
    )

    def problems(self) -> Iterator[Problem]:
        """Yield a problem where stations that are counted from one end are not in order."""
        places = [place for place, _ in self.stations]
        for i in range(1, len(places)):
            if places[i] <= places[i - 1] and (places[i] < 0) == (places[i - 1] < 0):
                yield Problem(
                    "inconsistent",
                    f"stations.{i}",
                    f"its place, {places[i]:g}, does not lie behind the one before it, "
                    f"{places[i - 1]:g}",
                    "stations stand in the order from start to end",
                )
            elif places[i] >= 0 > places[i - 1]:
                yield Problem(
                    "inconsistent",
                    f"stations.{i}",
                    f"{places[i]:g} counts from the start, and stands behind a place that counts from "
                    f"the end, {places[i - 1]:g}",
                    "those that count from the start (0 and more) come first",
                )


def lengths_problems(what: str, sizes: int, given: int) -> Iterator[Problem]:
    """Yield a problem unless there is one length fewer than sizes that follow one another."""
    wanted = sizes - 1
    if given != wanted:
        kind, one, two = "length", "first length", "first and last length"
        if what == "wall":
            kind, one, two = "butt length", "start butt", "start butt, end butt"
        yield Problem(
            "inconsistent",
            "lengths",
            f"{sizes} {what}s need {wanted} {kind}{'s' * (wanted > 1)}, "
            f"there {'are' if given > 1 else 'is'} {given}",
            f"[{one}] with two {what}s, [{two}] with three",
        )


OutsideField = Annotated[
    _Diameter
    | _Oval
    | Annotated[RectangleSpec, Tag("<RectangleSpec>")]
    | Annotated[DSpec, Tag("<DSpec>")]
    | Annotated[TaperSpec, Tag("<TaperSpec>")]
    | Annotated[SteppedSpec, Tag("<SteppedSpec>")]
    | Annotated[StationsSpec, Tag("<StationsSpec>")],
    Discriminator(
        _outside,
        custom_error_type="shape",
        custom_error_message="a diameter, an oval {height: 30, width: 17}, a rectangle "
        "{height: 40, width: 30, corner: 4}, a D with flat: below besides, both ends "
        "{start: 62, end: 50}, thick ends {steps: [50, 46, 50], lengths: [20, 20], transition: 5}, or "
        "{stations: [[0, 50], [20, 46]]}",
    ),
]
Outside = float | OvalSpec | TaperSpec | SteppedSpec | StationsSpec
"""What the file says of a tube's outside."""


class DimpleSpec(Model):
    """A stretch of the tube pressed flatter from both sides, for room beside a tyre or a chainring.

    ::

        ______________                    ______________   the tube's own outside
                      `.                .'
                        `--------------'                   height, width
                      |  |            |  |
             transition    over, about at  transition

    The section stays an ellipse about the tube's axis: a dent in one side alone cannot be said.
    """

    at: float = number(
        "At",
        "Its middle, along the tube from the long point of its start",
        above=0,
        high=1500,
        example=150,
        default=...,
    )
    over: float = number(
        "Over", "Length of the flattest part", above=0, high=500, example=40, default=...
    )
    transition: float = number(
        "Transition",
        "Length of the run-out at either end",
        above=0,
        high=300,
        example=30,
        default=...,
    )
    height: float | None = number(
        "Height",
        "Across the tube in its upright plane; left out, what keeps the circumference as it is without "
        "the dimple, as pressing does",
        above=0,
        high=150,
        example=26,
    )
    width: float | None = number(
        "Width",
        "Across the tube, sideways; left out, what keeps the circumference",
        above=0,
        high=150,
        example=14,
    )

    def problems(self) -> Iterator[Problem]:
        """Yield a problem where neither size is given."""
        if self.height is None and self.width is None:
            yield Problem(
                "missing-key",
                "",
                "neither width nor height: flattened to what?",
                "width: for a dimple beside a tyre, height: for one above or below",
            )


Thickness = Annotated[float, Field(gt=0, le=25, title="Thickness [mm]")]
"""Of a wall."""


class CutOffSpec(Model):
    """How much of a tube as sold is cut off, up to the long points of its cut ends."""

    start: float | None = number(
        "At the start",
        "Cut off beyond the start's long point; left out, 0, or what `as_sold` leaves",
        low=0,
        high=1500,
        example=40,
    )
    end: float | None = number(
        "At the end",
        "Cut off beyond the end's long point; left out, 0, or what `as_sold` leaves",
        low=0,
        high=1500,
        example=25,
    )


class ButtedSpec(Model):
    """A wall that is thicker toward an end.

    Two thicknesses (single butted): the first holds for `lengths[0]` from the start. Three (double,
    or triple butted where both ends differ): start butt `lengths[0]`, end butt `lengths[1]`.
    Lengths are measured from the cut ends of the tube, each at its long point; `transition` follows
    each butt. With `as_sold` or `cut` they are those of the tube as sold, from its own ends, before
    what `cut` says is cut off::

          |cut.start| what is left of the tube |cut.end|
          |__________ ________________________ ________|
          |   lengths[0]   |             |  lengths[1] |
          |<------------------ as_sold --------------->|
    """

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
        examples=[[90, 120]],
    )
    transition: float = number(
        "Transition",
        "Length of each taper between thicknesses",
        above=0,
        high=300,
        example=50,
        default=...,
    )

    as_sold: float | None = number(
        "As sold",
        "Length of the tube as it is bought; `cut` then says how much of it is cut off at the start or "
        "at the end, and the other end gives the rest",
        above=0,
        high=3000,
        example=650,
    )
    cut: CutOffSpec | None = Field(
        None, title="Cut off", description="How much of the tube as sold is cut off at either end"
    )

    @property
    def is_cut_from(self) -> bool:
        """Whether its lengths are those of a tube as sold, of which the ends are cut off."""
        return self.as_sold is not None or self.cut is not None

    def problems(self) -> Iterator[Problem]:
        """Yield problems: a number of lengths that does not fit, a tube as sold that nobody cuts."""
        yield from lengths_problems("wall", len(self.butted), len(self.lengths))
        ends = (None, None) if self.cut is None else (self.cut.start, self.cut.end)
        if self.is_cut_from and ends == (None, None):
            yield Problem(
                "missing-key",
                "cut" if self.cut is not None else "",
                "at which end is a tube as sold cut off, and by how much?",
                "cut: {start: 0} to keep the start's whole butt and cut at the end, or cut: {end: 0}",
            )


class BoreSpec(Model):
    """A bore of one diameter, whatever the outside: the wall is what lies between them."""

    bore: float = number(
        "Bore",
        "Inner diameter along the whole tube, whose outside must be round",
        above=0,
        high=150,
        example=27.2,
        default=...,
    )


WallField = Annotated[
    Annotated[Thickness, Tag("<number>")]
    | Annotated[ButtedSpec, Tag("<ButtedSpec>")]
    | Annotated[BoreSpec, Tag("<BoreSpec>")]
    | Annotated[Literal["solid"], Tag("<solid>")],
    Discriminator(
        _wall,
        custom_error_type="shape",
        custom_error_message="a thickness, solid, butts "
        "{butted: [0.9, 0.6, 0.9], lengths: [90, 120], transition: 50}, or a bore {bore: 27.2}",
    ),
]


def sizes(od: Outside) -> tuple[tuple[str, Size], ...]:
    """Return each size that the file gives for an outside, with its key below ``od``."""
    if isinstance(od, TaperSpec):
        return ("start", od.start), ("end", od.end)
    if isinstance(od, SteppedSpec):
        return tuple((f"steps.{i}", size) for i, size in enumerate(od.steps))
    if isinstance(od, StationsSpec):
        return tuple((f"stations.{i}.1", size) for i, (_, size) in enumerate(od.stations))
    return (("", od),)


def rounded_sizes(od: Outside) -> tuple[tuple[str, Rounded], ...]:
    """Return each rectangle or D that the file gives for an outside, with its key below ``od``."""
    return tuple((key, size) for key, size in sizes(od) if isinstance(size, RectangleSpec | DSpec))


def mixed_problems(od: Outside) -> Iterator[Problem]:
    """Yield a problem of an outside that is a rectangle or D in one place and another kind elsewhere.

    Between two kinds no outline is agreed on: a round or oval end of a rectangular tube is a rectangle
    with corners of nearly half its size.
    """

    def kind_of(size: Size) -> str:
        if isinstance(size, DSpec):
            return f"a D with its flat {size.flat}"
        if isinstance(size, RectangleSpec):
            return "a rectangle"
        return "an oval" if isinstance(size, OvalSpec) else "round"

    if not rounded_sizes(od):
        return
    (first, one), *others = sizes(od)
    for key, size in others:
        if kind_of(size) != kind_of(one):
            yield Problem(
                "section",
                key,
                f"{kind_of(size)} here, and {kind_of(one)} at {first}: a tube is of one kind all along",
                "for a round end of a rectangular tube a rectangle with corners of nearly half its "
                "size, e.g. {height: 20, width: 20, corner: 9.9}",
            )


def height_and_width(size: Size) -> tuple[float, float]:
    """Return the outer height and width of a diameter or an oval [mm]."""
    return (size.height, size.width) if isinstance(size, OvalSpec) else (float(size), float(size))


def smallest(od: Outside) -> float:
    """Return the smallest outside dimension of a tube, without its dimples [mm]."""
    return min(min(height_and_width(size)) for _, size in sizes(od))
