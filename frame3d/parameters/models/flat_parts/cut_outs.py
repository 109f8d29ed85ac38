"""Own outlines, and what is cut out of a flat part: holes, slots and pockets."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Literal

from pydantic import Field, Strict

from frame3d.parameters.models.base import Model, Problem, number
from frame3d.parameters.models.names import OneLine

_Coordinate = Annotated[float, Field(ge=-1000, le=1000)]
At = Annotated[tuple[_Coordinate, _Coordinate], Strict(False)]
_Vertex = Annotated[tuple[_Coordinate, ...], Strict(False), Field(min_length=2, max_length=3)]
Vertices = Annotated[tuple[_Vertex, ...], Strict(False), Field(min_length=2, max_length=200)]
"""Vertices of a closed path: x and y, and the bulge of what leads to the next where that is an arc."""
Corners = Annotated[tuple[_Vertex, ...], Strict(False), Field(min_length=3, max_length=200)]
"""Corners of a polygon: x and y, and the radius of the corner where it is rounded."""


class HoleSpec(Model):
    """A round hole through the part."""

    at: At = Field(..., title="At", description="Its centre: x, y [mm]", examples=[[20, 0]])
    diameter: float = number(
        "Diameter",
        "Of the hole; of a threaded one that of the drill",
        above=0,
        high=200,
        example=8,
        default=...,
    )
    fit: OneLine | None = Field(
        None, title="Fit", description="Tolerance by ISO 286, as sheets show it", examples=["H7"]
    )
    thread: OneLine | None = Field(
        None, title="Thread", description="That is cut into it, as sheets show it", examples=["M6"]
    )
    note: OneLine | None = Field(
        None, title="Note", description="What goes into it", examples=["bolt of the guide"]
    )


class SlotSpec(Model):
    """A slot with round ends through the part."""

    at: At = Field(..., title="At", description="Its middle: x, y [mm]", examples=[[20, 0]])
    length: float = number("Length", "Over all", above=0, high=500, example=25, default=...)
    width: float = number("Width", "Across", above=0, high=200, example=6, default=...)
    angle: float = number(
        "Angle",
        "Of its length from x, anticlockwise",
        low=-360,
        high=360,
        example=30,
        unit="degrees",
        default=0.0,
    )
    note: OneLine | None = Field(None, title="Note", description="What it is for")

    def problems(self) -> Iterator[Problem]:
        """Yield a problem where it is wider than long."""
        if self.length < self.width:
            yield Problem(
                "inconsistent",
                "length",
                f"less than the slot's width of {self.width:g} mm",
                "the length is over all: at least the width",
            )


class PocketSpec(Model):
    """A recess of one depth in a face: round, or with a path of its own."""

    at: At | None = Field(None, title="At", description="Centre of a round one: x, y [mm]")
    diameter: float | None = number("Diameter", "Of a round one", above=0, high=300, example=20)
    path: Vertices | None = Field(
        None,
        title="Path",
        description="Rim of any other: vertices [x, y], or [x, y, bulge] where an arc leads to the "
        "next [mm]",
    )
    depth: float = number("Depth", "From the face", above=0, high=40, example=2, default=...)
    face: Literal["front", "back"] = Field(
        "front",
        title="Face",
        description="front is the face that is seen with x to the right and y up: on a plate in the "
        "side view the one nearer to the drive side",
    )
    note: OneLine | None = Field(None, title="Note", description="What it is for")

    def problems(self) -> Iterator[Problem]:
        """Yield a problem where it has no rim, or two."""
        is_round = self.at is not None and self.diameter is not None
        if (self.path is None) != is_round or (self.path is not None and self.at is not None):
            yield Problem(
                "inconsistent",
                "",
                "its rim is not clear",
                "at and diameter for a round pocket, or path",
            )


class OwnOutlineSpec(Model):
    """An outline of the user's own, beside the holes that the part has anyway.

    On a dropout from the axle as drawn, x forward and y up; on a link from its first point, x toward its
    last one.
    """

    path: Vertices | None = Field(
        None,
        title="Path",
        description="Its edge: vertices [x, y], or [x, y, bulge] where an arc leads to the next [mm]",
        examples=[[[-20, -20], [40, -10], [5, 45, 0.4]]],
    )
    corners: Corners | None = Field(
        None,
        title="Corners",
        description="Its edge instead as corners [x, y], or [x, y, radius] of a rounded one [mm]",
        examples=[[[-20, -20, 8], [40, -10, 6], [5, 45, 6]]],
    )
    holes: Annotated[tuple[HoleSpec, ...], Strict(False)] = Field(
        (), title="Holes", description="Round holes beside those for axles", max_length=100
    )
    slots: Annotated[tuple[SlotSpec, ...], Strict(False)] = Field(
        (), title="Slots", description="Slots through it", max_length=100
    )
    pockets: Annotated[tuple[PocketSpec, ...], Strict(False)] = Field(
        (),
        title="Pockets",
        description="Recesses in a face of the left one; the right one is its mirror image",
        max_length=100,
    )

    def problems(self) -> Iterator[Problem]:
        """Yield an edge that is missing or double."""
        if (self.path is None) == (self.corners is None):
            yield Problem(
                "missing-key" if self.path is None else "inconsistent",
                "path",
                "missing: the part's edge" if self.path is None else "the edge is given twice",
                "one of path, corners",
            )
        if self.path is not None and len(self.path) == 2 and all(len(v) == 2 for v in self.path):
            yield Problem(
                "inconsistent", "path", "two vertices and no arc enclose nothing", "a third vertex"
            )
        for i, corner in enumerate(() if self.corners is None else self.corners):
            if len(corner) == 3 and corner[2] < 0:
                yield Problem(
                    "out-of-range", f"corners.{i}.2", "a radius below 0", "0 for a sharp corner"
                )
