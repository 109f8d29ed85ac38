"""What a study can ask for: quantities of a bike, when each is known, its unit, and what it needs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from frame3d.explore.study.study import Quantity, Stage, Stance
from frame3d.parameters.models.figures import FIGURES, title, unit
from frame3d.ride.units import unit_of
from frame3d.stiffness.load_cases import CASES

Needs = Literal["suspension", "chain", "spring"]
Gears = Literal["none", "one", "any"]
"""Whether a quantity depends on the gear: not; and one must be named; or the greatest of all counts."""
RIDE: Final = "ride."
"""Before the names of figures of the ride, as ``frame3d solve --ride --json`` has them."""
STIFFNESS: Final = "stiffness."
"""Before the names of load cases, as ``frame3d stiffness --json`` has them."""
STIFFNESS_SHARE: Final = 0.01
"""Share of a wished stiffness that counts as 1 (our own choice): load cases differ too much for one miss
in their unit."""
GAP: Final = "gap"
"""Key of single checks, and what their labels begin with."""
CHECKS: Final = "checks"
"""Key of the checks that must pass, and what their labels begin with."""

SCALES: Final = {
    "mm": 1.0,
    "degrees": 0.1,
    "%": 1.0,
    "g": 10.0,
    "kg": 0.01,
    "N": 10.0,
    "N·m": 0.1,
    "N/mm": 0.1,
    "N·s/m": 10.0,
    "Hz": 0.02,
    "s": 0.01,
    "J": 1.0,
    "m/s": 0.1,
    "1/mm": 0.0005,
}
"""Unit -> the miss that counts as 1, about as hard to mend in each (our own choice)."""
PLAIN_SCALE: Final = 0.01
"""The same for plain numbers, such as a leverage ratio, and for units that are not in `SCALES`."""


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of quantity that a study names by one word."""

    title: str
    stage: Stage
    unit: str
    has_place: bool = False
    """Whether it is a curve over the travel, so that ``at`` says where."""
    place: str | None = None
    """Where on the curve, if the study does not say; None where it must."""
    gears: Gears = "none"
    needs: tuple[Needs, ...] = ()
    needs_sag: bool = False


STIFFNESS_UNITS: Final = {case.key: case.unit for case in CASES}
"""Load case -> unit of its stiffness."""

_REAR: Final[tuple[Needs, ...]] = ("suspension",)
_CHAIN: Final[tuple[Needs, ...]] = ("suspension", "chain")
_SPRING: Final[tuple[Needs, ...]] = ("suspension", "spring")
_END: Final = "end"

KINDS: Final[dict[str, Kind]] = {
    **{figure: Kind(title(figure), "chart", unit(figure)) for figure in FIGURES},
    "travel": Kind("Rear wheel travel", "linkage", "mm", needs=_REAR),
    "leverage": Kind("Leverage ratio", "linkage", "", has_place=True, needs=_REAR),
    "mean_leverage": Kind("Mean leverage ratio", "linkage", "", needs=_REAR),
    "leverage_slope": Kind(
        "Slope of the leverage ratio over the stroke", "linkage", "1/mm", has_place=True, needs=_REAR
    ),
    "progression": Kind(
        "Fall of the leverage ratio from start to end", "linkage", "%", needs=_REAR
    ),
    "anti_squat": Kind(
        "Anti-squat", "linkage", "%", has_place=True, gears="one", needs=_CHAIN
    ),
    "anti_rise": Kind("Anti-rise", "linkage", "%", has_place=True, needs=_REAR),
    "chain_growth": Kind(
        "Chain growth from full extension", "linkage", "mm", True, _END, "any", _CHAIN
    ),
    "kickback": Kind(
        "Pedal kickback from full extension", "linkage", "degrees", True, _END, "any", _CHAIN
    ),
    "kickback_from_sag": Kind(
        "Pedal kickback from sag", "linkage", "degrees", True, _END, "any", _CHAIN, needs_sag=True
    ),
    "wheelbase_growth": Kind(
        "Growth of the wheelbase, the fork at the same share of its travel",
        "linkage", "mm", True, _END, needs=_REAR,
    ),
    "chainstay_growth": Kind(
        "Growth of the distance from bottom bracket to rear axle",
        "linkage", "mm", True, _END, needs=_REAR,
    ),
    "wheel_force": Kind(
        "Vertical spring force at the rear wheel", "linkage", "N", True, _END, needs=_SPRING
    ),
    "wheel_rate": Kind(
        "Spring rate at the rear wheel", "linkage", "N/mm", has_place=True, needs=_SPRING
    ),
    "mass": Kind("Mass of the bare frame's tubes, shell and housings", "placement", "g"),
}  # fmt: skip
"""Name in a study -> its kind; chart figures first."""


def scale_of(unit: str) -> float:
    """Return the miss that counts as 1 for a quantity in a unit; see `SCALES`."""
    return SCALES.get(unit, PLAIN_SCALE)


def quantity(
    name: str,
    *,
    at: str | float | None = None,
    gear: tuple[int, int] | None = None,
    stance: Stance = "static",
    beyond_chart: bool = False,
) -> Quantity:
    """Return a quantity by its name in `KINDS`.

    Args:
        name: a key of `KINDS`.
        at: where on the curve; its kind's own place where None.
        gear: teeth of chainring and cog.
        stance: of a chart figure.
        beyond_chart: whether the chart alone does not give it (standover under a bent top tube).

    Raises:
        KeyError: there is no such kind.
    """
    kind = KINDS[name]
    stage: Stage = kind.stage
    if stance == "sag":
        stage = "linkage"
    if beyond_chart:
        stage = "placement"
    place = kind.place if at is None else at
    return Quantity(stage, name, place, gear, stance, kind.unit)


def gap_of(check: str, unit: str = "mm", *, single: bool = False) -> Quantity:
    """Return the least gap of a check; `single` for one that measures a single figure."""
    return Quantity("figures" if single else "pairs", check, unit=unit)


def ride_figure(name: str) -> Quantity:
    """Return a figure of the ride by its dotted name without ``ride.`` before it."""
    return Quantity("ride", name, unit=unit_of(name))


def stiffness_in(case: str) -> Quantity:
    """Return the stiffness in a load case by its name.

    Raises:
        KeyError: there is no such load case.
    """
    return Quantity("stiffness", case, unit=STIFFNESS_UNITS[case])


def label_of(wanted: Quantity) -> str:
    """Return a label for a quantity: ``trail``, ``trail.sag``, ``leverage.start``, ``kickback``,
    ``anti_squat.sag.32x24``, ``leverage.60mm``, ``gap.rear_tyre_to_frame``, ``ride.steering…``,
    ``stiffness.head_twist``.
    """
    if wanted.stage == "stiffness":
        return STIFFNESS + wanted.name
    if wanted.stage == "ride":
        return RIDE + wanted.name
    if wanted.name not in KINDS:
        return f"{GAP}.{wanted.name}"
    parts = [wanted.name]
    if wanted.stance == "sag":
        parts.append("sag")
    if wanted.at is not None and wanted.at != KINDS[wanted.name].place:
        parts.append(wanted.at if isinstance(wanted.at, str) else f"{wanted.at:g}mm")
    if wanted.gear is not None:
        parts.append(f"{wanted.gear[0]}x{wanted.gear[1]}")
    return ".".join(parts)
