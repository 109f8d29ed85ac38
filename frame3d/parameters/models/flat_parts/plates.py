r"""Flat parts of a frame: ``plates`` in the parameter file.

Gusset between two tubes, and a tab on one, as outlines::

      |    | tube                        .-.  radius
      |    |\ tip                       ( o )  hole
      |    | `.   edge: straight,      /     \
      |    |   `.  or an arc          /       \ height
      |    |.     `._ tip         ---+---------+------ tube's surface
      |    | `corner |                   base
      |    +---------+----- tube
            lengths
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Literal

from pydantic import BaseModel, Discriminator, Field, Strict, Tag

from frame3d.parameters.models.base import (
    NODE_NAMES,
    Colour,
    MaterialName,
    Model,
    Problem,
    number,
    unknown,
)
from frame3d.parameters.models.flat_parts.cut_outs import (
    Corners,
    HoleSpec,
    OwnOutlineSpec,
    PocketSpec,
    SlotSpec,
    Vertices,
)
from frame3d.parameters.models.names import LinkName
from frame3d.parameters.models.tube_features.kinds import SCREWS
from frame3d.parameters.models.tubes import TubeSpec

SHELL = "bottom_bracket"
_Coordinate = Annotated[float, Field(ge=-3000, le=3000)]
_Angle = Annotated[float, Field(ge=-360, le=360)]
_Length = Annotated[float, Field(gt=0, le=500)]


def _origin(value: object) -> str | None:
    """Return the tag of an origin's kind."""
    if isinstance(value, list | tuple):
        return "<list>"
    return "<text>" if isinstance(value, str) else None


_Origin = Annotated[
    Annotated[tuple[_Coordinate, _Coordinate], Strict(False), Tag("<list>")]
    | Annotated[str, Tag("<text>")],
    Discriminator(
        _origin,
        custom_error_type="shape",
        custom_error_message="a node or point, e.g. bottom_bracket, or [x, z]",
    ),
]


class FlatPartSpec(Model):
    """What all flat parts have."""

    thickness: float = number("Thickness", "Of the plate", low=0.5, high=40, example=4, default=...)
    material: MaterialName | None = Field(
        None, title="Material", description="Left out, the frame's", examples=["4130"]
    )
    colour: Colour | None = Field(
        None, title="Colour", description="In pictures and models, #rrggbb; left out, the frame's"
    )


class GussetSpec(FlatPartSpec):
    """A plate in the corner between two tubes whose axes lie in one plane."""

    kind: Literal["gusset"] = Field(..., title="Kind", description="gusset")
    on: Annotated[tuple[str, str], Strict(False)] = Field(
        ..., title="On", description="The two tubes", examples=[["down_tube", "head_tube"]]
    )
    toward: Annotated[
        tuple[Literal["start", "end"], Literal["start", "end"]] | None, Strict(False)
    ] = Field(
        None,
        title="Toward",
        description="Which way it runs along each tube from their corner; left out, toward the end that "
        "is further away",
        examples=[["end", "start"]],
    )
    lengths: Annotated[tuple[_Length, _Length], Strict(False)] = Field(
        ...,
        title="Lengths",
        description="Along each tube's surface, from the corner [mm]",
        examples=[[70, 45]],
    )
    tip: float = number(
        "Tip", "Width of its ends, square to the tube", low=0, high=60, example=4, default=4.0
    )
    edge_radius: float | None = number(
        "Edge's radius",
        "Of a hollow free edge; left out, it is straight",
        above=0,
        high=2000,
        example=90,
    )
    corner: float = number(
        "Corner",
        "Cut off at the tubes' corner, along each, for the weld there",
        low=0,
        high=100,
        example=8,
        default=0.0,
    )
    hole: float | None = number(
        "Hole", "Diameter of a hole for lightness, at its centre", above=0, high=200, example=16
    )

    def problems(self) -> Iterator[Problem]:
        """Yield a corner that leaves nothing of a side, and one tube named twice."""
        if self.on[0] == self.on[1]:
            yield Problem("inconsistent", "on", "names one tube twice", "two tubes that meet")
        if self.corner >= min(self.lengths):
            yield Problem(
                "inconsistent",
                "corner",
                "as long as a side",
                f"less than {min(self.lengths):g}",
            )


