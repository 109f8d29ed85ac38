"""What a quantity needs of the bike's file, and what the file would have to give for it."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from frame3d.chart.givens import relations_for
from frame3d.chart.relations import variables
from frame3d.explore.study.quantities import KINDS, Kind, Needs
from frame3d.parameters.models.figures import STANDOVERS
from frame3d.parameters.models.frame import FrameSpec


@dataclass(frozen=True, slots=True)
class Lack:
    """What a bike has not, and what gives it."""

    what: str
    way: str


def lack_of(name: str, spec: FrameSpec, at: str | float | None, *, stance_sag: bool) -> Lack | None:
    """Return what a bike lacks for a quantity; None where it has everything.

    Args:
        name: of the quantity, a key of `KINDS`.
        spec: the bike's file.
        at: where on a curve.
        stance_sag: whether a chart figure is taken at sag.
    """
    kind = KINDS[name]
    for needed in kind.needs:
        lack = _lack(needed, spec)
        if lack is not None:
            return lack
    if name in STANDOVERS and "top_tube" not in spec.tubes:
        return Lack("no tube named top_tube", "describe tubes.top_tube")
    if stance_sag:
        return None if _is_sprung(spec) else Lack(_STIFF.what, _STIFF.way)
    if (at == "sag" or kind.needs_sag) and not has_rear_sag(spec):
        return Lack(
            "no sag at the rear",
            "give suspension.sag: 30%, or suspension.spring with build.rider.mass_kg",
        )
    return None


def gear_fault(
    kind: Kind, gear: tuple[int, int] | None, spec: FrameSpec, varied: Collection[str]
) -> Lack | None:
    """Return what is wrong with the gear of a quantity; None where it is right.

    Args:
        kind: of the quantity.
        gear: teeth of chainring and cog; None where the study names none.
        spec: the bike's file.
        varied: dotted paths that vary, so that a gear may come about.
    """
    ring = None if spec.build.chainring is None else spec.build.chainring.teeth
    cogs = () if spec.build.cassette is None else spec.build.cassette.cogs
    shown = "" if ring is None or not cogs else f"{ring}x{cogs[len(cogs) // 2]}"
    if kind.gears == "none":
        return None if gear is None else Lack("is the same in every gear", "leave gear out")
    if gear is None:
        if kind.gears == "any" or len(cogs) == 1:
            return None
        return Lack("depends on the gear", f"name one, e.g. gear: {shown}")
    changes = any(path.startswith(("build.chainring", "build.cassette")) for path in varied)
    if not changes and (gear[0] != ring or gear[1] not in cogs):
        have = ", ".join(str(cog) for cog in cogs)
        return Lack(
            f"is asked in a gear that the bike has not, {gear[0]}x{gear[1]}",
            f"its chainring has {ring} teeth, its cogs {have}",
        )
    return None


def has_rear_sag(spec: FrameSpec) -> bool:
    """Return whether the file says, or lets find, how far the rear sags."""
    rear = spec.suspension
    if rear is None:
        return False
    return rear.sag is not None or (rear.spring is not None and spec.build.rider is not None)


def beyond_chart(name: str, spec: FrameSpec) -> bool:
    """Return whether only the tubes in place give a chart figure: standover under a bent top tube."""
    return name in STANDOVERS and name not in variables(relations_for(spec))


_STIFF = Lack("nothing that sags", "leave at out, or give the fork travel and sag")


def _is_sprung(spec: FrameSpec) -> bool:
    """Return whether fork or rear suspension sag."""
    fork = spec.build.fork
    has_fork = fork is not None and fork.travel * fork.sag > 0
    return has_fork or (spec.suspension is not None and spec.suspension.sag is not None)


def _lack(needed: Needs, spec: FrameSpec) -> Lack | None:
    """Return what a bike lacks for one need."""
    rear, build = spec.suspension, spec.build
    if needed == "suspension":
        return Lack("no rear suspension", "describe one under suspension") if rear is None else None
    if needed == "chain":
        missing = [n for n in ("chainring", "cassette") if getattr(build, n) is None]
        way = " and ".join(f"build.{name}" for name in missing)
        return Lack("no chain", f"describe {way}") if missing else None
    has_spring = rear is not None and rear.spring is not None
    return None if has_spring else Lack("no rear spring", "describe suspension.spring")
