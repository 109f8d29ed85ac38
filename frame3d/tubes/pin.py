"""What stands at one point of the suspension, and the names of its hardware."""

from __future__ import annotations

from dataclasses import dataclass

from frame3d.tubes.hardware import LUG, Seat


@dataclass(frozen=True, slots=True)
class Pin:
    """What stands at one point: who is on it, what is in the middle, the sizes [mm]."""

    point: str
    at: tuple[float, float]
    """x and z."""
    bodies: tuple[str, ...]
    """That hardware is made for: ``frame``, the front frame, first, then in the order of the file."""
    owner: str | None
    """The body with the housing; None where something else is in the middle: shock, shell, hub."""
    half: float | None
    """Half the width of what is across the centre plane; None where there are two housings."""
    y: float | None
    """Lateral position of two housings where the file says it."""
    width: float
    """Of each housing."""
    od: float
    axle: float
    plate: float
    """Thickness of the lugs."""
    seat: Seat | None = None
    """For the bearings in the housing."""

    def bored(self, body: str) -> float:
        """Through a body's own round here, where it is none across [mm]."""
        return self.axle if self.seat is None or body != self.owner else self.seat.diameter

    def thickness(self, body: str) -> float:
        """Of a body's own round here, where it is none across [mm]."""
        return self.width if body == self.owner else self.plate


def housing_name(point: str) -> str:
    """Of the housing at a point."""
    return f"housing_{point}"


def lug_name(point: str, body: str, side: str) -> str:
    """Of a body's lug at a point."""
    return f"{LUG}_{point}_{body}_{side}"


def plate_name(link: str, side: str) -> str:
    """Of a link's plate."""
    return f"plate_{link}_{side}"
