r"""Rear dropouts: ``build.dropout`` in the parameter file.

Plain ones are a boss about the axle with tapering arms. Hooded and sliding ones are cut from flat
plate; hoods close the stays' ends and take the plate's arms (side view, drive side, x to the right)::

                   ( hood ) seatstay                      ( hood )
                   /     \                                /      \
                  /       \                        .----'          \
                 (    o    )---( hood ) chainstay  > stop (==o====)  )---( hood )
                  \  axle /                        '-- slot ---------'
                   ( M10 )   hanger                     |<--->| length
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Literal

from pydantic import Field, Strict

from frame3d.parameters.models.base import Model, Problem, number
from frame3d.parameters.models.flat_parts.cut_outs import At, OwnOutlineSpec
from frame3d.parameters.models.flat_parts.on_dropouts import DropoutFeatureSpec
from frame3d.parameters.models.names import OneLine, PointName

FLAT_KINDS = ("hooded", "sliding")


class HoodSpec(Model):
    """What closes a stay's end and takes the plate's arm; common practice, no source."""

    wall: float = number("Wall", "Around the stay's end", above=0, high=6, example=1.5, default=1.5)
    depth: float = number(
        "Depth", "How far it reaches over the stay", above=0, high=60, example=12, default=8.0
    )
    back: float = number(
        "Back", "Solid part beyond the stay's end", above=0, high=40, example=5, default=5.0
    )


class SlideSpec(Model):
    """The axle's slot, level as drawn."""

    length: float = number(
        "Length", "How far the axle can be moved", above=0, high=60, example=16, default=...
    )
    at: float = number(
        "At", "How far back of the foremost place the axle stands", low=0, high=60, example=6,
        default=...,
    )  # fmt: skip
    stop: OneLine | None = Field(
        None,
        title="Stop",
        description="Thread of the bolt that keeps the axle from being drawn forward, along the slot",
        examples=["M5"],
    )
    stop_from: Literal["front", "rear"] = Field(
        "rear",
        title="Stop from",
        description="front: it is tapped into the plate's front edge and pushes the axle back; rear: it "
        "goes through the rear edge and draws the axle back",
    )

    def problems(self) -> Iterator[Problem]:
        """Yield an axle beyond the slot's end."""
        if self.at > self.length:
            yield Problem(
                "inconsistent",
                "at",
                f"the axle would stand {self.at - self.length:g} mm beyond the slot's end",
                f"0 to {self.length:g}",
            )


class HangerSpec(Model):
    """What the rear derailleur hangs on, on the right dropout."""

    kind: Literal["fixed", "bolted", "around_axle"] = Field(
        ...,
        title="Kind",
        description="fixed: a part of the plate; bolted: a plate of its own on two bolts; around_axle: "
        "a bought one that sits around the axle, by the open interface that the trade shares",
    )
    at: At = Field(
        (-8.0, -28.0),
        title="At",
        description="Its threaded hole for the derailleur, from the axle as drawn: x forward, y up "
        "[mm]; for fixed and bolted (value from memory of common hangers)",
        examples=[[-8, -28]],
    )
    bolts: Annotated[tuple[At, At], Strict(False)] | None = Field(
        None,
        title="Bolts",
        description="Where the two bolts of a bolted one are, from the axle as drawn: x forward, y up "
        "[mm]",
        examples=[[[-14, -16], [10, -18]]],
    )
    bolt: float = number(
        "Bolt", "Diameter of the bolts' holes", above=0, high=10, example=4.3, default=4.3
    )
    thickness: float = number(
        "Thickness", "Of a bolted one", low=2, high=15, example=6, default=6.0
    )
    bore: float | None = number(
        "Bore",
        "Of the right dropout where one sits around the axle, by the interface's own drawing",
        above=0,
        high=60,
        example=16,
    )
    seat: float | None = number(
        "Seat",
        "Diameter of its recess in the outer face, by that drawing; left out, there is none",
        above=0,
        high=100,
        example=28,
    )
    seat_depth: float = number(
        "Seat's depth", "From the outer face", above=0, high=15, example=1.5, default=1.5
    )

    def problems(self) -> Iterator[Problem]:
        """Yield what its kind needs and does not have."""
        if self.kind == "bolted" and self.bolts is None:
            yield Problem(
                "missing-key", "bolts", "missing: where its bolts are", "e.g. [[-14, -16], [10, -18]]"
            )  # fmt: skip
        if self.kind == "around_axle" and self.bore is None:
            yield Problem(
                "missing-key",
                "bore",
                "missing: the dropout's bore for the hanger",
                "the figure on the interface's own drawing: none is known here",
            )
        if self.bore is not None and self.seat is not None and self.seat <= self.bore:
            yield Problem(
                "inconsistent", "seat", "no larger than the bore", f"more than {self.bore:g}"
            )


