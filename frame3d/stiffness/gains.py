"""What a little more outside or wall of a tube does to each load case, exactly, and what it weighs.

A derivative of a figure needs no second frame. With forces q at a beam's far end under the load and
r under a unit load at what is read, the reading's derivative by any size p is the sum of r · dF/dp · q
over the beams, with F the flexibility of each (virtual work; the adjoint method).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.stiffness.beam import Beam, softness
from frame3d.stiffness.from_bike import FrameModel, TubeLine
from frame3d.stiffness.of_bike import Stiffness
from frame3d.stiffness.section_constants import Numbers, hollow_oval

STEP = 1e-30
"""Imaginary step of a derivative; its square vanishes beside 1, so that no digit is lost."""
SIZES = (("od", 1.0), ("wall", 0.1))
"""What is asked about, and how much more of it [mm]."""


@dataclass(frozen=True, slots=True)
class Gain:
    """What a little more of one size of a tube does."""

    tube: str
    """Key under ``tubes``; of a pair, both."""
    size: str
    """``od`` or ``wall``."""
    more: float
    """How much more is asked about [mm]: 1 of outside, 0.1 of wall."""
    grams: float
    """What it weighs [g]."""
    percent: Mapping[str, float]
    """Load case -> change of the stiffness to first order [%]."""

    def per_gram(self, case: str) -> float:
        """Return the per cent that one gram gains in a load case."""
        return self.percent[case] / self.grams if self.grams else 0.0


def gains_of(result: Stiffness) -> tuple[Gain, ...]:
    """Return what a little more of each tube's outside and wall does, to first order.

    The axes stay where they are, reamed bores keep their diameter, and all else its own size. Grams
    count the tube as cut: its metal along the axis times the share that its cuts leave.
    """
    model, spots = result.model, result.spots
    pairs: dict[str, tuple[Array, Array, float]] = {}
    for one in result.cases:
        stand, motion = result.held[one.case.key]
        reading = one.case.reading(spots)
        unit = stand.motion(reading)
        read = stand.reading(motion, reading)
        pairs[one.case.key] = stand.forces(motion), stand.forces(unit), read
    left = _cut_share(model)
    found: list[Gain] = []
    names: dict[str, list[str]] = {}
    for name, line in model.lines.items():
        names.setdefault(line.tube.key, []).append(name)
    for key, members in names.items():
        line = model.lines[members[0]]
        for size, more in SIZES:
            if size == "wall" and line.tube.section.is_solid:
                continue
            change = dict.fromkeys(pairs, 0.0)
            grams = 0.0
            for i, joined in enumerate(model.structure.beams):
                beam = joined.beam
                if beam.key != key or beam.name not in model.lines:
                    continue
                soft, metal = _derivative(model.lines[beam.name], beam, size)
                grams += metal * more * left[beam.name]
                for case, (under, unit, read) in pairs.items():
                    p, q = beam.rows @ under[i], beam.rows @ unit[i]
                    change[case] += float((p * soft * q).sum()) / read * more
            percent = {case: -100.0 * value for case, value in change.items()}
            found.append(Gain(key, size, more, grams, percent))
    return tuple(found)


def _derivative(line: TubeLine, beam: Beam, size: str) -> tuple[Array, float]:
    """Return derivatives by a size [per mm]: of each section's softness (n, 6), and of the mass [g]."""
    sections = beam.sections
    s = line.places(sections.at)
    (a, b), (c, d) = line.radii(s)
    bored = line.reamed(s)
    out = 0.5j * STEP if size == "od" else 0.0
    into = np.where(bored, 0.0, 0.5j * STEP if size == "od" else -1j * STEP)
    hollow = c > 0
    outer: tuple[Numbers, Numbers] = (a + out, b + out)
    inner: tuple[Numbers, Numbers] = (
        np.where(hollow, c + into, 0.0),
        np.where(hollow, d + into, 0.0),
    )
    constants = hollow_oval(outer, inner, line.elastic.poisson)
    soft = softness(sections, constants).imag / STEP
    area = constants.area.imag / STEP
    return np.asarray(soft), float(area @ sections.share) * line.tube.density / 1000.0


def _cut_share(model: FrameModel) -> dict[str, float]:
    """Return the share of each tube's metal along its axis that is left once it is cut."""
    masses = model.bike.frame.masses.parts
    whole: dict[str, float] = {}
    for joined in model.structure.beams:
        beam = joined.beam
        if beam.name in model.lines:
            metal = float(beam.sections.constants.area @ beam.sections.share)
            whole[beam.name] = whole.get(beam.name, 0.0) + metal
    return {
        name: min(1.0, 1000.0 * masses[name] / (metal * model.lines[name].tube.density))
        for name, metal in whole.items()
    }
