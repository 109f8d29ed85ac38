"""Changes that make a failing check pass, smallest first.

Each value of the file that could bear on the gap is changed a little and the bike solved again. The
slope gives the change that closes the shortfall; it is tried and corrected until the check passes
(the secant method). Parts that come in sizes are tried size by size. A change that closes the gap is
then checked whole, and offered only if nothing else falls short on the changed bike that did not
before.
"""

from __future__ import annotations

import math
import re
from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, get_args

from frame3d.clearance.advice.ways import Way, bottles, ways
from frame3d.clearance.check import (
    outcomes,
    refuse_unknown_extras,
    without_better,
)
from frame3d.clearance.lines import between
from frame3d.clearance.pairs import motions_of
from frame3d.clearance.result import Line, Report, Result, Unchecked
from frame3d.clearance.scalar_checks import FIGURE_CHECKS
from frame3d.clearance.scene import Scene
from frame3d.errors import FrameError
from frame3d.parameters.models.mating import BottleSpec
from frame3d.parameters.sizes import standards

_NUDGE = {"mm": 0.5, "degrees": 0.1}
_OFFERED = 4
_ROUNDS = 6
_PER_UNIT = 10
"""Changes are offered in steps of 1/10 of a millimetre or degree."""
_EXCHANGED = 10.0
"""Millimetres of post travel that count as one millimetre of change when remedies are sorted."""
LEAST_STOP = 60
"""Smallest stop that is offered [degrees]: JIS D 9301 asks for at least 60 to each side."""
_STOPPED = 10.0
"""What a headset stop counts as when remedies are sorted [mm]."""
_SIDE = 5.0
"""What another side of its tube counts as for a bottle when remedies are sorted [mm]."""


class _Bike:
    """A changed bike that is tried, with the checks made of it so far."""

    def __init__(self, scene: Scene) -> None:
        self.scene = scene
        self._margins: dict[Hashable, float | None] = {}
        self._made: dict[str, list[Result]] = {}
        self._short: frozenset[Line] | None = frozenset()
        self._is_checked = False

    def check(self, name: str) -> list[Result]:
        """Return what falls short in one check, and little else."""
        if name not in self._made:
            made = outcomes(self.scene, names=frozenset({name}), only_short=True)
            self._made[name] = without_better([one for one in made if isinstance(one, Result)])
        return self._made[name]

    def margin(self, result: Result) -> float | None:
        """Return the margin of a check on this bike; None if its bodies are not there.

        None too where its parts do not go together.
        """
        key = result.name, result.between, result.elsewhere
        if key not in self._margins:
            try:
                self._margins[key] = self._measured(result)
            except FrameError:
                self._margins[key] = None
        return self._margins[key]

    def _measured(self, result: Result) -> float | None:
        """Return the margin of its own two bodies; if these pass, the least on its line of the list."""
        margin = margin_of(self.scene, result)
        if margin is None or margin < 0:
            return margin
        listed = self.check(result.name)
        return min([margin, *(r.margin for r in listed if r.line == result.line)])

    def passes(self, result: Result) -> bool:
        """Return whether a check passes on this bike."""
        margin = self.margin(result)
        return margin is not None and margin >= 0

    def short(self, names: frozenset[str], failing: frozenset[Line]) -> frozenset[Line] | None:
        """Return the lines that fall short; None if any other than those of the bike as it is.

        None too where something could not be checked.

        Args:
            names: of the checks that are made, always the same.
            failing: lines that fall short on the bike as it is.
        """
        if not self._is_checked:
            self._short = self._decided(names, failing)
            self._is_checked = True
        return self._short

    def _decided(self, names: frozenset[str], failing: frozenset[Line]) -> frozenset[Line] | None:
        # Most bikes that come here pass, so all gaps are measured together; figures come last.
        found: list[Result] = []
        for outcome in outcomes(self.scene, names=names, only_short=True):
            if isinstance(outcome, Unchecked):
                return None
            found.append(outcome)
            is_new = not outcome.ok and outcome.line not in failing
            if is_new and outcome in without_better(found):
                return None
        return frozenset(r.line for r in without_better(found) if not r.ok)


@dataclass(frozen=True)
class _Mend:
    size: float
    """Size of the change, for sorting [mm]."""
    text: str
    bike: _Bike


