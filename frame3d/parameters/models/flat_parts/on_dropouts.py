r"""What stands on a rear dropout or is drilled through it: ``features:`` under ``build.dropout``.

A brake mount has a block for each bolt. It stands on the plate's edge and laps over the inner face; the
plate's outline reaches there by itself, or is the user's own. Seen along the bike, and from the side::

          bolt                                  bolt  caliper  bolt
        .--|--.   face                          .|.            .|.   faces
        |  |  |                                 | |            | |
        |     '---.                           __|_|____________|_|__  the plate's edge
        '-.  |    |  block                    \                    /
       lap  |_|   |                             \      o axle    /
              |   | plate                         `----------'
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from pydantic import Field

from frame3d.parameters.models.base import Model, Problem, number
from frame3d.parameters.models.flat_parts.cut_outs import At
from frame3d.parameters.models.junctions import Side
from frame3d.parameters.models.tube_features.kinds import (
    CLEAR,
    FLAT_APART,
    OUTWARD,
    POST_APART,
    SCREWS,
    Screw,
    Thread,
    usual_outside,
    usual_thread,
)

FLOOR = 2.0
"""Metal under the end of a blind thread [mm]; common practice, no source."""
GRIP = 15.0
"""Usual length that the bolts of a flat mount go through [mm]; common practice, no source."""
KEYS: dict[str, tuple[str, ...]] = {
    "post_mount": ("lean", "outward", "thread", "diameter", "depth", "length"),
    "flat_mount": ("lean", "outward", "thread", "diameter", "length", "head"),
    "eye": ("at", "side", "thread", "diameter"),
}
"""Kind -> keys besides `kind`."""


class DropoutFeatureSpec(Model):
    """A brake mount or an eye of a rear dropout: its kind, where it stands, its sizes."""

    kind: Literal["post_mount", "flat_mount", "eye"] = Field(
        ...,
        title="Kind",
        description="post_mount (two threaded blocks for the rear brake's bolts, on the left dropout; "
        "their place follows from rotor, axle and build.rear_brake.angle), flat_mount (two blocks that "
        "the bolts go through from below, likewise), eye (threaded hole for a rack or mudguard, along "
        "the axle)",
        examples=["post_mount"],
    )
    at: At | None = Field(
        None,
        title="At",
        description="An eye's hole, from the axle as drawn: x forward, y up [mm]",
        examples=[[-22, 14]],
    )
    side: Side | None = Field(
        None, title="Side", description="Which dropout has an eye; left out, both"
    )
    thread: Thread | None = Field(
        None,
        title="Thread",
        description="Of an eye, or the bolts of a brake mount; left out, M5, of a post mount M6",
        examples=["M6"],
    )
    diameter: float | None = number(
        "Diameter",
        "Of the round around an eye, which the plate reaches out to; of a brake mount's face, which is "
        "square, across",
        above=0,
        high=60,
        example=14,
    )
    depth: float | None = number(
        "Depth", "How deep a post mount's thread is; left out, 12", above=0, high=60, example=12
    )
    length: float | None = number(
        "Length",
        "Of a brake mount's block from its face down to the plate's edge; left out, 2 more than its "
        "thread's depth, or 15 for a flat mount",
        above=2,
        high=80,
        example=16,
    )
    lean: float | None = number(
        "Lean",
        "Of a brake mount's bolts, from the rotor's radius through the caliper's middle, positive the "
        "way that build.rear_brake.angle grows; left out, 0",
        low=-60,
        high=60,
        example=10,
        unit="degrees",
    )
    outward: float | None = number(
        "Outward",
        "Of a brake mount's bolts beside the rotor's middle, toward the dropout; the caliper's drawing "
        "says it. Left out, 12.5 for a post mount (from memory and uncertain)",
        low=0,
        high=60,
        example=12.5,
    )
    head: float | None = number(
        "Head",
        "How far the bolts' heads stand out below a flat mount; left out, a socket head",
        low=0,
        high=60,
        example=5,
    )

    def problems(self) -> Iterator[Problem]:
        """Yield keys that the kind does not take or needs, and sizes that do not fit."""
        taken = KEYS[self.kind]
        for key in type(self).model_fields:
            if key not in ("kind", *taken) and getattr(self, key) is not None:
                hint = f"it takes {', '.join(taken)}"
                said = f"a {self.kind} has none"
                if key == "side":
                    said, hint = "the rear brake is on the left", "leave it out"
                yield Problem("inconsistent", key, said, hint)
        if self.kind == "eye":
            if self.at is None:
                yield Problem(
                    "missing-key",
                    "at",
                    "missing: where its hole is",
                    "from the axle, e.g. [-22, 14]",
                )
            if self.outside < self.screw.major + 2.0:
                yield Problem(
                    "inconsistent",
                    "diameter",
                    f"leaves no metal around {self.threaded}",
                    f"at least {self.screw.major + 2:g} mm",
                )
            return
        if self.kind == "flat_mount" and self.outward is None:
            yield Problem(
                "missing-key",
                "outward",
                "missing: how far beside the rotor its bolts are",
                "the figure on the caliper's drawing: none is known here",
            )
        if self.outside < self.hole + 3.0:
            yield Problem(
                "inconsistent",
                "diameter",
                f"leaves no metal around {self.threaded}",
                f"at least {self.hole + 3:g} mm",
            )
        if self.kind == "post_mount" and self.long < self.deep + FLOOR:
            yield Problem(
                "inconsistent",
                "length",
                f"its thread, {self.deep:g} mm deep, goes down to the plate's edge",
                f"at least {self.deep + FLOOR:g} mm",
            )

    @property
    def is_mount(self) -> bool:
        """Whether it holds the rear brake's caliper."""
        return self.kind != "eye"

    @property
    def threaded(self) -> Thread:
        """Its thread."""
        return usual_thread(self.kind) if self.thread is None else self.thread

    @property
    def screw(self) -> Screw:
        """Sizes that go with its thread."""
        return SCREWS[self.threaded]

    @property
    def apart(self) -> float:
        """Distance between a mount's bolts [mm]."""
        return POST_APART if self.kind == "post_mount" else FLAT_APART

    @property
    def outside(self) -> float:
        """Diameter of the round around an eye; width of a mount's face [mm]."""
        if self.diameter is not None:
            return self.diameter
        return usual_outside(self.kind, self.screw)

    @property
    def hole(self) -> float:
        """Diameter of a mount's holes: of the thread, or clear of the bolt [mm]."""
        return self.screw.major + (0.0 if self.kind == "post_mount" else CLEAR)

    @property
    def deep(self) -> float:
        """How deep a post mount's thread is [mm]."""
        return 12.0 if self.depth is None else self.depth

    @property
    def long(self) -> float:
        """Length of a mount's block from its face to the plate's edge [mm]."""
        if self.length is not None:
            return self.length
        return self.deep + FLOOR if self.kind == "post_mount" else GRIP

    @property
    def leaning(self) -> float:
        """Angle of a mount's bolts from the rotor's radius [degrees]."""
        return 0.0 if self.lean is None else self.lean

    @property
    def beside(self) -> float:
        """How far a mount's bolts are beside the rotor's middle [mm]."""
        return OUTWARD if self.outward is None else self.outward

    @property
    def bolt(self) -> float:
        """How far a flat mount's bolt heads stand out below [mm]."""
        return self.screw.high if self.head is None else self.head
