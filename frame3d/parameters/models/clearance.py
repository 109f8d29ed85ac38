"""Own limits and own checks: ``clearance:`` in the parameter file."""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches
from typing import Annotated

from pydantic import Field, Strict

from frame3d.parameters.models.base import Model, Problem, number
from frame3d.parameters.requirements import REQUIREMENTS


class ExtraCheckSpec(Model):
    """A check between any two named bodies."""

    between: Annotated[tuple[str, str], Strict(False)] = Field(
        ...,
        title="Between",
        description="Two bodies or tubes by name, as `frame3d check --near` lists them",
        examples=[["bottle_1", "seat_tube"]],
    )
    gap: float = number("Gap", "Smallest that passes", low=0, high=500, example=5, default=...)


def _limit(name: str) -> float | None:
    """Return a field for the limit of one check; None keeps the default."""
    r = REQUIREMENTS[name]
    field: float | None = number(
        r.title,
        f"{r.title}. Default {r.limit:g}: {r.source}",
        low=0,
        high=r.high,
        example=r.limit,
        unit=r.unit,
    )
    return field


class ClearanceSpec(Model):
    """Own limits override the defaults; checks may be left out and added."""

    rear_tyre_to_frame: float | None = _limit("rear_tyre_to_frame")
    front_tyre_to_frame: float | None = _limit("front_tyre_to_frame")
    front_tyre_to_fork: float | None = _limit("front_tyre_to_fork")
    fork_to_frame: float | None = _limit("fork_to_frame")
    rotor_to_fork: float | None = _limit("rotor_to_fork")
    handlebar_to_frame: float | None = _limit("handlebar_to_frame")
    chainring_to_frame: float | None = _limit("chainring_to_frame")
    chain_to_frame: float | None = _limit("chain_to_frame")
    chain_to_rear_tyre: float | None = _limit("chain_to_rear_tyre")
    crank_to_frame: float | None = _limit("crank_to_frame")
    heel_to_frame: float | None = _limit("heel_to_frame")
    heel_to_caliper: float | None = _limit("heel_to_caliper")
    rotor_to_frame: float | None = _limit("rotor_to_frame")
    caliper_to_frame: float | None = _limit("caliper_to_frame")
    seatpost_room: float | None = _limit("seatpost_room")
    seatpost_insertion: float | None = _limit("seatpost_insertion")
    seatpost_exposure: float | None = _limit("seatpost_exposure")
    saddle_to_rear_tyre: float | None = _limit("saddle_to_rear_tyre")
    bottle_to_frame: float | None = _limit("bottle_to_frame")
    bottle_to_parts: float | None = _limit("bottle_to_parts")
    shock_to_frame: float | None = _limit("shock_to_frame")
    shock_to_rear_tyre: float | None = _limit("shock_to_rear_tyre")
    links_to_frame: float | None = _limit("links_to_frame")
    links_to_links: float | None = _limit("links_to_links")
    links_on_axle: float | None = _limit("links_on_axle")
    own_to_parts: float | None = _limit("own_to_parts")
    fittings_to_parts: float | None = _limit("fittings_to_parts")
    parts_to_parts: float | None = _limit("parts_to_parts")
    toe_to_front_tyre: float | None = _limit("toe_to_front_tyre")
    pedal_to_ground: float | None = _limit("pedal_to_ground")
    chainring_to_ground: float | None = _limit("chainring_to_ground")
    standover_room: float | None = _limit("standover_room")
    standover_ahead: float = number(
        "Standover ahead",
        "Where standover_room is measured: level ahead of the bottom bracket; 0 is over it",
        low=-200,
        high=500,
        example=50,
        default=0,
    )
    front_load: float | None = _limit("front_load")
    skip: Annotated[tuple[str, ...], Strict(False)] = Field(
        default=(),
        title="Skip",
        description="Checks that are left out, by name",
        max_length=200,
        examples=[["handlebar_to_frame"]],
    )
    extra: Annotated[tuple[ExtraCheckSpec, ...], Strict(False)] = Field(
        default=(),
        title="Extra",
        description="Further checks between two named bodies",
        max_length=60,
    )
    steering: float | None = number(
        "Steering",
        "How far to each side clearances are checked, where that is to be less than the bar turns; "
        "left out, all the way round or up to a stop (build.headset.stop, build.bumper)",
        low=0,
        high=180,
        example=90,
        unit="degrees",
    )
    heel_swing: float = number(
        "Heel swing",
        "Of the shoes about the pedals, to each side. Common practice, no source",
        low=0,
        high=30,
        example=4,
        unit="degrees",
        default=4,
    )

    def limit(self, name: str) -> float | None:
        """Return the file's own limit of a check; None where it keeps the default."""
        value: float | None = getattr(self, name)
        return value

    def problems(self) -> Iterator[Problem]:
        """Yield problems of names that are not checks."""
        for i, name in enumerate(self.skip):
            if name not in REQUIREMENTS:
                near = get_close_matches(name, REQUIREMENTS, n=1)
                hint = f"did you mean {near[0]}? " if near else ""
                yield Problem(
                    "not-allowed",
                    f"skip.{i}",
                    f"{name!r} is no check",
                    f"{hint}checks: {', '.join(REQUIREMENTS)}",
                )
