"""What is said of dampers, natural frequencies and energy."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

HIT: Final = 0.7
"""Share of the travel from which returns begin: after a hit."""

Kind: TypeAlias = Literal["too_little", "quickest", "own", "too_much"]


@dataclass(frozen=True, slots=True)
class BodyReturn:
    """The return after a hit with one damping."""

    kind: Kind
    """``own`` is the damper that the file gives."""
    rebound_n_s_m: float
    """Low-speed rebound at the shaft [N s/m]."""
    of_critical_share: float
    """That as a share of the critical damping at the sag."""
    overshoot_share: float
    """Overshoot of a linear suspension with that ratio, as a share of its deflection."""
    overshoot: float
    """How far the body rises above its rest on this spring [mm at the wheel]."""
    back_s: float | None
    """Time from which on the body stays within 5 % of the hit's deflection; None where it is longer than
    followed."""
    wheel_back_s: float
    """Time in which the wheel alone returns to the sag: body still, wheel without mass and off the
    ground."""
    travel: tuple[float, ...]
    """Vertical travel at each of `EndRide.time_s` [mm]."""


@dataclass(frozen=True, slots=True)
class OwnLaw:
    """One direction of the file's damper."""

    low_n_s_m: float
    fast_n_s_m: float | None
    fast_from_m_s: float | None
    of_critical_share: tuple[float | None, ...]
    """Low-speed damping over the critical one, at each of `EndRide.travel`."""
    at_sag_share: float
    """The same at the sag."""
    force_n: tuple[float, ...]
    """Force at each of `OwnDamper.speed_m_s`."""


@dataclass(frozen=True, slots=True)
class OwnDamper:
    """The file's damper."""

    filmed: bool
    """Whether a filmed return settles the rebound."""
    speed_m_s: tuple[float, ...]
    """Speeds of the shaft."""
    rebound: OwnLaw | None
    compression: OwnLaw | None


@dataclass(frozen=True, slots=True)
class AtSag:
    """Figures at the sag."""

    travel: float
    """Vertical [mm]."""
    stroke: float
    """Of the shock, or along the fork's stanchions [mm]."""
    wheel_rate_n_mm: float
    frequency_hz: float
    frequency_with_tyre_hz: float | None
    wheel_hop_hz: float | None
    """Of the wheel between suspension and tyre; None where the tyre's pressure is not given."""
    critical_damping_n_s_m: float
    """At the wheel."""
    critical_damping_at_shaft_n_s_m: float


@dataclass(frozen=True, slots=True)
class EndRide:
    """Front or rear suspension: one mass on one spring, with a damper."""

    end: Literal["front", "rear"]
    sprung_kg: float
    """Mass that the spring carries."""
    unsprung_kg: float
    static_load_n: float
    """Vertical load at the wheel that the spring carries at rest."""
    tyre_rate_n_mm: float | None
    """Upper bound; None where the tyre's pressure is not given."""
    travel: tuple[float, ...]
    """Vertical travel of the wheel at n places, from full extension to full travel [mm]."""
    frequency_hz: tuple[float | None, ...]
    """Natural frequency at each; None where the wheel rate is not positive."""
    frequency_with_tyre_hz: tuple[float | None, ...] | None
    """With the tyre in series."""
    critical_damping_n_s_m: tuple[float | None, ...]
    """At the wheel, at each."""
    critical_damping_at_shaft_n_s_m: tuple[float | None, ...]
    """At the shaft, at each."""
    at_sag: AtSag
    energy_j: float
    """Energy that the spring takes to full travel."""
    energy_from_sag_j: float
    """Of that, what it takes beyond the sag."""
    end_force_n: float
    """Force of the spring at the wheel at full travel."""
    end_force_of_load_share: float
    """That as a multiple of the static load."""
    damper: OwnDamper | None
    hit: float
    """Travel from which the returns begin [mm]; they are left out where the sag is as deep."""
    hit_stroke: float
    """The same as a stroke of the shock, or along the stanchions [mm]."""
    time_s: tuple[float, ...]
    returns: tuple[BodyReturn, ...]

    def return_of(self, kind: Kind) -> BodyReturn | None:
        """Return the return of a kind; None where there is none."""
        return next((one for one in self.returns if one.kind == kind), None)


@dataclass(frozen=True, slots=True)
class Damping:
    """Dampers, natural frequencies and energy of a bike."""

    front: EndRide | None
    rear: EndRide | None
    assumptions: tuple[str, ...]
    left_out: tuple[str, ...]

    @property
    def ends(self) -> tuple[EndRide, ...]:
        """The ends of which something is said, the rear one first."""
        return tuple(end for end in (self.rear, self.front) if end is not None)
