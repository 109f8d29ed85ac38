"""How stiff a bike's frame is in each load case, which tubes give way, and its deflected shape."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.errors import Fault, FrameError, TubeError
from frame3d.geometry.arrays import Array
from frame3d.geometry.vector import point
from frame3d.stiffness.from_bike import FrameModel, model_of
from frame3d.stiffness.load_cases import CASES, LoadCase
from frame3d.stiffness.structure import Held, Spot

FORK = "rigid fork"


@dataclass(frozen=True, slots=True)
class CaseResult:
    """One load case of one frame."""

    case: LoadCase
    stiffness: float
    """In the case's unit."""
    energy: Mapping[str, float]
    """Key under ``tubes``, or ``dropouts`` -> its share of the strain energy, 0 to 1."""


@dataclass(frozen=True, slots=True)
class Bent:
    """One stretch of tube, or a dropout's arm, under a load: n places along its axis."""

    at: Array
    """(n, 3) where they are without load [mm]."""
    moved: Array
    """(n, 3) how far they go [mm]."""
    turned: Array
    """(n, 3) how the sections turn [rad]."""


@dataclass(frozen=True)
class Stiffness:
    """A frame's stiffness."""

    model: FrameModel
    spots: Mapping[str, Spot]
    """Places that load cases take hold of, those of fork and saddle among them."""
    cases: tuple[CaseResult, ...]
    frame_mass: float
    """Of the bare frame's weighed parts [g]."""
    left_out: tuple[str, ...]
    assumptions: tuple[str, ...]
    held: Mapping[str, tuple[Held, Array]]
    """Load case -> the held frame, and its motion under the load."""
    faults: tuple[Fault, ...] = ()
    """Ends that join nothing, and what moves without resistance: load cases that would move it are
    missing."""

    def of(self, case: str) -> CaseResult:
        """Return a load case's result.

        Raises:
            KeyError: the frame has nothing for it.
        """
        for one in self.cases:
            if one.case.key == case:
                return one
        raise KeyError(case)

    def value(self, case: str) -> float | None:
        """Return a load case's stiffness in its own unit; None where the frame has nothing for it."""
        return next((one.stiffness for one in self.cases if one.case.key == case), None)

    def shape(self, case: str) -> dict[str, tuple[Array, Array]]:
        """Return the deflected shape under a load case.

        `Tube.name`, or a dropout's -> points of its axis and their displacement, (n, 3) each [mm].

        Raises:
            KeyError: the frame has nothing for it.
        """
        return {
            name: (
                np.concatenate([bent.at for bent in of]),
                np.concatenate([bent.moved for bent in of]),
            )
            for name, of in self.bent(case).items()
        }

    def bent(self, case: str) -> dict[str, list[Bent]]:
        """Return how each stretch bends under a load case, by `Tube.name`, or a dropout's.

        Raises:
            KeyError: the frame has nothing for it.
        """
        return _bent(*self.held[case])


def stiffness_of(bike: Bike, travel: float | None = None) -> Stiffness:
    """Return a bike's stiffness in all load cases that its frame has the places for.

    Args:
        bike: solved, with tubes.
        travel: wheel travel at which a suspended frame stands with its shock locked [mm]; None for
            full extension.

    Raises:
        TubeError: see `model_of`; or no load case is left, as something moves without resistance.
        ValueError: the travel is out of range.
    """
    model = model_of(bike, travel)
    loose = _loose_group(model)
    spots = _spots(model)
    plain = model.structure
    forked = plain.with_group(FORK, np.array(spots["front_axle"].at))
    results: list[CaseResult] = []
    held: dict[str, tuple[Held, Array]] = {}
    supported: dict[object, Held] = {}
    for case in CASES:
        if not case.needs() <= set(spots):
            continue
        support = case.supports, case.fork
        stand = supported.get(support)
        if stand is None:
            stand = (forked if case.fork else plain).held(case.ties(spots))
            supported[support] = stand
        load, reading = case.load(spots), case.reading(spots)
        if not (stand.resists(load) and stand.resists(reading)):
            continue
        motion = stand.motion(load)
        held[case.key] = stand, motion
        read = _in_units(case, stand.reading(motion, reading))
        results.append(CaseResult(case, case.amount / read, _energy(stand, motion)))
    faults = (*model.faults, *(() if loose is None else (_loose_fault(model, loose),)))
    if not results:
        raise TubeError(faults)
    return Stiffness(
        model=model,
        spots=spots,
        cases=tuple(results),
        frame_mass=bike.frame.masses.total,
        left_out=_left_out(model, loose),
        assumptions=_assumptions(model),
        held=held,
        faults=faults,
    )


def stiffness_if_any(bike: Bike) -> tuple[Stiffness | None, tuple[Fault, ...]]:
    """Return a bike's stiffness, and what stands against it or a part of it; neither without tubes."""
    if not bike.tubes:
        return None, ()
    try:
        found = stiffness_of(bike)
        return found, found.faults
    except FrameError as error:
        return None, tuple(error.faults)


