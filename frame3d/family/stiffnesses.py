"""The stiffness of several bikes beside the first of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from frame3d.errors import Fault, FrameError, SourceLocation, SpecError
from frame3d.family.members import Member, labels, solve_family
from frame3d.family.wanted import Unread, Wanted
from frame3d.stiffness.comparison import Comparison, compare
from frame3d.stiffness.gains import Gain, gains_of
from frame3d.stiffness.of_bike import Stiffness, stiffness_of


@dataclass(frozen=True, slots=True)
class Stiffnesses:
    """Frames and their stiffness; the first is the reference."""

    members: tuple[Member, ...]
    results: tuple[Stiffness, ...]
    """One a member."""
    comparisons: tuple[Comparison, ...]
    """One for each member after the first."""
    gains: tuple[Gain, ...]
    """What a little more of each tube's sizes does to the first."""
    faults: tuple[Fault, ...]
    """Why bikes that are named are missing, or load cases of theirs."""


def stiffnesses_of(
    wanted: Sequence[Wanted | Unread], travel: float | None = None, reference: str | None = None
) -> Stiffnesses:
    """Return the stiffness of bikes that are named.

    Args:
        wanted: from `frame3d.family.wanted.wanted_of`.
        travel: wheel travel at which suspended frames stand [mm]; None for full extension.
        reference: label of the bike that the others are held against; None for the first.

    Raises:
        FrameError: none can be made, the travel is beyond the first's, or no bike has that label.
    """
    family = solve_family(_led_by(reference, wanted), fewest=1)
    members: list[Member] = []
    results: list[Stiffness] = []
    faults = list(family.faults)
    for member in family.members:
        against: Sequence[Fault]
        try:
            results.append(found := stiffness_at(member, travel))
            members.append(member)
            against = found.faults
        except FrameError as error:
            against = error.faults
        faults += [replace(f, message=f"{member.label}: {f.message}") for f in against]
    if not results:
        raise SpecError(tuple(faults))
    others = compare(results[0], results[1:])
    return Stiffnesses(tuple(members), tuple(results), others, gains_of(results[0]), tuple(faults))


def _led_by(reference: str | None, wanted: Sequence[Wanted | Unread]) -> list[Wanted | Unread]:
    """Return the bikes with the reference before the others.

    Raises:
        SpecError: none of them has that label.
    """
    named = labels(wanted)
    if reference is None:
        return list(wanted)
    if reference not in named:
        hint = f"one of {', '.join(named)}"
        place = SourceLocation(f"--reference {reference}")
        raise SpecError(Fault("comparison", "", "no bike has this label", hint, place))
    at = named.index(reference)
    return [wanted[at], *wanted[:at], *wanted[at + 1 :]]


def stiffness_at(member: Member, travel: float | None) -> Stiffness:
    """Return one bike's stiffness; a frame without rear suspension has no travel.

    Raises:
        FrameError: the travel is beyond its own, or no stiffness can be told.
    """
    linkage = member.bike.linkage
    if linkage is None:
        return stiffness_of(member.bike)
    if travel is not None and travel > linkage.full_travel:
        raise SpecError(
            Fault(
                "override",
                "",
                f"{travel:g} mm is beyond the wheel's travel",
                f"at most {linkage.full_travel:.4g}",
                SourceLocation("--travel"),
            )
        )
    return stiffness_of(member.bike, travel)
