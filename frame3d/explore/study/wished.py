"""Read what a study wishes and prefers, held against what the bike has."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from difflib import get_close_matches
from typing import Any, Final, Literal

from frame3d.clearance.scalar_checks import FIGURE_CHECKS
from frame3d.explore.study.collector import Collector
from frame3d.explore.study.models import (
    ChartLimitsSpec,
    CurveLimits,
    CurveLimitsSpec,
    Limits,
    LimitsSpec,
    PreferenceSpec,
)
from frame3d.explore.study.needs import beyond_chart, gear_fault, lack_of
from frame3d.explore.study.quantities import (
    CHECKS,
    GAP,
    KINDS,
    RIDE,
    STIFFNESS,
    STIFFNESS_SHARE,
    gap_of,
    label_of,
    quantity,
    ride_figure,
    scale_of,
    stiffness_in,
)
from frame3d.explore.study.ride_figures import RideFigures
from frame3d.explore.study.stiffness_figures import StiffnessFigures
from frame3d.explore.study.study import ALL, Preference, Quantity, Wish
from frame3d.parameters.models.base import unknown
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.reading.tree import join
from frame3d.parameters.requirements import REQUIREMENTS

SECTION: Final = "wishes"
PREFER: Final = "prefer"
Checks = tuple[str, ...] | Literal["all"]


@dataclass(frozen=True)
class Asked:
    """The bike of which something is asked, and where faults go."""

    spec: FrameSpec
    varied: Collection[str]
    """Dotted paths that vary."""
    said: Collector
    ride: RideFigures
    stiffness: StiffnessFigures

    @property
    def checks(self) -> tuple[str, ...]:
        """Names of the checks that the bike has."""
        extra = tuple(f"extra.{i}" for i in range(len(self.spec.clearance.extra)))
        return (*REQUIREMENTS, *extra)


# -- wishes -----------------------------------------------------------------------------------------


def wishes_of(section: Mapping[str, Any], asked: Asked) -> tuple[Wish, ...]:
    """Return the wishes in the order of the study, without `checks`; faults are added."""
    found: list[Wish] = []
    for name, data in section.items():
        here = join(SECTION, name)
        if name == CHECKS:
            continue
        if name == GAP:
            found += _gaps(data, here, asked)
        elif name.startswith(RIDE):
            found += _of_ride(name.removeprefix(RIDE), data, here, asked)
        elif name == RIDE[:-1] and isinstance(data, dict):
            for inner, limits in data.items():
                found += _of_ride(inner, limits, join(here, inner), asked)
        elif name.startswith(STIFFNESS):
            found += _of_stiffness(name.removeprefix(STIFFNESS), data, here, asked)
        elif name == STIFFNESS[:-1]:
            found += _of_cases(data, here, asked)
        elif name in KINDS:
            found += _of_kind(name, data, here, asked)
        else:
            _unknown(name, here, asked)
    _refuse_same(found, asked.said)
    return tuple(found)


def checks_of(section: Mapping[str, Any], asked: Asked) -> Checks:
    """Return the checks that must pass: ``all``, or names; none where the study has no such key."""
    if CHECKS not in section:
        return ()
    here = join(SECTION, CHECKS)
    data = section[CHECKS]
    if data == ALL:
        return ALL
    names = (data,) if isinstance(data, str) else data
    if not isinstance(names, tuple) or not names:
        way = "write checks: all, or names in brackets: [rear_tyre_to_frame, chain_to_frame]"
        asked.said.add("wrong-type", here, "neither all nor a list of checks", way)
        return ()
    for i, name in enumerate(names):
        path = f"{here}.{i}" if names is data else here
        _refuse_check(str(name), path, asked)
    return tuple(str(name) for name in names)


def _refuse_check(name: str, path: str, asked: Asked) -> bool:
    """Return whether a name is no check that the bike makes; the fault is added then."""
    if name not in asked.checks:
        problem = unknown(path, "check", name, asked.checks)
        asked.said.add(problem.code, path, problem.message, problem.hint)
        return True
    if name in asked.spec.clearance.skip:
        way = "take it out of clearance.skip in the bike's file, or do not ask for it"
        asked.said.add("inconsistent", path, f"the bike's file leaves {name} out", way)
        return True
    return False


def _gaps(data: Any, here: str, asked: Asked) -> Iterator[Wish]:
    """Yield wishes for the gaps of single checks."""
    if not isinstance(data, dict) or not data:
        way = "e.g. gap: {rear_tyre_to_frame: {from: 8}}"
        asked.said.add("wrong-type", here, "checks by name, with their limits, are wanted", way)
        return
    for name, limits in data.items():
        path = join(here, name)
        if _refuse_check(name, path, asked):
            continue
        spec = asked.said.model(LimitsSpec, limits, path)
        if spec is not None:
            unit = REQUIREMENTS[name].unit if name in REQUIREMENTS else "mm"
            yield _wish(gap_of(name, unit, single=name in FIGURE_CHECKS), spec, path, asked)


def _of_ride(name: str, data: Any, here: str, asked: Asked) -> Iterator[Wish]:
    """Yield the wish for a figure of the ride."""
    spec = asked.said.model(LimitsSpec, data, here)
    lack = asked.ride.lack(name)
    if lack is not None:
        asked.said.add("not-allowed", here, *lack, at_key=True)
    elif spec is not None:
        yield _wish(ride_figure(name), spec, here, asked)


def _of_cases(data: Any, here: str, asked: Asked) -> Iterator[Wish]:
    """Yield the wishes for the stiffness in several load cases."""
    if not isinstance(data, dict) or not data:
        way = "e.g. stiffness: {head_twist: {from: 95}}"
        asked.said.add("wrong-type", here, "load cases by name, with their limits, are wanted", way)
        return
    for name, limits in data.items():
        yield from _of_stiffness(name, limits, join(here, name), asked)


def _of_stiffness(name: str, data: Any, here: str, asked: Asked) -> Iterator[Wish]:
    """Yield the wish for the stiffness in a load case; a miss counts by its share of the limit."""
    spec = asked.said.model(LimitsSpec, data, here)
    lack = asked.stiffness.lack(name)
    if lack is not None:
        asked.said.add("not-allowed", here, *lack, at_key=True)
        return
    if spec is None:
        return
    for limit in (spec.low, spec.to):
        if limit is not None and limit <= 0:
            message = f"a stiffness of {limit:g} is none"
            asked.said.add("out-of-range", here, message, "limits above 0")
            return
    limit = spec.low if spec.low is not None else spec.to
    assert limit is not None
    yield replace(_wish(stiffness_in(name), spec, here, asked), scale=STIFFNESS_SHARE * limit)


def _of_kind(name: str, data: Any, here: str, asked: Asked) -> Iterator[Wish]:
    """Yield the wishes for one quantity, of which the study may have a list."""
    if isinstance(data, tuple):
        for i, item in enumerate(data):
            yield from _of_kind(name, item, join(here, str(i)), asked)
        return
    kind = KINDS[name]
    if kind.has_place:
        curve = asked.said.model(CurveLimitsSpec, data, here)
        if curve is not None:
            yield from _on_curve(name, curve, here, asked)
        return
    if kind.stage == "chart":
        limits = asked.said.model(ChartLimitsSpec, data, here)
        if limits is None:
            return
        wanted = _quantity(name, limits.at, None, here, asked)
        if wanted is not None:
            yield _wish(wanted, limits, here, asked)
        return
    plain = asked.said.model(LimitsSpec, data, here)
    wanted = None if plain is None else _quantity(name, None, None, here, asked)
    if wanted is not None and plain is not None:
        yield _wish(wanted, plain, here, asked)


def _on_curve(name: str, spec: CurveLimits, here: str, asked: Asked) -> Iterator[Wish]:
    """Yield the wishes for a curve: one, or one for each place with a value."""
    if not spec.points:
        wanted = _quantity(name, spec.at, spec.gear, here, asked)
        if wanted is not None:
            yield _wish(wanted, spec, here, asked)
        return
    assert spec.within is not None
    for place, value in spec.points.items():
        wanted = _quantity(name, place, spec.gear, here, asked)
        if wanted is None:
            return
        limits = (value - spec.within, value + spec.within)
        label = label_of(wanted)
        yield Wish(
            label, wanted, *limits, scale_of(wanted.unit), asked.said.place(join(here, place))
        )


def _wish(wanted: Quantity, limits: Limits, here: str, asked: Asked) -> Wish:
    """Return the wish for a quantity."""
    place = asked.said.place(here)
    return Wish(label_of(wanted), wanted, limits.low, limits.to, scale_of(wanted.unit), place)


def _refuse_same(wishes: list[Wish], said: Collector) -> None:
    """Add a fault for each quantity that is wished twice."""
    first: dict[str, Wish] = {}
    for wish in wishes:
        other = first.setdefault(wish.label, wish)
        if other is wish:
            continue
        path = join(SECTION, wish.quantity.name)
        low = max((x for x in (wish.low, other.low) if x is not None), default=None)
        high = min((x for x in (wish.high, other.high) if x is not None), default=None)
        if low is not None and high is not None and low > high:
            said.add(
                "contradictory",
                path,
                f"two wishes for {wish.label} contradict: at least {low:g} and at most {high:g}",
                "leave one of them out",
            )
        else:
            said.add("duplicate-key", path, f"{wish.label} is wished twice", "write one range")


# -- preferences ------------------------------------------------------------------------------------


def preferences_of(data: Any, asked: Asked) -> tuple[Preference, ...]:
    """Return what the study prefers, in its order; faults are added."""
    if data is None:
        return ()
    several = isinstance(data, tuple)
    found: list[Preference] = []
    for i, item in enumerate(data if several else (data,)):
        here = join(PREFER, str(i)) if several else PREFER
        spec = asked.said.model(PreferenceSpec, item, here)
        if spec is None:
            continue
        wanted = _preferred(spec, here, asked)
        if wanted is None:
            continue
        label = label_of(wanted)
        if any(other.label == label for other in found):
            message = f"{label} stands here twice"
            asked.said.add("duplicate-key", here, message, "once, least or most")
            continue
        found.append(Preference(label, wanted, spec.least is not None, asked.said.place(here)))
    return tuple(found)


def _preferred(spec: PreferenceSpec, here: str, asked: Asked) -> Quantity | None:
    """Return the quantity of a preference; None where it is at fault."""
    name = spec.wanted
    at = join(here, "least" if spec.least is not None else "most")
    if name in KINDS:
        return _quantity(name, spec.at, spec.gear, at, asked)
    for key in ("at", "gear"):
        if getattr(spec, key) is not None:
            asked.said.add("inconsistent", join(here, key), f"{name} has none", f"leave {key} out")
            return None
    for prefix, figures, made in (
        (RIDE, asked.ride, ride_figure),
        (STIFFNESS, asked.stiffness, stiffness_in),
    ):
        if name.startswith(prefix):
            lack = figures.lack(name.removeprefix(prefix))
            if lack is None:
                return made(name.removeprefix(prefix))
            asked.said.add("not-allowed", at, *lack)
            return None
    if name.startswith(f"{GAP}."):
        check = name.removeprefix(f"{GAP}.")
        if _refuse_check(check, at, asked):
            return None
        unit = REQUIREMENTS[check].unit if check in REQUIREMENTS else "mm"
        return gap_of(check, unit, single=check in FIGURE_CHECKS)
    _unknown(name, at, asked)
    return None


# -- quantities -------------------------------------------------------------------------------------


def _quantity(
    name: str,
    at: str | float | None,
    gear: tuple[int, int] | None,
    here: str,
    asked: Asked,
) -> Quantity | None:
    """Return a quantity of `KINDS`; None where the bike has not what it needs, which is added."""
    kind = KINDS[name]
    said, spec = asked.said, asked.spec
    is_chart = kind.stage == "chart"
    if at is not None and not kind.has_place and not (is_chart and at == "sag"):
        way = "leave at out" if not is_chart else "at: sag, or leave at out"
        said.add("not-allowed", join(here, "at"), f"{name} is one figure of the bike", way)
        return None
    lack = lack_of(name, spec, at, stance_sag=is_chart and at == "sag")
    if lack is not None:
        message = f"this bike has {lack.what}, and so no {name}"
        if at == "sag":
            message = f"this bike has {lack.what}"
        said.add("not-allowed", here, message, f"{lack.way} in its file, or do not ask for it")
        return None
    wrong = gear_fault(kind, gear, spec, asked.varied)
    if wrong is not None:
        path = here if gear is None else join(here, "gear")
        code = "missing-key" if gear is None else "not-allowed"
        said.add(code, path, f"{name} {wrong.what}", wrong.way)
        return None
    if kind.has_place and at is None and kind.place is None:
        way = "at: start, sag or end, or the rear wheel's travel in mm"
        said.add("missing-key", here, f"{name} is a curve over the travel", way)
        return None
    if is_chart:
        return quantity(
            name,
            stance="static" if at is None else "sag",
            beyond_chart=at is None and beyond_chart(name, spec),
        )
    if kind.gears == "one" and gear is None:
        assert spec.build.chainring is not None
        assert spec.build.cassette is not None
        gear = (spec.build.chainring.teeth, spec.build.cassette.cogs[0])
    return quantity(name, at=at, gear=gear)


def _unknown(name: str, here: str, asked: Asked) -> None:
    """Add the fault of a quantity that there is not."""
    known = (*KINDS, CHECKS, GAP, STIFFNESS[:-1])
    if name in asked.checks:
        way = f"a check's gap stands under gap: {{{name}: {{from: 8}}}}"
    else:
        near = get_close_matches(name, known, n=3, cutoff=0.6)
        way = f"did you mean {' or '.join(near)}? " if near else f"known here: {', '.join(known)}; "
        way += "figures of the ride begin with ride., load cases of the frame with stiffness."
    is_key = here.startswith(SECTION)
    asked.said.add("unknown-key", here, f"there is no quantity {name}", way, at_key=is_key)
