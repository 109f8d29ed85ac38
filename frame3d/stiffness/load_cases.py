"""Load cases: how the frame is held, where it is loaded, and what is read.

None of them is a published test; each carries its own words and a drawing of supports and load, so
that its figure is not compared with another test's.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from frame3d.geometry.vector import Point
from frame3d.stiffness.structure import WAYS, Spot, Sum, Term, X, Y, Z, joint

SIDEWAYS = 100.0
"""Force of the sideways and fore-aft cases [N]; results are ratios and do not depend on it."""
DOWN = 1000.0
"""Force of the upright cases [N]."""
PEDAL = 130.0
"""Distance of the pedalling force from the centre plane [mm]; common practice, no source."""

CUPS = "cups"
"""Both cups as one place: where a couple acts as two sideways forces."""

Unit = Literal["N/mm", "N·m/°"]


@dataclass(frozen=True, slots=True)
class Force:
    """A force or couple as the drawing of a load case shows it."""

    spot: str
    way: Point
    """Unit vector along the force, or about which the couple turns."""
    amount: float
    """[N] or [N·m]"""
    turns: bool = False


@dataclass(frozen=True, slots=True)
class LoadCase:
    """One load case, in words and as sums over places of the frame (`FrameModel.spots`)."""

    key: str
    title: str
    held: str
    loaded: str
    read: str
    unit: Unit
    supports: tuple[tuple[str, tuple[Point, ...], tuple[Point, ...]], ...]
    """Place, the ways in which it cannot shift, the axes about which it cannot turn."""
    forces: tuple[Force, ...]
    """What the drawing shows; together they are the load."""
    reads: tuple[Force, ...]
    """What is read: displacement along `way`, or rotation about it, each times its `amount`."""
    fork: bool = False
    """Whether a rigid fork joins both cups and the front axle."""

    def ties(self, spots: Mapping[str, Spot]) -> list[Sum]:
        """Return the motions that vanish: supports, and the rigid fork's joints to both cups."""
        rows: list[Sum] = []
        for name, ways, axes in self.supports:
            rows += [(Term(spots[name], way),) for way in ways]
            rows += [(Term(spots[name], about=way),) for way in axes]
        if self.fork:
            for cup in ("head_tube_bottom", "head_tube_top"):
                at = spots[cup].at
                rows += joint(spots[cup].group, spots["front_axle"].group, at)
        return rows

    def load(self, spots: Mapping[str, Spot]) -> Sum:
        """Return the load [N, N·mm]."""
        return _sum(self.forces, spots, 1000.0)

    def reading(self, spots: Mapping[str, Spot]) -> Sum:
        """Return what is read [mm, rad]."""
        return _sum(self.reads, spots, 1.0)

    @property
    def amount(self) -> float:
        """Load over which the reading is taken [N], or [N·m]."""
        return self.forces[0].amount

    def needs(self) -> set[str]:
        """Return the places that it takes hold of."""
        ends = {"head_tube_bottom", "head_tube_top", "front_axle"} if self.fork else set()
        asked = {force.spot for force in (*self.forces, *self.reads)}
        if CUPS in asked:
            asked = (asked - {CUPS}) | {"head_tube_bottom", "head_tube_top"}
        return ends | asked | {name for name, _, _ in self.supports}


def _sum(forces: Sequence[Force], spots: Mapping[str, Spot], couple: float) -> Sum:
    terms: list[Term] = []
    for one in forces:
        if one.spot == CUPS:
            terms += _couple(one.amount * couple, spots)
            continue
        amount = one.amount * (couple if one.turns else 1.0)
        along = (one.way[0] * amount, one.way[1] * amount, one.way[2] * amount)
        spot = spots[one.spot]
        terms.append(Term(spot, about=along) if one.turns else Term(spot, along))
    return tuple(terms)


def _couple(moment: float, spots: Mapping[str, Spot]) -> Iterator[Term]:
    """Yield the two sideways forces, upper and lower cup, of a couple on the head tube [N·mm]."""
    top, bottom = spots["head_tube_top"], spots["head_tube_bottom"]
    force = moment / math.dist(top.at, bottom.at)
    yield Term(top, (0.0, -force, 0.0))
    yield Term(bottom, (0.0, force, 0.0))


_BB = (("bottom_bracket", WAYS, WAYS),)
_AXLE = (("rear_axle", WAYS, WAYS),)
_CUPS = (("head_tube_bottom", (Y,), ()), ("head_tube_top", (Y,), ()))
_STANDS = (("rear_axle", WAYS, (X, Z)), ("front_axle", (Z,), ()))
_RIDDEN = (
    ("rear_axle", WAYS, (X, Z)),
    ("head_tube_bottom", (Y, Z), ()),
    ("head_tube_top", (Y,), ()),
)
"""Held as by both wheels. Clamped at the axle instead, a frame would hang from its rear end, and that
bending would hide the roll; where left and right are alike the roll itself is the same."""

