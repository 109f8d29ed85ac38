"""Weight on the wheels on slopes and under brakes, on a terminal."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from frame3d.cli.tables import chunks, number
from frame3d.ride.slopes.bands import Band
from frame3d.ride.slopes.of_bike import PostureOnSlopes, Slopes
from frame3d.ride.slopes.saddle import SaddleOnClimb

STEP: Final = 10
"""Gradients that are shown: multiples of this [%]."""
SADDLE: Final = (
    "Saddle, seated, gradient [%]",
    "seat angle to level [°]",
    "behind the pedals' axle [mm]",
)


def text(part: Slopes, width: int) -> str:
    """Return the topic's tables; nothing without a rider."""
    if not part.postures:
        return ""
    return "\n\n".join(("Slopes", *_tables(part, width)))


def _tables(part: Slopes, width: int) -> Iterator[str]:
    names = [one.name for one in part.postures]
    yield chunks(
        ["Weight on the front wheel [%], gradient [%]", *names], list(_shares(part)), width
    )
    yield chunks(["Gradient [%] at which the front wheel", *names], list(_limits(part)), width)
    yield chunks(["Hardest stop, front brake, rear lifts [g]", *names], list(_stops(part)), width)
    if part.sprung:
        yield chunks(_head(part), list(_standing(part)), width)
    if part.saddle:
        yield chunks(SADDLE, [_row(one) for one in part.saddle], width)
    yield (
        "Bands are where a figure likely lies, as riders and their postures differ; the difference of\n"
        "two bikes under the same rider is known far better: see frame3d compare."
    )


def _row(one: SaddleOnClimb) -> list[str]:
    return [
        number(one.gradient_percent, 0, sign=True),
        number(one.seat_degrees, 1),
        number(one.behind, 0),
    ]


def _head(part: Slopes) -> list[str]:
    first = part.postures[0]
    squat = "anti-squat" if part.cog is None else f"anti-squat {part.chainring}/{part.cog} [%]"
    return [
        f"Stands, {first.name}, gradient [%]",
        *(["rear travel [mm]"] if _moves_behind(part) else []),
        "fork [mm]",
        "nose up [°]",
        "wheelbase [mm]",
        *([squat] if part.cog is not None else []),
    ]


def _moves_behind(part: Slopes) -> bool:
    return any(at.rear_travel > 0 for at in part.postures[0].gradients)


def _shares(part: Slopes) -> Iterator[list[str]]:
    for at in zip(*(one.gradients for one in part.postures), strict=True):
        if at[0].gradient_percent % STEP == 0:
            yield [
                number(at[0].gradient_percent, 0, sign=True),
                *(_band(own.front_share_percent, 0) for own in at),
            ]


def _limits(part: Slopes) -> Iterator[list[str]]:
    rows: tuple[tuple[str, Callable[[PostureOnSlopes], Band]], ...] = (
        ("goes light (10 % of the weight)", lambda one: one.light_percent),
        ("lifts", lambda one: one.lifts_percent),
        ("goes light in hard pushes of the pedals", lambda one: one.light_pushing_percent),
        ("lifts in hard pushes", lambda one: one.lifts_pushing_percent),
    )
    for title, of in rows:
        yield [title, *(_band(of(one), 0) for one in part.postures)]


def _stops(part: Slopes) -> Iterator[list[str]]:
    for at in zip(*(one.stops for one in part.postures), strict=True):
        gradient = at[0].gradient_percent
        where = "level" if gradient == 0 else f"{number(gradient, 0)} %"
        if all(own.with_dive_g is None for own in at):
            yield [where, *(_band(own.without_dive_g, 2) for own in at)]
            continue
        yield [f"{where}, without dive", *(_band(own.without_dive_g, 2) for own in at)]
        yield [f"{where}, with dive", *(_band(own.with_dive_g, 2) for own in at)]


def _standing(part: Slopes) -> Iterator[list[str]]:
    for at in part.postures[0].gradients:
        if at.gradient_percent % STEP:
            continue
        yield [
            number(at.gradient_percent, 0, sign=True),
            *([number(at.rear_travel, 0)] if _moves_behind(part) else []),
            number(at.fork_travel, 0),
            number(at.pitch_degrees, 1, sign=True),
            number(at.wheelbase, 0),
            *([number(at.anti_squat_percent, 0)] if part.cog is not None else []),
        ]


def _band(band: Band | None, decimals: int) -> str:
    """Return a band as it may be read: "38 to 44"; one figure where both ends are the same."""
    if band is None:
        return number(None)
    low, high = number(band.low, decimals), number(band.high, decimals)
    return low if low == high else f"{low} to {high}"