class DropoutSpec(Model):
    """Rear dropouts: plates with the axle's bore or slot."""

    kind: Literal["plain", "hooded", "sliding"] = Field(
        "plain",
        title="Kind",
        description="plain: a boss with tapering arms; hooded: flat plate whose arms end in hoods over "
        "the stays; sliding: the same with a slot for the axle",
    )
    thickness: float = number(
        "Thickness", "Of the plate at the axle", low=2, high=25, example=7, default=7
    )
    boss: float = number(
        "Boss", "Diameter of the plate around the axle", low=12, high=80, example=30, default=30
    )
    tip: float | None = number(
        "Tip",
        "Width of a flat plate's arms at the stays; left out, 0.8 of the stay",
        above=0,
        high=60,
        example=13,
    )
    edge_radius: float | None = number(
        "Edge's radius",
        "Of a flat plate's hollow edge between the stays; left out, it is straight",
        above=0,
        high=2000,
        example=40,
    )
    hood: HoodSpec = Field(
        default_factory=HoodSpec, title="Hood", description="Over the stays' ends, of a flat plate"
    )
    slide: SlideSpec | None = Field(
        None, title="Slide", description="The axle's slot of a sliding one"
    )
    hanger: HangerSpec | None = Field(
        None,
        title="Hanger",
        description="For the derailleur, on a flat plate; left out, its sheet shows none",
    )
    outline: OwnOutlineSpec | None = Field(
        None,
        title="Outline",
        description="Of your own, instead of a flat plate's from boss, tip and edge_radius",
    )
    features: dict[PointName, DropoutFeatureSpec] = Field(
        default_factory=dict,
        title="Features",
        description="What stands on the dropouts or is drilled through them: the rear brake's mount, "
        "eyes for racks and mudguards",
        max_length=20,
    )

    def problems(self) -> Iterator[Problem]:
        """Yield keys that the kind has no use for, or needs."""
        mounts = [name for name, feature in self.features.items() if feature.is_mount]
        for name in mounts[1:]:
            yield Problem(
                "inconsistent",
                f"features.{name}",
                f"the rear brake has its mount already: {mounts[0]}",
                "keep one of the two",
            )
        if self.kind == "plain":
            given = [
                key
                for key in ("tip", "edge_radius", "slide", "hanger", "outline")
                if getattr(self, key) is not None
            ]
            for key in (*given, *(("hood",) if "hood" in self.model_fields_set else ())):
                yield Problem(
                    "inconsistent", key, "plain dropouts have none", "kind: hooded or sliding"
                )
            return
        if (self.slide is None) == (self.kind == "sliding"):
            missing = self.slide is None
            yield Problem(
                "missing-key" if missing else "inconsistent",
                "slide",
                "missing: the axle's slot" if missing else "only sliding dropouts have a slot",
                "e.g. {length: 16, at: 6}" if missing else "kind: sliding, or leave it out",
            )
        if self.outline is not None:
            for key in ("tip", "edge_radius"):
                if getattr(self, key) is not None:
                    yield Problem(
                        "inconsistent", key, "the outline is given whole", "leave one of both out"
                    )
            for i, pocket in enumerate(self.outline.pockets):
                if pocket.depth >= self.thickness:
                    yield Problem(
                        "inconsistent",
                        f"outline.pockets.{i}.depth",
                        f"goes through the plate of {self.thickness:g} mm",
                        "less than the thickness, or a hole",
                    )
        hanger = self.hanger
        if hanger is not None and hanger.seat is not None and hanger.seat_depth >= self.thickness:
            yield Problem(
                "inconsistent",
                "hanger.seat_depth",
                f"goes through the plate of {self.thickness:g} mm",
                f"less than {self.thickness:g}",
            )