CASES: Final[tuple[LoadCase, ...]] = (
    LoadCase(
        "head_sideways",
        "Head tube, sideways",
        "bottom bracket shell held",
        "100 N sideways at the lower cup",
        "how far the lower cup goes sideways",
        "N/mm",
        _BB,
        (Force("head_tube_bottom", Y, SIDEWAYS),),
        (Force("head_tube_bottom", Y, 1.0),),
    ),
    LoadCase(
        "head_twist",
        "Head tube, twist",
        "rear axle held",
        "a couple that twists the head tube: sideways at one cup, back at the other",
        "how far the head tube turns against the rear axle",
        "N·m/°",
        _AXLE,
        (Force(CUPS, X, 100.0, turns=True),),
        (Force(CUPS, X, 1.0, turns=True),),
    ),
    LoadCase(
        "front_twist",
        "Front triangle, twist",
        "bottom bracket shell held",
        "a couple that twists the head tube: sideways at one cup, back at the other",
        "how far the head tube turns against the shell",
        "N·m/°",
        _BB,
        (Force(CUPS, X, 100.0, turns=True),),
        (Force(CUPS, X, 1.0, turns=True),),
    ),
    LoadCase(
        "bottom_bracket_sideways",
        "Bottom bracket, sideways",
        "rear axle held, both cups held sideways",
        "100 N sideways at the shell's middle",
        "how far the shell goes sideways",
        "N/mm",
        (*_AXLE, *_CUPS),
        (Force("bottom_bracket", Y, SIDEWAYS),),
        (Force("bottom_bracket", Y, 1.0),),
    ),
    LoadCase(
        "pedal_roll",
        "Bottom bracket, pedalling",
        "rear axle on a joint, both cups held sideways, the lower one up too",
        "1000 N down, 130 mm to the right of the centre plane",
        "how far the shell rolls about the bike's length",
        "N·m/°",
        _RIDDEN,
        (
            Force("bottom_bracket", X, DOWN * PEDAL / 1000.0, turns=True),
            Force("bottom_bracket", (0.0, 0.0, -1.0), DOWN),
        ),
        (Force("bottom_bracket", X, 1.0, turns=True),),
    ),
    LoadCase(
        "rear_sideways",
        "Rear end, sideways",
        "bottom bracket shell held",
        "100 N sideways at the middle of the rear axle, which is rigid",
        "how far the axle goes sideways",
        "N/mm",
        _BB,
        (Force("rear_axle", Y, SIDEWAYS),),
        (Force("rear_axle", Y, 1.0),),
    ),
    LoadCase(
        "rear_twist",
        "Rear end, twist",
        "bottom bracket shell held",
        "a couple at the rear axle that tilts the wheel",
        "how far the axle tilts",
        "N·m/°",
        _BB,
        (Force("rear_axle", X, 100.0, turns=True),),
        (Force("rear_axle", X, 1.0, turns=True),),
    ),
    LoadCase(
        "saddle_down",
        "Saddle, down",
        "rear axle on a joint, rigid fork on a roller",
        "1000 N down at the saddle, on a rigid post",
        "how far the saddle goes down",
        "N/mm",
        _STANDS,
        (Force("saddle", (0.0, 0.0, -1.0), DOWN),),
        (Force("saddle", (0.0, 0.0, -1.0), 1.0),),
        fork=True,
    ),
    LoadCase(
        "bottom_bracket_down",
        "Bottom bracket, down",
        "rear axle on a joint, rigid fork on a roller",
        "1000 N down at the shell's middle",
        "how far the shell goes down",
        "N/mm",
        _STANDS,
        (Force("bottom_bracket", (0.0, 0.0, -1.0), DOWN),),
        (Force("bottom_bracket", (0.0, 0.0, -1.0), 1.0),),
        fork=True,
    ),
    LoadCase(
        "front_fore_aft",
        "Front axle, fore and aft",
        "rear axle on a joint, rigid fork on a roller",
        "100 N forward at the front axle",
        "how far the front axle goes forward",
        "N/mm",
        _STANDS,
        (Force("front_axle", X, SIDEWAYS),),
        (Force("front_axle", X, 1.0),),
        fork=True,
    ),
    LoadCase(
        "front_sideways",
        "Front axle, sideways",
        "rear axle held, middle of the head tube held sideways",
        "100 N sideways at the front axle, on a rigid fork",
        "how far the front axle goes sideways",
        "N/mm",
        (*_AXLE, ("head_tube_middle", (Y,), ())),
        (Force("front_axle", Y, SIDEWAYS),),
        (Force("front_axle", Y, 1.0),),
        fork=True,
    ),
)
"""All load cases, in the order in which results show them."""
