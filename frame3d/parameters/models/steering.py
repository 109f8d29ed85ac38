"""Steering: how far the bar turns, what stops it, and the range that is checked."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

if TYPE_CHECKING:
    from frame3d.parameters.models.frame import FrameSpec

WHOLE: Final = 180.0
"""Angle to each side where nothing stops the bar [degrees]."""
RIDDEN: Final = 90.0
"""Largest angle to each side while riding [degrees]; only in a fall the bar turns further.
Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Steering:
    """Steering angles to each side [degrees]."""

    checked: float
    """Angle up to which everything that turns with the bar is checked."""
    turns: float
    """Angle to which the bar turns: the stop, or `WHOLE`."""
    by: Literal["nothing", "headset", "bumper"]
    """Part that stops the bar."""
    bumper_on: str = ""
    """The tube with the bumper."""

    @property
    def partly(self) -> bool:
        """Whether the bar turns further than is checked."""
        return self.checked < self.turns

    @property
    def says(self) -> str:
        """Return a description in one line."""
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
    """Return how far the bar turns, by the file's first stop, and the range to be checked."""
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
