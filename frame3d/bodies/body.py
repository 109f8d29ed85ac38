"""Types for one part of the bike as shapes and tubes, and for one that the file does not give."""

from __future__ import annotations

from dataclasses import dataclass

from frame3d.bodies.motion.mounts import Mount
from frame3d.bodies.shapes import PlacedShape, Tubular


@dataclass(frozen=True)
class Body:
    """One part, where it is drawn: fork fully extended, steering straight, left crank ahead.

    All of it has one mount.
    `shapes` and `tubes` describe the same outside in two ways, for gaps against tubes and against
    shapes. Neither goes beyond that outside, but one may hold less: a box as tubes is only the
    bars along its edges. So where a pair can be measured both ways, the smaller gap is right.
    """

    name: str
    """``rear_tyre``, ``fork_crown``, ``shoe_left``, ``down_tube``; every name is different."""
    part: str
    """Dotted path of the key that gives it: ``build.rear_wheel.tyre``."""
    family: str
    """Group of parts that may touch each other: ``frame``, ``front_wheel``, ``fork``, ``crank``."""
    shapes: tuple[PlacedShape, ...]
    """For gaps against tubes."""
    tubes: tuple[Tubular, ...]
    """For gaps against shapes."""
    colour: str
    """#rrggbb, for pictures."""
    drawn: bool = True
    """False for what only checks use: swept envelopes, other positions of a part."""
    touches: tuple[str, ...] = ()
    """Names of bodies of other families that it touches by design."""
    hull: tuple[PlacedShape, ...] = ()
    """Shapes that contain its tubes, for gaps to bodies with tubes only."""
    axles: tuple[str, ...] = ()
    """Points of the rear suspension that it sits on: it turns beside whatever else sits there."""
    note: str = ""
    """Source of the sizes that the file does not give."""

    @property
    def mount(self) -> Mount:
        """What all of it moves with."""
        return (self.shapes or self.tubes)[0].mount


@dataclass(frozen=True, slots=True)
class Absent:
    """A part that the file does not give."""

    name: str
    """As `Body.name`, without left and right."""
    needs: str
    """Keys that would give it: ``build.rear_wheel.rotor``."""


@dataclass(frozen=True)
class Bodies:
    """All parts of a bike, and what the file does not give."""

    bodies: tuple[Body, ...]
    absent: tuple[Absent, ...]

    def body(self, name: str) -> Body:
        """Return the body of that name.

        Raises:
            KeyError: no such body.
        """
        for body in self.bodies:
            if body.name == name:
                return body
        raise KeyError(name)


PRACTICE = "common practice, no source"
"""Note of every default size that no standard gives."""
