"""JunctionSpec: where a tube's end sits."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Literal

from pydantic import Field, Strict

from frame3d.parameters.models.base import NODE_NAMES, Model, Problem, number

Side = Literal["left", "right"]
TARGETS = (*NODE_NAMES, "rear_dropout")
"""Bodies and points on which a tube's end may sit, besides other tubes."""
PLACEMENTS = ("below_top", "above_bottom", "from_start", "from_end", "angle")
"""Keys that place an end along the tube that it sits on."""
SHIFTS = ("forward", "above", "stop_short")
"""Keys that shift an end from the axle or node that it sits on."""
Coordinate = Annotated[float, Field(ge=-3000, le=3000)]


class JunctionSpec(Model):
    """Where a tube's end sits: on another tube, a shell, an axle, a node, or at a free point.

    On a tube exactly one of `below_top`, `above_bottom`, `from_start`, `from_end` and `angle`
    places the end. A tube runs from its start to its end; for head and seat tube the start is the
    bottom and the end is the top.
    """

    on: str | None = Field(
        None,
        title="On",
        description="Name of a tube, or bottom_bracket, rear_dropout, rear_axle, front_axle or "
        "another node, or a point of the suspension",
        examples=["head_tube"],
    )
    at: Annotated[tuple[Coordinate, Coordinate, Coordinate], Strict(False)] | None = Field(
        None,
        title="At",
        description="A free point x, y, z from the bottom bracket centre [mm]",
        examples=[[-200, 0, 150]],
    )
    side: Side | None = Field(
        None,
        title="Side",
        description="Which one of a pair; left out, a pair's own side is meant",
    )
    below_top: float | None = number(
        "Below top", "Along the target's axis, below its top", low=-200, high=1500, example=40
    )
    above_bottom: float | None = number(
        "Above bottom", "Along the target's axis, above its bottom", low=-200, high=1500, example=32
    )
    from_start: float | None = number(
        "From start", "Along the target's axis, from its start", low=-200, high=1500, example=60
    )
    from_end: float | None = number(
        "From end", "Along the target's axis, from its end", low=-200, high=1500, example=60
    )
    angle: float | None = number(
        "Angle",
        "Between this tube, looking away from the junction, and the target's axis toward its top "
        "(or end)",
        low=5,
        high=175,
        example=78,
        unit="degrees",
    )
    y: float | None = number(
        "Lateral position",
        "Of this end from the centre plane, positive to the rider's left",
        low=-200,
        high=200,
        example=29,
    )
    forward: float = number(
        "Forward",
        "Of this end ahead of the axle or node",
        low=-400,
        high=400,
        example=25,
        default=0,
    )
    above: float = number(
        "Above", "Of this end above the axle or node", low=-400, high=400, example=10, default=0
    )
    stop_short: float = number(
        "Stop short",
        "How far before the axle or node the tube is cut square",
        low=0,
        high=300,
        example=28,
        default=0,
    )
    cut: Literal["mitre", "square"] | None = Field(
        None,
        title="Cut",
        description="mitre on a tube or shell, square elsewhere, unless said otherwise",
    )

    @property
    def placements(self) -> tuple[str, ...]:
        """The keys of `PLACEMENTS` that are given."""
        return tuple(key for key in PLACEMENTS if getattr(self, key) is not None)

    def problems(self) -> Iterator[Problem]:
        """Yield problems: not one target, several placements, keys that do not apply to the target."""
        placed = self.placements
        shifted = tuple(key for key in SHIFTS if getattr(self, key) != 0)
        yield from (
            Problem(
                "inconsistent",
                key,
                f"the end is already placed by {placed[0]}",
                f"keep one of {', '.join(placed)}",
            )
            for key in placed[1:]
        )
        if self.on is not None and self.at is not None:
            yield Problem(
                "inconsistent",
                "at",
                f"the end already sits on {self.on}",
                "keep either on (a tube or node) or at (a free point)",
            )
        elif self.at is not None:
            for key in ("side", "y", "cut"):
                if getattr(self, key) not in (None, "square"):
                    yield _useless(key, "at a free point", "at alone says where: x, y, z")
            for key in (*placed, *shifted):
                yield _useless(key, "at a free point", "at alone says where: x, y, z")
        elif self.on in TARGETS:
            yield from self._on_node(self.on, placed)
        elif self.on is not None:  # a tube or a pivot: checked by `tube_problems`
            pass
        elif placed != ("above_bottom",):  # which a split seat tube may say; see FrameSpec
            yield Problem(
                "missing-key",
                "on",
                "missing: the end says neither on nor at",
                "on: the tube or node that it sits on; or at: [x, y, z] of a free point",
            )

    def on_tube_problems(self) -> Iterator[Problem]:
        """Yield problems of keys missing or without effect where the end sits on a tube."""
        way = f"on a tube, use one of {', '.join(PLACEMENTS)}, and y"
        for key in SHIFTS:
            if getattr(self, key) != 0:
                yield _useless(key, f"on the tube {self.on}", way)
        if not self.placements:
            yield Problem(
                "missing-key",
                "",
                f"where along {self.on} it sits is missing",
                f"one of {', '.join(PLACEMENTS)}",
            )

    def on_pivot_problems(self) -> Iterator[Problem]:
        """Yield problems of keys without effect where the end sits on a point of the rear suspension."""
        way = "on a pivot, use forward, above, y and stop_short"
        for key in (*self.placements, *(("side",) if self.side is not None else ())):
            yield _useless(key, f"on {self.on}", way)

    def _on_node(self, node: str, placed: tuple[str, ...]) -> Iterator[Problem]:
        way = "on an axle or node, use forward, above, y and stop_short"
        yield from (_useless(key, f"on {node}", way) for key in placed)
        if self.side is not None and node != "rear_dropout":
            yield _useless("side", f"on {node}", "there is one only; y says how far to a side")
        if self.cut == "mitre" and node != "bottom_bracket":
            yield Problem(
                "inconsistent",
                "cut",
                f"{node} has no round to mitre to",
                "leave cut out, or write square",
            )


def _useless(key: str, where: str, way: str) -> Problem:
    return Problem("inconsistent", key, f"says nothing {where}", way)
