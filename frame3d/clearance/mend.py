"""Mend: what would make a failing check pass, smallest change first.

Each value of the file that could bear on the gap is moved a little and the bike solved again; from the
slope follows the change that closes the shortfall, which is then tried and corrected until the check
passes. Only changes that were seen to work are offered.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from frame3d.bodies.mounts import MOTIONS
from frame3d.clearance.figures import FIGURE_CHECKS
from frame3d.clearance.pairs import PAIRS, between
from frame3d.clearance.result import Result
from frame3d.clearance.scene import Scene
from frame3d.errors import FrameError
from frame3d.spec import standards
from frame3d.spec.change import value_at
from frame3d.spec.figures import FIGURES, unit
from frame3d.spec.models import FrameSpec
from frame3d.spec.suspension import ON_POINT, ON_TUBE

_LARGEST = {"mm": 40.0, "degrees": 4.0}
"""Larger changes make another bike."""
_NUDGE = {"mm": 0.5, "degrees": 0.1}
_DEGREE = 10.0
"""One degree counts as this many millimetres when changes are put in order of size."""
_OFFERED = 4
_ROUNDS = 6
_STEP = 0.1
"""Changes are offered in tenths of a millimetre or degree."""


@dataclass(frozen=True)
class _Way:
    """One value that may be changed."""

    path: str
    unit: str


@dataclass(frozen=True)
class _Mend:
    size: float
    text: str


class Mender:
    """Finds what would make failing results of one scene pass; bikes once tried are kept."""

    def __init__(self, scene: Scene) -> None:
        self.scene = scene
        self._tried: dict[tuple[str, float], Scene | None] = {}

    def mends(self, result: Result) -> tuple[str, ...]:
        """What would make a failing result pass: texts, smallest change first."""
        found = [
            m for way in _ways(self.scene, result) if (m := self._try(result, way)) is not None
        ]
        for other in (
            _smaller_tyre(self.scene, result),
            _fewer_teeth(self.scene, result),
            _less_drop(self.scene, result),
        ):
            if other is not None:
                found.append(other)
        found.sort(key=lambda m: m.size)
        return tuple(m.text for m in found[:_OFFERED])

    def _with(self, path: str, value: float) -> Scene | None:
        """The bike with one value changed; None where that bike cannot be made."""
        if (path, value) not in self._tried:
            try:
                other = self.scene.redesigned(path, value)
            except FrameError:
                other = None
            self._tried[path, value] = other
        return self._tried[path, value]

    def _margin(self, result: Result, path: str, value: float) -> float | None:
        """Margin of the same check on a changed bike; None where that bike cannot be made."""
        other = self._with(path, value)
        return None if other is None else margin_of(other, result)

    def _try(self, result: Result, way: _Way) -> _Mend | None:
        start = value_at(self.scene.spec, way.path)
        nudge = _NUDGE[way.unit]
        here = result.margin
        moved = self._margin(result, way.path, start + nudge)
        if moved is None or abs(moved - here) < 1e-3 * nudge:
            return None
        change = -here / ((moved - here) / nudge)
        for _ in range(_ROUNDS):
            if not math.isfinite(change) or abs(change) > _LARGEST[way.unit]:
                return None
            change = math.copysign(math.ceil(abs(change) / _STEP - 1e-9) * _STEP, change)
            margin = self._margin(result, way.path, start + change)
            if margin is None:
                return None
            if margin >= 0:
                mark = "°" if way.unit == "degrees" else " mm"
                scale = _DEGREE if way.unit == "degrees" else 1.0
                text = f"{way.path} {change:+.1f}{mark} (to {start + change:.1f})"
                return _Mend(abs(change) * scale, text)
            gained = margin - here
            if gained <= 0:
                return None
            change *= min(max(-here / gained, 1.0) * 1.02, 3.0)
        return None


def _ways(scene: Scene, result: Result) -> Iterator[_Way]:
    """Values of the file that bear on a check."""
    spec = scene.spec
    names = list(result.between or ())
    for key in dict.fromkeys(n.removesuffix("_left").removesuffix("_right") for n in names):
        tube = spec.tubes.get(key)
        if tube is None:
            continue
        for i, bend in enumerate(tube.bends):
            if bend.y is not None:
                yield _Way(f"tubes.{key}.bends.{i}.y", "mm")
            if bend.rise:
                yield _Way(f"tubes.{key}.bends.{i}.rise", "mm")
        for end in ("start", "end"):
            if value_at(spec, f"tubes.{key}.{end}.y") is not None:
                yield _Way(f"tubes.{key}.{end}.y", "mm")
            for place in ("below_top", "above_bottom", "from_start", "from_end"):
                if value_at(spec, f"tubes.{key}.{end}.{place}") is not None:
                    yield _Way(f"tubes.{key}.{end}.{place}", "mm")
        if isinstance(tube.od, float | int):
            yield _Way(f"tubes.{key}.od", "mm")
    for point in _points(spec, names):
        for key in ("0", "1", *ON_TUBE, *ON_POINT):
            if isinstance(value_at(spec, f"suspension.points.{point}.{key}"), float | int):
                yield _Way(f"suspension.points.{point}.{key}", "mm")
        for key in ("y", "width", "od"):
            if value_at(spec, f"suspension.pivots.{point}.{key}") is not None:
                yield _Way(f"suspension.pivots.{point}.{key}", "mm")
    for figure in FIGURES:
        if getattr(spec.geometry, figure) is not None:
            yield _Way(f"geometry.{figure}", unit(figure))
    for path in (
        "build.fork.axle_to_crown",
        "build.fork.travel",
        "build.crank.length",
        "build.crank.q_factor",
        "build.crank.chainline",
        "build.seatpost.insertion",
        "build.seatpost.length",
    ):
        if value_at(spec, path) is not None:
            yield _Way(path, "mm")


def _points(spec: FrameSpec, names: Sequence[str]) -> Iterator[str]:
    """Points of the suspension that bodies stand on: a housing, a lug, a link's plates."""
    suspension = spec.suspension
    if suspension is None:
        return
    for point in suspension.points:
        starts = [f"housing_{point}", f"lug_{point}"]
        starts += [f"plate_{link}" for link, own in suspension.links.items() if point in own]
        if any(f"{name}_".startswith(f"{start}_") for name in names for start in starts):
            yield point


