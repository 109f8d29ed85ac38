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
from frame3d.stiffness.structure import Sum

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
    cases = [one.case for one in result.cases]
    pairs = [_forces(result, case.key, case.reading(spots)) for case in cases]
    under, unit = (np.array([pair[i] for pair in pairs]) for i in (0, 1))
    read = np.array([pair[2] for pair in pairs])
    left = _cut_share(model)
    sums: dict[tuple[str, str], Array] = {}
    grams: dict[tuple[str, str], float] = {}
    for line in model.lines.values():
        for size, _ in SIZES:
            if size == "od" or not line.tube.section.is_solid:
                sums[line.tube.key, size] = np.zeros(len(cases))
                grams[line.tube.key, size] = 0.0
    for i, joined in enumerate(model.structure.beams):
        beam = joined.beam
        if beam.name not in model.lines:
            continue
        p, q = beam.rows @ under[:, i].T, beam.rows @ unit[:, i].T
        pq = p * q
        for size, (soft, metal) in _derivatives(model.lines[beam.name], beam).items():
            if (beam.key, size) in sums:
                sums[beam.key, size] += np.einsum("ij,ijk->k", soft, pq)
                grams[beam.key, size] += metal * left[beam.name]
    more = dict(SIZES)
    return tuple(
        Gain(
            key,
            size,
            more[size],
            grams[key, size] * more[size],
            {
                case.key: float(change)
                for case, change in zip(cases, -100.0 * total / read * more[size], strict=True)
            },
        )
        for (key, size), total in sums.items()
    )


def _forces(result: Stiffness, case: str, reading: Sum) -> tuple[Array, Array, float]:
    """Return the beams' forces under a case's load, and under a unit load at what it reads; that."""
    stand, motion = result.held[case]
    unit = stand.motion(reading)
    return stand.forces(motion), stand.forces(unit), stand.reading(motion, reading)


def _derivatives(line: TubeLine, beam: Beam) -> dict[str, tuple[Array, float]]:
    """Return derivatives by each of `SIZES` [per mm]: of sections' softness (n, 6), of the mass [g]."""
    sections = beam.sections
    s = line.places(sections.at)
    bored = line.reamed(s)
    found = {}
    for size, _ in SIZES:
        out = 0.5j * STEP if size == "od" else 0.0
        into = np.where(bored, 0.0, 0.5j * STEP if size == "od" else -1j * STEP)
        constants = line.constants(s, out, into)
        soft = softness(sections, constants).imag / STEP
        metal = float((constants.area.imag / STEP) @ sections.share) * line.tube.density / 1000.0
        found[size] = np.asarray(soft), metal
    return found


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
