r"""Motion of what tensions the chain: an eccentric insert that turns, an axle that slides in its slots.

Against the frame, the bottom bracket o goes around the shell's middle c with the insert, and all that it
carries is shifted alike; the axle a goes along its slots. A straight run of chain turns with the line
from o to a and goes with o (side view)::

        .-----------------.__
       (a)===>  slide          ''( o ) )  insert
        '-----------------''----'  c
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, NamedTuple

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.bodies.motion.mounts import FRAME, SHIFT, SWING, Mount, Step, with_spindle
from frame3d.bodies.motion.swing import Swing, tabled
from frame3d.geometry.arrays import Array, Complex
from frame3d.geometry.vector import unit, vector


class Moving(NamedTuple):
    """A point at k values of a motion, x + i z, and its derivative: two (k,) complex [mm]."""

    at: Complex
    rate: Complex


@dataclass(frozen=True, slots=True)
class Insert:
    """An eccentric insert, as the bike stands: how it carries the bottom bracket against the frame."""

    offset: float
    """Of the bottom bracket from the shell's middle [mm]."""
    angle: float
    """Where the bottom bracket stands about it, up from straight ahead on level ground [degrees]."""
    low: float
    """Least turn from there [degrees]."""
    high: float
    """Greatest turn from there [degrees]."""

    def at(self, turns: Array) -> Moving:
        """Return where the bottom bracket is after turns, (k,) [degrees], from where it is drawn."""
        arm = self.offset * np.exp(1j * np.radians(self.angle + turns))
        drawn = self.offset * np.exp(1j * np.radians(self.angle))
        return Moving(arm - drawn, 1j * arm * np.radians(1.0))


def insert_of(bike: Bike) -> Insert | None:
    """Return a bike's eccentric insert; None where the shell has none."""
    spec = bike.spec.build.insert
    if spec is None:
        return None
    low, high = spec.range
    return Insert(spec.offset, spec.angle + bike.frame.pitch, low - spec.angle, high - spec.angle)


@dataclass(frozen=True, slots=True)
class Slots:
    """The slots of sliding dropouts, as the bike stands."""

    way: complex
    """Unit direction back along them, x + i z."""
    low: float
    """From where the axle is drawn to the foremost place, at most 0 [mm]."""
    high: float
    """From there to the rearmost place [mm]."""


def slots_of(bike: Bike) -> Slots | None:
    """Return the slots of a bike's sliding dropouts; None where they are no such ones."""
    spec = bike.spec.build.slide
    made = bike.dropouts[0].slide if bike.dropouts else None
    if spec is None or made is None:
        return None
    x, _, z = unit(vector(made.back) - vector(made.front))
    return Slots(complex(x, z), -spec.at, spec.length - spec.at)


def spindle_mount(insert: Insert | None) -> Mount:
    """Return the mount of what stands on the bottom bracket without turning with the cranks."""
    if insert is None:
        return FRAME

    def rows(turns: Array) -> Array:
        return _rows(insert.at(turns), np.zeros(len(turns)), np.zeros(len(turns)))

    swing = tabled(insert.high - insert.low, rows, insert.low)
    return Mount("bottom bracket", (Step(SWING, "insert", swing=swing),))


def slide_mount(slots: Slots | None, name: str) -> Mount:
    """Return the mount of what moves with an axle in its slots; the frame's without slots."""
    if slots is None:
        return FRAME
    axis = (slots.way.real, 0.0, slots.way.imag)
    return Mount(name, (Step(SHIFT, "slide", axis=axis),))


def run_mount(
    insert: Insert | None,
    slots: Slots | None,
    spindle: Mount,
    axle: complex,
    radii: tuple[float, float],
    up: float,
) -> tuple[Mount, float] | None:
    """Return the mount of a straight run of chain, and its greatest length [mm].

    None where neither end of it moves.

    Args:
        insert: that carries the ring.
        slots: that the cog's axle slides in.
        spindle: from `spindle_mount`.
        axle: drawn, from the bottom bracket, x + i z [mm].
        radii: pitch radii of ring and cog [mm].
        up: 1 for the upper run, -1 for the lower one.
    """
    from frame3d.bodies.motion.linked import normal_of

    over = insert if insert is not None else slots
    if over is None:
        return None
    name: Literal["insert", "slide"] = "slide" if insert is None else "insert"

    def far(values: Array) -> Moving:
        """Return the axle from the ring's centre."""
        if insert is not None:
            centre = insert.at(values)
            return Moving(axle - centre.at, -centre.rate)
        assert slots is not None
        at: Complex = np.asarray(axle + values * slots.way, dtype=np.complex128)
        return Moving(at, np.full_like(at, slots.way))

    difference = radii[0] - radii[1]
    rest = float(normal_of(*far(np.zeros(1)), difference, up)[0][0])

    def rows(values: Array) -> Array:
        turn, rate = normal_of(*far(values), difference, up)
        still: Complex = np.zeros(len(values), dtype=complex)
        return _rows(Moving(still, still), np.degrees(turn - rest), np.degrees(rate))

    swing: Swing = tabled(over.high - over.low, rows, over.low)
    furthest = np.abs(far(np.linspace(over.low, over.high, 721)).at).max()
    # A bow of half a degree is less than 1e-5 of the offset short of its furthest place.
    longest = float(np.sqrt((furthest + 1e-3) ** 2 - difference**2))
    # About the ring's centre, and then with it: so it turns but little against the rest of the cranks.
    return with_spindle(Mount("chain run", (Step(SWING, name, swing=swing),)), spindle), longest


def _rows(moving: Moving, turn: Array, rate: Array) -> Array:
    """Return rows as in `Swing.knots`; turns in degrees."""
    return np.stack(
        (moving.at.real, moving.at.imag, turn, moving.rate.real, moving.rate.imag, rate), axis=1
    )
