"""What is at one point of the suspension, and the names of its hardware."""

from __future__ import annotations

from dataclasses import dataclass

from frame3d.tubes.hardware import LUG, Seat


@dataclass(frozen=True, slots=True)
class Pin:
    """What is at one point: which bodies, what is in the middle, and the sizes [mm]."""

    point: str
    at: tuple[float, float]
    """x and z."""
    bodies: tuple[str, ...]
    """Bodies that hardware is made for: ``frame`` (the front frame) first, then as in the file."""
    owner: str | None
    """The body with the housing; None if something else is in the middle: shock, shell, hub."""
    half: float | None
    """Half the width of what lies across the centre plane; None for two housings, left and right."""
    y: float | None
    """Lateral position of two housings, if the file gives it."""
    width: float
    """Width of each housing."""
    od: float
    axle: float
    plate: float
    """Thickness of the lugs."""
    seat: Seat | None = None
    """Seat for the bearings in the housing."""

    def bored(self, body: str) -> float:
        """Return the bore of a body's lug or housing here, unless it goes across [mm]."""
        return self.axle if self.seat is None or body != self.owner else self.seat.diameter

    def thickness(self, body: str) -> float:
        """Return the thickness of a body's lug or housing here, unless it goes across [mm]."""
        return self.width if body == self.owner else self.plate


def housing_name(point: str) -> str:
    """Return the name of the housing at a point."""
    return f"housing_{point}"


def lug_name(point: str, body: str, side: str) -> str:
    """Return the name of a body's lug at a point."""
    return f"{LUG}_{point}_{body}_{side}"


def plate_name(link: str, side: str) -> str:
    """Return the name of a link's plate."""
    return f"plate_{link}_{side}"