class Remedies:
    """Search for what would make failing results of one scene pass; tried bikes are kept."""

    def __init__(self, scene: Scene, report: Report) -> None:
        """Begin with nothing tried.

        Args:
            scene: the bike.
            report: every check of it.
        """
        self.scene = scene
        self._failing = frozenset(r.line for r in report.results if not r.ok)
        self._names = frozenset(r.name for r in report.results)
        self._warned = _warnings(scene)
        self._tried: dict[Hashable, _Bike | None] = {}

    def mends(self, result: Result) -> tuple[str, ...]:
        """Return what would make a failing result pass: texts, smallest change first."""
        found = sorted(self._closing(result), key=lambda m: m.size)
        sound = (m.text for m in found if self._is_sound(m.bike, result))
        return tuple(text for text, _ in zip(sound, range(_OFFERED), strict=False))

    def _closing(self, result: Result) -> Iterator[_Mend]:
        """Yield every change that closes the gap, whatever else comes of it."""
        for way in ways(self.scene, result):
            yield from self._along(way, result)
        yield from self._smaller_tyre(result)
        yield from self._fewer_teeth(result)
        yield from self._less_drop(result)
        yield from self._other_side(result)
        yield from self._stop(result)

    def _is_sound(self, bike: _Bike, result: Result) -> bool:
        """Return whether a check passes, and nothing new falls short or is warned of."""
        if not _warnings(bike.scene) <= self._warned:
            return False
        short = [r for r in bike.check(result.name) if not r.ok]
        if any(r.line == result.line or r.line not in self._failing for r in short):
            return False
        try:
            left = bike.short(self._names, self._failing)
        except FrameError:  # it cannot stand with its chain tensioned otherwise
            return False
        return left is not None and result.line not in left

    def _bike(self, values: Mapping[str, Any], *, exchanged: bool = False) -> _Bike | None:
        """Return the bike with other values, by design or by exchange; None where it cannot be made."""
        key = (exchanged, tuple(values.items()))
        if key not in self._tried:
            make = self.scene.with_parts if exchanged else self.scene.redesigned
            try:
                scene = make(values)
                refuse_unknown_extras(scene)
                self._tried[key] = _Bike(scene)
            except FrameError:
                self._tried[key] = None
        return self._tried[key]

    def _along(self, way: Way, result: Result) -> Iterator[_Mend]:
        """Yield the smallest change of one number that closes the gap, found by the secant method."""

        def at(value: float) -> tuple[_Bike | None, float | None]:
            bike = self._bike(dict.fromkeys(way.paths, value))
            return bike, None if bike is None else bike.margin(result)

        here = result.margin
        for nudge in (_NUDGE[way.unit], -_NUDGE[way.unit]):
            _, moved = at(way.start + nudge)
            if moved is not None:
                break
        if moved is None or abs(moved - here) < 1e-3 * abs(nudge):
            return
        change = -here / ((moved - here) / nudge)
        for _ in range(_ROUNDS):
            if not math.isfinite(change) or abs(change) > way.largest:
                return
            value = _rounded_away(way.start, change)
            change = value - way.start
            bike, margin = at(value)
            if bike is None or margin is None:
                return
            if margin >= 0:
                mark = "°" if way.unit == "degrees" else " mm"
                text = f"{' and '.join(way.paths)} {change:+.1f}{mark} (to {value:.1f})"
                yield _Mend(abs(change) * way.cost, text, bike)
                return
            gained = margin - here
            if gained <= 0:
                return
            change *= min(max(-here / gained, 1.0) * 1.02, 3.0)

    def _exchanged(self, path: str, value: Any, result: Result) -> _Bike | None:
        """Return the same frame with one value of its parts exchanged if that closes the gap."""
        bike = self._bike({path: value}, exchanged=True)
        return bike if bike is not None and bike.passes(result) else None

    def _first(
        self, path: str, sizes: Sequence[Any], result: Result
    ) -> Iterator[tuple[Any, _Bike]]:
        """Yield the first of some sizes of a part that passes; sizes must fit better and better."""
        if not sizes or (best := self._exchanged(path, sizes[-1], result)) is None:
            return
        low, high = -1, len(sizes) - 1
        while high - low > 1:
            middle = (low + high) // 2
            bike = self._exchanged(path, sizes[middle], result)
            if bike is None:
                low = middle
            else:
                high, best = middle, bike
        yield sizes[high], best

    def _smaller_tyre(self, result: Result) -> Iterator[_Mend]:
        """Yield the next narrower tyre that passes on the same rim, the frame as it stands."""
        for where in ("rear", "front"):
            if f"{where}_tyre" not in (result.between or ()):
                continue
            wheel = getattr(self.scene.spec.build, f"{where}_wheel")
            if wheel is None or not isinstance(wheel.tyre, str):
                continue
            tyre, path = standards.tyre(wheel.tyre), f"build.{where}_wheel.tyre"
            widths = range(int(tyre.width) - 1, max(int(tyre.width) - 30, 18), -1)
            names = [f"{width}-{tyre.bead_seat:g}" for width in widths]
            for name, bike in self._first(path, names, result):
                narrower = tyre.width - standards.tyre(name).width
                yield _Mend(narrower, f"{path} {name} on the frame as it stands", bike)

    def _fewer_teeth(self, result: Result) -> Iterator[_Mend]:
        """Yield the next smaller chainring that passes.

        Tried one by one, as with very few teeth the chain comes down onto the stay.
        """
        ring, path = self.scene.spec.build.chainring, "build.chainring.teeth"
        if ring is None or not any("chain" in n for n in result.between or ()):
            return
        for teeth in range(ring.teeth - 1, max(ring.teeth - 12, 18), -1):
            bike = self._exchanged(path, teeth, result)
            if bike is not None:
                yield _Mend(float(ring.teeth - teeth) * 2, f"{path} {teeth}", bike)
                return

    def _less_drop(self, result: Result) -> Iterator[_Mend]:
        """Yield the next shorter dropper post that passes, in steps of 5 mm."""
        post, path = self.scene.spec.build.seatpost, "build.seatpost.travel"
        lowered = "saddle_dropped" in (result.between or ()) or result.name == "seatpost_exposure"
        if post is None or not lowered:
            return
        travels = [5.0 * steps for steps in range(math.ceil(post.travel / 5) - 1, 0, -1)]
        for travel, bike in self._first(path, travels, result):
            change = post.travel - travel
            text = f"{path} {-change:+g} mm (to {travel:g})"
            yield _Mend(change / _EXCHANGED, text, bike)

    def _stop(self, result: Result) -> Iterator[_Mend]:
        """Yield the widest headset stop that passes, in steps of 5 degrees."""
        path, turned = "build.headset.stop", abs(result.at.get("steer", 0.0))
        if self.scene.spec.build.headset is None or turned < LEAST_STOP:
            return
        high = min(math.ceil(turned / 5) * 5 - 5, 175)
        stops = [float(stop) for stop in range(high, LEAST_STOP - 1, -5)]
        for stop, bike in self._first(path, stops, result):
            yield _Mend(_STOPPED, f"{path} {stop:g}", bike)

    def _other_side(self, result: Result) -> Iterator[_Mend]:
        """Yield another side of its tube for a bottle."""
        spec = self.scene.spec
        for i in bottles(spec, result.between or ()):
            path = f"build.bottles.{i}.side"
            for side in get_args(BottleSpec.model_fields["side"].annotation):
                bike = self._bike({path: side})
                if bike is not None and bike.passes(result):
                    # There are only two sides, each with two names.
                    yield _Mend(_SIDE, f"{path} {side}", bike)
                    break


