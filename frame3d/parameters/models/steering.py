"""Steering: how far a bike's bar turns, what stops it, and how much of that is checked."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

if TYPE_CHECKING:
    from frame3d.parameters.models.frame import FrameSpec

WHOLE: Final = 180.0
"""To each side, where nothing stops the bar: the whole turn [degrees]."""
RIDDEN: Final = 90.0
"""To each side as far as anybody turns the bar while riding [degrees]; beyond it comes a fall.
Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Steering:
    """To each side [degrees]."""

    checked: float
    """As far as anything that turns with the bar is checked."""
    turns: float
    """As far as the bar turns: to the stop, or `WHOLE`."""
    by: Literal["nothing", "headset", "bumper"]
    """What stops it."""
    bumper_on: str = ""
    """The tube with the bumper."""

    @property
    def partly(self) -> bool:
        """Whether the bar turns further than is checked."""
        return self.checked < self.turns

    @property
    def says(self) -> str:
        """One line for people."""
        stop = {
            "nothing": "nothing stops the bar",
            "headset": f"the headset's stop is at {self.turns:g}°",
            "bumper": f"the bumper on {self.bumper_on} stops the fork at {self.turns:g}°",
        }[self.by]
        if self.partly:
            return (
                f"{stop}, but clearance.steering asks for {self.checked:g}° to each side: what turns "
                "further was not checked"
            )
        if self.by == "nothing":
            return f"{stop}: checked over the whole turn"
        return f"{stop}: checked up to it on each side"


def steering_of(spec: FrameSpec) -> Steering:
    """How far the bar turns: to the first of the file's stops, and how much of it the file asks for."""
    headset, bumper = spec.build.headset, spec.build.bumper
    found = Steering(WHOLE, WHOLE, "nothing")
    if headset is not None and headset.stop is not None:
        found = Steering(headset.stop, headset.stop, "headset")
    if bumper is not None and bumper.stop < found.turns:
        found = Steering(bumper.stop, bumper.stop, "bumper", bumper.on)
    asked = spec.clearance.steering
    if asked is None or asked >= found.turns:
        return found
    return Steering(asked, found.turns, found.by, found.bumper_on)