class TabSpec(FlatPartSpec):
    """A plate that stands on a tube and has a hole, or a pair of them with a gap between."""

    kind: Literal["tab"] = Field(..., title="Kind", description="tab")
    on: str = Field(
        ..., title="On", description="A tube, or bottom_bracket", examples=["down_tube"]
    )
    from_start: float | None = number(
        "From the start",
        "Along the tube's axis; on the bottom bracket from its right face",
        low=-200,
        high=1500,
        example=260,
    )
    from_end: float | None = number(
        "From the end", "Along the tube's axis, from its end", low=-200, high=1500, example=80
    )
    angle: float = number(
        "Angle",
        "Where around the tube: 0 above it (ahead of an upright tube), 90 on its left, 180 below; on "
        "the bottom bracket 0 is above and 90 ahead",
        low=-360,
        high=360,
        example=180,
        unit="degrees",
        default=0.0,
    )
    across: bool = Field(
        False, title="Across", description="Whether the plate is square to the tube, not along it"
    )
    base: float = number(
        "Base", "How long it stands on the tube", above=0, high=300, example=44, default=...
    )
    height: float = number(
        "Height",
        "From the tube's surface to the hole's centre",
        above=0,
        high=200,
        example=24,
        default=...,
    )
    lean: float = number(
        "Lean",
        "Of the hole along the base, toward the tube's end (of a tab across, toward the left; on the "
        "bottom bracket ahead of it)",
        low=-150,
        high=150,
        example=6,
        default=0.0,
    )
    radius: float = number(
        "Radius", "Of its round end, about the hole", above=0, high=80, example=12, default=...
    )
    hole: float = number("Hole", "Diameter", above=0, high=120, example=8, default=...)
    thread: str | None = Field(
        None, title="Thread", description="In the hole, as sheets show it", examples=["M6"]
    )
    note: str | None = Field(
        None, title="Note", description="What the hole is for", examples=["shock bolt"]
    )
    gap: float | None = number(
        "Gap",
        "Between a left and a right tab of one shape, on a tube in the centre plane; left out, there "
        "is one",
        above=0,
        high=120,
        example=22.2,
    )

    def problems(self) -> Iterator[Problem]:
        """Yield a place that is missing or double, and a hole that leaves no metal."""
        if (self.from_start is None) == (self.from_end is None):
            yield Problem(
                "missing-key" if self.from_start is None else "inconsistent",
                "from_start",
                f"missing: where along {self.on}"
                if self.from_start is None
                else "the place is given twice",
                "one of from_start, from_end",
            )
        if self.hole >= 2 * self.radius:
            yield Problem(
                "inconsistent",
                "hole",
                f"breaks the edge: the round end about it is {2 * self.radius:g} mm wide",
                f"less than {2 * self.radius:g}, or a larger radius",
            )
        if self.gap is not None and self.across:
            yield Problem(
                "inconsistent",
                "gap",
                "tabs across a tube are no left and right pair",
                "two tabs of their own",
            )


class ChainguideSpec(FlatPartSpec):
    """The three tabs of a chainguide as one plate that opens to the rear, welded to the shell's right.

    A circle of 56 mm and M6 are values from memory of the open interface that guides share; the angles
    between its holes are not known here, so equal ones are taken: the guide's own drawing decides.
    """

    kind: Literal["chainguide"] = Field(..., title="Kind", description="chainguide")
    circle: float = number(
        "Circle",
        "Diameter of the circle that the holes lie on, about the shell's centre (value from memory)",
        low=30,
        high=200,
        example=56,
        default=56.0,
    )
    angles: Annotated[
        tuple[_Angle, _Angle, _Angle],
        Strict(False),
    ] = Field(
        (-130.0, -10.0, 110.0),
        title="Angles",
        description="Of the three holes, from straight ahead upward, each more than the one before; it "
        "is open from the last on to the first. The guide's drawing says them; equal ones are an "
        "assumption [degrees]",
        examples=[[-130, -10, 110]],
    )
    inset: float = number(
        "Inset",
        "Of the face that the guide is bolted onto, in from the shell's right face (from memory and "
        "uncertain)",
        low=-20,
        high=60,
        example=2.5,
        default=2.5,
    )
    radius: float = number(
        "Radius", "Of the round about each hole (common practice, no source)", low=4, high=30,
        example=8, default=8.0,
    )  # fmt: skip
    ring: float | None = number(
        "Ring",
        "Radius of the edge between the rounds, about the shell's centre; left out, 2 more than the "
        "circle's",
        above=0,
        high=150,
        example=30,
    )
    thread: Literal["M5", "M6", "M8"] = Field(
        "M6",
        title="Thread",
        description="In the holes, tapped (value from memory)",
        examples=["M6"],
    )

    @property
    def outer(self) -> float:
        """Radius of the edge between the rounds [mm]."""
        return self.circle / 2 + 2.0 if self.ring is None else self.ring

    def problems(self) -> Iterator[Problem]:
        """Yield holes that are out of order, or leave no metal."""
        first, second, third = self.angles
        if not first < second < third < first + 360.0:
            yield Problem(
                "inconsistent",
                "angles",
                "not each more than the one before, within one turn",
                "e.g. [-130, -10, 110]",
            )
        if self.radius < SCREWS[self.thread].major / 2 + 1.0:
            yield Problem(
                "inconsistent",
                "radius",
                f"leaves no metal around {self.thread}",
                f"at least {SCREWS[self.thread].major / 2 + 1:g}",
            )


