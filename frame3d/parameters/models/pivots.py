"""PivotSpec: the hardware at a point of the rear suspension: housing, lugs, axle bore."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from pydantic import Field

from frame3d.parameters.models.base import Model, Problem, number, unknown
from frame3d.parameters.models.names import LinkName

if TYPE_CHECKING:
    from frame3d.parameters.models.suspension import SuspensionSpec


class BearingSpec(Model):
    """A bearing pressed into a housing: its seat is bored straight, as wide and as deep."""

    od: float = number(
        "Outside diameter", "Of the bearing", above=0, high=120, example=26, default=...
    )
    width: float = number(
        "Width", "Of the bearing along the axle", above=0, high=60, example=8, default=...
    )


class PivotSpec(Model):
    """Hardware at a point: one body carries a housing, every other body on the point a pair of lugs.

    ::

        lug  housing  lug            housing  lug          lug  housing
        |#| |=======| |#|              |==| |#|              |#| |==|
             y = 0                       left and right, y > 0

    What is left out is common practice, without a source. At an end of the shock its eye stands in
    the housing's place.
    """

    housing: LinkName | None = Field(
        None,
        title="Housing",
        description="The body that carries the housing; left out, frame where it is on the point, "
        "else the first link that is",
        examples=["frame"],
    )
    y: float | None = number(
        "Lateral position",
        "Of two housings, left and right; 0 is one housing across the centre plane. Left out: one "
        "across on the front frame and where a single tube ends, else two where the tubes end",
        low=0,
        high=200,
        example=72,
    )
    width: float | None = number(
        "Width",
        "Of the housing along the axle; at the shock between its lugs. Left out: 60 or what the lugs "
        "at the tubes' ends leave, 12 for each of two",
        above=0,
        high=250,
        example=60,
    )
    od: float | None = number(
        "Outside diameter",
        "Of housing and lugs; left out: 30, 24 for two housings, 22 at the shock",
        above=0,
        high=120,
        example=30,
    )
    axle: float | None = number(
        "Axle",
        "Diameter of the axle's bore; left out: 12, 8 for two housings and at the shock",
        above=0,
        high=100,
        example=12,
    )
    plate: float | None = number(
        "Plate", "Thickness of the lugs; left out: 6", above=0, high=40, example=6
    )
    bearing: BearingSpec | None = Field(
        None,
        title="Bearing",
        description="In the housing: one at each face where it goes across the centre plane, one right "
        "through each of two. Left out, the housing is bored for the axle alone",
        examples=[{"od": 26, "width": 8}],
    )
    chip: LinkName | None = Field(
        None,
        title="Chip",
        description="The body in which an exchanged position of the point lies (a flip chip); every "
        "other body there keeps its hole. Left out, the body with lugs, not the one with the housing",
        examples=["rocker"],
    )


def chips(suspension: SuspensionSpec, point: str) -> tuple[str, ...]:
    """Return the bodies in which an exchanged position of a point may lie; one where that is settled.

    It is the body that the file names, else one with lugs: any but the housing's. At an end of the
    shock, and where a point is on one body alone, all bodies there count.
    """
    on = suspension.bodies_of(point)
    pivot = suspension.pivots.get(point)
    if pivot is not None and pivot.chip is not None:
        return (pivot.chip,)
    if len(on) < 2 or point in (suspension.shock.start, suspension.shock.end):
        return on
    housing = "frame" if "frame" in on else on[0]
    if pivot is not None and pivot.housing is not None:
        housing = pivot.housing
    return tuple(body for body in on if body != housing)


def pivot_problems(suspension: SuspensionSpec) -> Iterator[Problem]:
    """Yield pivots at which nothing turns, and housings on other bodies; keys below ``suspension``."""
    ends = (suspension.shock.start, suspension.shock.end)
    points = dict.fromkeys(point for on in suspension.links.values() for point in on)
    for name, pivot in suspension.pivots.items():
        key = f"pivots.{name}"
        on = suspension.bodies_of(name)
        if on and pivot.chip is not None:
            yield from _chip_problems(suspension, name, pivot.chip, on)
        if not on:
            yield unknown(key, "point", name, tuple(points))
        elif name in ends:
            for given in ("housing", "y", "bearing"):
                if getattr(pivot, given) is not None:
                    yield Problem(
                        "inconsistent",
                        f"{key}.{given}",
                        f"at {name} the shock's eye stands in the housing's place",
                        "leave it out; width says how far apart the lugs are",
                    )
        elif len(on) < 2:
            yield Problem(
                "inconsistent",
                key,
                f"{name} is on {on[0]} alone, so nothing turns there",
                f"list {name} under a second link, or leave this pivot out",
            )
        elif pivot.housing is not None and pivot.housing not in on:
            yield Problem(
                "inconsistent",
                f"{key}.housing",
                f"{name} is no point of {pivot.housing}",
                f"one of {', '.join(on)}",
            )


def _chip_problems(
    suspension: SuspensionSpec, name: str, chip: str, on: tuple[str, ...]
) -> Iterator[Problem]:
    """Yield a problem where no chip of that body can move a point."""
    key = f"pivots.{name}.chip"
    if name not in suspension.points:
        yield Problem(
            "inconsistent",
            key,
            f"{name} is no point of the file's own, so its position cannot be exchanged",
            "leave it out",
        )
    elif chip not in on:
        yield Problem(
            "inconsistent", key, f"{name} is no point of {chip}", f"one of {', '.join(on)}"
        )