def _in_units(case: LoadCase, reading: float) -> float:
    """Return a reading in mm, or degrees where the case's unit has them."""
    return float(np.degrees(reading)) if case.unit == "N·m/°" else reading


def _spots(model: FrameModel) -> dict[str, Spot]:
    """Return the places of the frame, with a rigid fork's axle and the saddle on a rigid post."""
    spots = dict(model.spots)
    nodes = model.bike.nodes
    spots["front_axle"] = Spot(FORK, nodes["front_axle"])
    if "seat_tube_top" in spots:
        spots["saddle"] = Spot(spots["seat_tube_top"].group, nodes["saddle"])
    return spots


def _loose_group(model: FrameModel) -> str | None:
    """Return what moves most without straining anything, beyond the motions of the whole, if any."""
    structure = model.structure
    loose = structure.loose
    if loose.shape[1] <= 6:
        return None
    still, ways = np.zeros(3), np.eye(3)
    whole = np.array(
        [structure.rigid_motion(way, still) for way in ways]
        + [structure.rigid_motion(still, way) for way in ways]
    ).T
    basis = np.linalg.qr(whole)[0]
    odd = loose - basis @ (basis.T @ loose)
    size = np.abs(odd).max(axis=1).reshape(-1, 6).max(axis=1)
    return tuple(structure.groups)[int(np.argmax(size))]


def _loose_fault(model: FrameModel, group: str) -> Fault:
    spec = model.bike.frame.spec
    return spec.fault(
        "inconsistent",
        "suspension" if spec.suspension is not None else "tubes",
        f"stiffness needs a frame that holds together: {group} moves without resistance",
        "join it to the frame, or give the suspension the link or shock that holds it",
    )


def _energy(stand: Held, motion: Array) -> dict[str, float]:
    """Return the share of the strain energy of each tube's key, and of the dropouts."""
    found: dict[str, float] = {}
    for joined, work in zip(stand.structure.beams, stand.work(motion), strict=True):
        found[joined.beam.key] = found.get(joined.beam.key, 0.0) + float(work)
    total = sum(found.values())
    return {key: work / total for key, work in found.items()}


def _bent(stand: Held, motion: Array) -> dict[str, list[Bent]]:
    """Return the stretches of each tube and dropout in their order along it."""
    found: dict[str, list[Bent]] = {}
    for joined, q in zip(stand.structure.beams, stand.forces(motion), strict=True):
        beam = joined.beam
        at, own, turned = beam.along(q)
        ends = np.array([beam.start, *at, beam.end])
        a = stand.moved(motion, Spot(joined.start, point(beam.start)))
        b = stand.moved(motion, Spot(joined.end, point(beam.end)))
        carried = a[:3] + np.cross(a[3:], ends - beam.start)
        carried[1:-1] += own
        carried[-1] = b[:3]
        turns = np.array([a[3:], *(a[3:] + turned), b[3:]])
        found.setdefault(beam.name, []).append(Bent(ends, carried, turns))
    return found


def _left_out(model: FrameModel, loose: str | None) -> tuple[str, ...]:
    lines = [fault.message for fault in model.faults]
    if loose is not None:
        lines.append(f"load cases in which {loose} moves without resistance")
    lines.append(
        "weld fillets, brazing, lugs, bearings, cups; how a wall gives way under another tube's end",
    )
    if model.bike.plates:
        lines.append("gussets and other flat parts")
    if any(dropout.plate is not None for dropout in model.bike.dropouts):
        lines.append(
            "the plate between the arms of a flat dropout: each bends as an arm that tapers from the "
            "boss to its stay"
        )
    if any(not feature.implied for feature in model.bike.frame.features):
        lines.append("holes in tubes and what stands on them")
    if model.bridges:
        named = ", ".join(sorted(model.bridges))
        lines.append(
            f"how the stay's wall gives way under a bridge: {named} count for too much "
            "(in solids of one frame a bridge did a fifth to a half of it)"
        )
    if model.bike.fork is not None:
        lines.append("the give of the fork that is built: cases with a fork take it as rigid")
    if model.travel is not None:
        lines.append(
            "the give of links, lugs, plates, axles and bearings: figures of a suspended frame are "
            "upper bounds"
        )
    return tuple(lines)


def _assumptions(model: FrameModel) -> tuple[str, ...]:
    spec = model.bike.frame.spec
    used = {line.tube.material: line.elastic for line in model.lines.values()}
    materials = ", ".join(
        f"{name} {e.young / 1000:g} GPa, {e.poisson:g}" for name, e in sorted(used.items())
    )
    lines = [
        f"Young's modulus and Poisson's ratio: {materials} (values from memory of data sheets)",
        "shell, cups and the axle rigid; tubes bend up to the axis of what they sit on",
    ]
    if spec.suspension is not None:
        lines.append("the shock keeps its length; each pivot turns freely")
    return tuple(lines)