class PivotTabSpec(FlatPartSpec):
    """A left and right tab from a tube to a point of the rear suspension, instead of plain lugs there.

    Hole, spacing and round end are those of the point's lugs (``suspension.pivots``).
    """

    kind: Literal["pivot_tab"] = Field(..., title="Kind", description="pivot_tab")
    at: str = Field(
        ...,
        title="At",
        description="Point of the suspension, e.g. an end of the shock",
        examples=["shock_front"],
    )
    on: str = Field(
        ...,
        title="On",
        description="A tube in the centre plane, of a body on the point",
        examples=["down_tube"],
    )
    base: float = number(
        "Base", "How long it stands on the tube", above=0, high=300, example=60, default=...
    )
    shift: float = number(
        "Shift",
        "Of the base along the tube, toward its end, from where the point is nearest",
        low=-150,
        high=150,
        example=10,
        default=0.0,
    )
    radius: float | None = number(
        "Radius",
        "Of its round end, about the hole; left out, half the outside diameter of the point's lugs",
        above=0,
        high=80,
        example=14,
    )


class LinkPlateSpec(FlatPartSpec, OwnOutlineSpec):
    """The outline of a link's left and right plates, instead of the hull of the rounds at its points."""

    kind: Literal["link_plate"] = Field(..., title="Kind", description="link_plate")
    link: LinkName = Field(
        ..., title="Link", description="A link without tubes", examples=["rocker"]
    )

    def problems(self) -> Iterator[Problem]:
        """Yield an edge that is missing or double, and pockets through the plate."""
        yield from super().problems()
        yield from _deep_pockets(self.pockets, self.thickness)


class PathSpec(FlatPartSpec):
    """A plate with an outline of the user's own, in the side view at a lateral place."""

    kind: Literal["path"] = Field(..., title="Kind", description="path")
    at: _Origin = Field(
        "bottom_bracket",
        title="At",
        description="Origin of its x and y in the side view: a node, a point of the suspension, or x "
        "and z from the bottom bracket [mm]",
        examples=["bottom_bracket"],
    )
    turn: float = number(
        "Turn",
        "Of its x from forward, nose up",
        low=-360,
        high=360,
        example=30,
        unit="degrees",
        default=0.0,
    )
    y: float = number(
        "Lateral position",
        "Of the plate's middle; positive is left",
        low=-300,
        high=300,
        example=40,
        default=0.0,
    )
    pair: bool = Field(
        False, title="Pair", description="Left as written and right as its mirror image"
    )
    link: LinkName | None = Field(
        None,
        title="Link",
        description="Link of the rear suspension that it moves with; left out, the front frame",
    )
    path: Vertices | None = Field(
        None,
        title="Path",
        description="Its edge: vertices [x, y], or [x, y, bulge] where an arc leads to the next; the "
        "bulge is the tangent of a quarter of the arc's angle, positive anticlockwise [mm]",
        examples=[[[0, 0], [60, 0, 0.4], [60, 40], [0, 40]]],
    )
    corners: Corners | None = Field(
        None,
        title="Corners",
        description="Its edge instead as corners [x, y], or [x, y, radius] of a rounded one [mm]",
        examples=[[[0, 0], [60, 0, 8], [0, 40, 8]]],
    )
    holes: Annotated[tuple[HoleSpec, ...], Strict(False)] = Field(
        (), title="Holes", description="Round holes through it", max_length=100
    )
    slots: Annotated[tuple[SlotSpec, ...], Strict(False)] = Field(
        (), title="Slots", description="Slots with round ends through it", max_length=100
    )
    pockets: Annotated[tuple[PocketSpec, ...], Strict(False)] = Field(
        (), title="Pockets", description="Recesses in a face", max_length=100
    )

    def problems(self) -> Iterator[Problem]:
        """Yield an outline that is missing or double, and pockets through the plate."""
        for i, corner in enumerate(() if self.corners is None else self.corners):
            if len(corner) == 3 and corner[2] < 0:
                yield Problem(
                    "out-of-range", f"corners.{i}.2", "a radius below 0", "0 for a sharp corner"
                )
        if (self.path is None) == (self.corners is None):
            yield Problem(
                "missing-key" if self.path is None else "inconsistent",
                "path",
                "missing: the plate's edge" if self.path is None else "the edge is given twice",
                "one of path, corners",
            )
        if self.path is not None and len(self.path) == 2 and all(len(v) == 2 for v in self.path):
            yield Problem(
                "inconsistent", "path", "two vertices and no arc enclose nothing", "a third vertex"
            )
        yield from _deep_pockets(self.pockets, self.thickness)
        if self.pair and abs(self.y) < self.thickness / 2:
            yield Problem(
                "inconsistent",
                "y",
                "left and right would lie in one another",
                f"at least {self.thickness / 2:g}, or leave pair out",
            )