def _rounded_away(start: float, change: float) -> float:
    """Return `start` + `change` in tenths, as it is printed, rounded away from the start."""
    tenths = (start + change) * _PER_UNIT
    whole = math.ceil(tenths - 1e-9) if change > 0 else math.floor(tenths + 1e-9)
    return whole / _PER_UNIT


def margin_of(scene: Scene, result: Result) -> float | None:
    """Return the margin of the same check between the same bodies in another scene, or None."""
    slid, turned = result.slide, result.insert
    if slid is not None:
        slide = scene.spec.build.slide
        if slide is None:
            return None
        slid = min(slid, slide.length)
    if turned is not None:
        insert = scene.spec.build.insert
        if insert is None:
            return None
        turned = min(max(turned, insert.range[0]), insert.range[1])
    scene = scene.at(slid, turned)
    if result.name in FIGURE_CHECKS:
        scene.some()
        outcomes = FIGURE_CHECKS[result.name](scene)
        return next((o.margin for o in outcomes if isinstance(o, Result)), None)
    assert result.between is not None
    a, b = scene.some(*result.between)
    if a is None or b is None:
        return None
    motions = motions_of(result.name)
    gap = between(a, b, scene, motions)
    return None if gap is None else gap.gap - gap.error - result.required


def _warnings(scene: Scene) -> set[tuple[str, str]]:
    """Return the warnings on a bike: their paths, and their messages without numbers."""
    notes = scene.bike.warnings
    return {(note.path, re.sub(r"[\d.]+", "", note.message)) for note in notes}