def margin_of(scene: Scene, result: Result) -> float | None:
    """Margin of the same check, between the same bodies, in another scene."""
    if result.name in FIGURE_CHECKS:
        outcomes = FIGURE_CHECKS[result.name](scene)
        return next((o.margin for o in outcomes if isinstance(o, Result)), None)
    assert result.between is not None
    a, b = (scene.body(name) for name in result.between)
    if a is None or b is None:
        return None
    motions = next((p.motions for p in PAIRS if p.name == result.name), MOTIONS)
    gap = between(a, b, scene, motions)
    return None if gap is None else gap.gap - gap.error - result.required


def _fitted(scene: Scene, path: str, value: Any, result: Result) -> float | None:
    """Margin of the same check with a part exchanged; None where it does not go on the frame."""
    try:
        return margin_of(scene.with_parts({path: value}), result)
    except FrameError:
        return None


def _smaller_tyre(scene: Scene, result: Result) -> _Mend | None:
    """The next narrower tyre on the same rim that passes, the frame as it stands."""
    for where in ("rear", "front"):
        if result.between is None or f"{where}_tyre" not in result.between:
            continue
        wheel = getattr(scene.spec.build, f"{where}_wheel")
        if wheel is None or not isinstance(wheel.tyre, str):
            continue
        tyre = standards.tyre(wheel.tyre)
        for width in range(int(tyre.width) - 1, max(int(tyre.width) - 30, 18), -1):
            name = f"{width}-{tyre.bead_seat:g}"
            path = f"build.{where}_wheel.tyre"
            margin = _fitted(scene, path, name, result)
            if margin is not None and margin >= 0:
                return _Mend(tyre.width - width, f"{path} {name} on the frame as it stands")
    return None


def _fewer_teeth(scene: Scene, result: Result) -> _Mend | None:
    """The next smaller chainring that passes."""
    ring = scene.spec.build.chainring
    if ring is None or not any("chain" in n for n in result.between or ()):
        return None
    for teeth in range(ring.teeth - 1, max(ring.teeth - 12, 18), -1):
        margin = _fitted(scene, "build.chainring.teeth", teeth, result)
        if margin is not None and margin >= 0:
            return _Mend(float(ring.teeth - teeth) * 2, f"build.chainring.teeth {teeth}")
    return None


def _less_drop(scene: Scene, result: Result) -> _Mend | None:
    """The next shorter dropper post that passes, in steps of 5 mm; another part is a small change."""
    post = scene.spec.build.seatpost
    lowered = "saddle_dropped" in (result.between or ()) or result.name == "seatpost_exposure"
    if post is None or not lowered:
        return None
    path = "build.seatpost.travel"
    for steps in range(math.ceil(post.travel / 5) - 1, 0, -1):
        margin = _fitted(scene, path, 5.0 * steps, result)
        if margin is not None and margin >= 0:
            change = post.travel - 5.0 * steps
            return _Mend(change / _DEGREE, f"{path} {-change:+g} mm (to {5 * steps:g})")
    return None