def _deep_pockets(pockets: tuple[PocketSpec, ...], thickness: float) -> Iterator[Problem]:
    for i, pocket in enumerate(pockets):
        if pocket.depth >= thickness:
            yield Problem(
                "inconsistent",
                f"pockets.{i}.depth",
                f"goes through the plate of {thickness:g} mm",
                "less than the thickness, or a hole",
            )


def _kind(value: object) -> str | None:
    """Return the tag of the branch that a plate's `kind` names."""
    given: object = None
    if isinstance(value, Mapping):
        given = value.get("kind")
    elif isinstance(value, BaseModel):
        given = getattr(value, "kind", None)
    return f"<{given}>" if given in KINDS else None


KINDS = ("gusset", "tab", "chainguide", "pivot_tab", "link_plate", "path")

PlateSpec = GussetSpec | TabSpec | ChainguideSpec | PivotTabSpec | LinkPlateSpec | PathSpec
PlateField = Annotated[
    Annotated[GussetSpec, Tag("<gusset>")]
    | Annotated[TabSpec, Tag("<tab>")]
    | Annotated[ChainguideSpec, Tag("<chainguide>")]
    | Annotated[PivotTabSpec, Tag("<pivot_tab>")]
    | Annotated[LinkPlateSpec, Tag("<link_plate>")]
    | Annotated[PathSpec, Tag("<path>")],
    Discriminator(
        _kind,
        custom_error_type="shape",
        custom_error_message="a plate with its kind, one of "
        + ", ".join(KINDS)
        + ", e.g. {kind: gusset, ...}",
    ),
]


def _pivot_tab_problems(
    key: str, plate: PivotTabSpec, tubes: Mapping[str, TubeSpec], places: tuple[str, ...]
) -> Iterator[Problem]:
    """Yield names of a pivot's tab that mean nothing, and tubes beside the centre plane."""
    points = tuple(place for place in places if place not in NODE_NAMES)
    if plate.on not in tubes:
        yield unknown(f"{key}.on", "tube", plate.on, tuple(tubes))
    elif tubes[plate.on].pair:
        yield Problem(
            "inconsistent",
            f"{key}.on",
            f"{plate.on} is a pair beside the centre plane",
            "a tube in the centre plane",
        )
    if plate.at not in points:
        yield unknown(f"{key}.at", "point of the suspension", plate.at, points)


def _tab_problems(key: str, plate: TabSpec, tubes: Mapping[str, TubeSpec]) -> Iterator[Problem]:
    """Yield what a tab cannot stand on."""
    on = plate.on
    if on != SHELL and on not in tubes:
        yield unknown(f"{key}.on", "tube", on, (*tubes, SHELL))
    elif plate.gap is not None and on in tubes and tubes[on].pair:
        yield Problem(
            "inconsistent",
            f"{key}.gap",
            f"{on} is a pair beside the centre plane",
            "leave gap out: there is a tab on either tube",
        )


def plate_problems(
    plates: Mapping[str, PlateSpec],
    tubes: Mapping[str, TubeSpec],
    links: tuple[str, ...],
    places: tuple[str, ...],
) -> Iterator[Problem]:
    """Yield names that mean nothing, or two things; keys below ``plates``.

    Args:
        plates: by name.
        tubes: by name.
        links: links of the rear suspension.
        places: nodes and points that an outline may be given from.
    """
    for key, plate in plates.items():
        if key in tubes:
            yield Problem(
                "bad-name", key, f"there is a tube {key} too", "another name for one of them"
            )
        yield from _names(key, plate, tubes, links, places)


def _names(
    key: str,
    plate: PlateSpec,
    tubes: Mapping[str, TubeSpec],
    links: tuple[str, ...],
    places: tuple[str, ...],
) -> Iterator[Problem]:
    """Yield names of one plate that mean nothing, or do not go with it."""
    match plate:
        case GussetSpec(on=on):
            for i, name in enumerate(on):
                if name not in tubes:
                    yield unknown(f"{key}.on.{i}", "tube", name, tuple(tubes))
        case TabSpec():
            yield from _tab_problems(key, plate, tubes)
        case ChainguideSpec():
            pass  # it stands on the shell
        case PivotTabSpec():
            yield from _pivot_tab_problems(key, plate, tubes, places)
        case LinkPlateSpec(link=link):
            if link not in links:
                yield unknown(f"{key}.link", "link", link, links)
        case PathSpec(at=at, link=link):
            if isinstance(at, str) and at not in places:
                yield unknown(f"{key}.at", "point", at, places)
            if link is not None and link not in links:
                yield unknown(f"{key}.link", "link", link, links)
