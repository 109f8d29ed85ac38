"""Sections of tubes: outside dimensions and walls."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, Literal

from pydantic import Discriminator, Field, Strict, Tag

from frame3d.parameters.models.base import Model, Problem, kind, number


def _size(value: Any) -> str | None:
    """Return the union's branch for a size."""
    if isinstance(value, Mapping):
        return "<OvalSpec>"
    return "<number>" if isinstance(value, str) else kind(value)  # text: a number with a unit


def _outside(value: Any) -> str | None:
    """Return the union's branch for an outside diameter."""
    if isinstance(value, Mapping) and {"start", "end"} & set(value):
        return "<TaperSpec>"
    return _size(value)


def _wall(value: Any) -> str | None:
    """Return the union's branch for a wall."""
    if isinstance(value, Mapping):
        return "<ButtedSpec>"
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


Size = float | OvalSpec
"""A diameter, or an oval."""
_Diameter = Annotated[float, Field(gt=0, le=150, title="Diameter [mm]"), Tag("<number>")]
_Oval = Annotated[OvalSpec, Tag("<OvalSpec>")]
SizeField = Annotated[
    _Diameter | _Oval,
    Discriminator(
        _size,
        custom_error_type="shape",
        custom_error_message="a diameter, or an oval {height: 30, width: 17}",
    ),
]


class TaperSpec(Model):
    """A section that runs evenly from start to end."""

    start: SizeField = Field(
        ..., title="At the start", description="Diameter, or oval [mm]", examples=[61]
    )
    end: SizeField = Field(
        ..., title="At the end", description="Diameter, or oval [mm]", examples=[50]
    )


OutsideField = Annotated[
    _Diameter | _Oval | Annotated[TaperSpec, Tag("<TaperSpec>")],
    Discriminator(
        _outside,
        custom_error_type="shape",
        custom_error_message="a diameter, an oval {height: 30, width: 17}, or both ends "
        "{start: 62, end: 50}",
    ),
]

_Thickness = Annotated[float, Field(gt=0, le=25, title="Thickness [mm]")]
_Butt = Annotated[float, Field(gt=0, le=1500)]


class ButtedSpec(Model):
    """A wall that is thicker toward an end.

    Two thicknesses (single butted): the first holds for `lengths[0]` from the start. Three (double,
    or triple butted where both ends differ): start butt `lengths[0]`, end butt `lengths[1]`.
    Lengths are measured from the cut ends of the tube, each at its long point; `transition` follows
    each butt.
    """

    butted: Annotated[tuple[_Thickness, ...], Strict(False)] = Field(
        ...,
        title="Wall thicknesses",
        description="From start to end, two or three [mm]",
        min_length=2,
        max_length=3,
        examples=[[0.9, 0.6, 0.9]],
    )
    lengths: Annotated[tuple[_Butt, ...], Strict(False)] = Field(
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

    def problems(self) -> Iterator[Problem]:
        """Yield a problem unless there is one length fewer than walls."""
        wanted, given = len(self.butted) - 1, len(self.lengths)
        if given != wanted:
            yield Problem(
                "inconsistent",
                "lengths",
                f"{len(self.butted)} walls need {wanted} butt length{'s' * (wanted > 1)}, "
                f"there {'are' if given > 1 else 'is'} {given}",
                "[start butt] with two walls, [start butt, end butt] with three",
            )


WallField = Annotated[
    Annotated[_Thickness, Tag("<number>")]
    | Annotated[ButtedSpec, Tag("<ButtedSpec>")]
    | Annotated[Literal["solid"], Tag("<solid>")],
    Discriminator(
        _wall,
        custom_error_type="shape",
        custom_error_message="a thickness, solid, or butts "
        "{butted: [0.9, 0.6, 0.9], lengths: [90, 120], transition: 50}",
    ),
]


def smallest(od: float | OvalSpec | TaperSpec) -> float:
    """Return the smallest outside dimension of a tube [mm]."""
    if isinstance(od, TaperSpec):
        return min(smallest(od.start), smallest(od.end))
    return min(od.height, od.width) if isinstance(od, OvalSpec) else od
