"""Fits: the largest tyre, ring, crank and travel that still pass every check on the frame as built."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from frame3d.clearance.change import changed, value_at
from frame3d.clearance.check import Progress, judge
from frame3d.clearance.scene import Scene
from frame3d.spec import standards
from frame3d.spec.models import FrameSpec
from frame3d.spec.parts import TyreSpec


@dataclass(frozen=True, slots=True)
class Fit:
    """How large one part may be."""

    what: str
    path: str
    now: str
    """As the file has it."""
    largest: str | None
    """The largest that passes; None where even the smallest tried falls short."""
    limited_by: str
    """The check that the next larger one fails, with the bodies; empty at the end of the range."""


@dataclass(frozen=True)
class _Question:
    what: str
    path: str
    sizes: tuple[float, ...]
    """Rising."""
    put: Callable[[float], FrameSpec]
    shown: Callable[[float], str]
    checks: frozenset[str]


_REAR_TYRE = frozenset({"rear_tyre_to_frame", "chain_to_rear_tyre", "saddle_to_rear_tyre"})
_FRONT_TYRE = frozenset({"front_tyre_to_frame", "front_tyre_to_fork", "toe_to_front_tyre"})
_RING = frozenset({"chainring_to_frame", "chain_to_frame", "chainring_to_ground"})
_CRANK = frozenset(
    {"crank_to_frame", "heel_to_frame", "heel_to_caliper", "toe_to_front_tyre", "pedal_to_ground"}
)
_TRAVEL = frozenset({"front_tyre_to_frame", "front_tyre_to_fork", "toe_to_front_tyre"})


def what_fits(scene: Scene, progress: Progress | None = None) -> tuple[Fit, ...]:
    """The widest tyres, largest chainring, longest crank and most fork travel.

    Each is sought by bisection with everything else as the file has it, the frame as it stands: a
    larger part is taken to fit no better than a smaller one.
    """
    questions = list(_questions(scene))
    out = []
    for i, question in enumerate(questions):
        if progress is not None:
            progress(question.what, i / max(len(questions), 1))
        out.append(_answer(scene, question))
    return tuple(out)


def _questions(scene: Scene) -> Iterator[_Question]:
    spec = scene.spec
    for where, checks in (("rear", _REAR_TYRE), ("front", _FRONT_TYRE)):
        path = f"build.{where}_wheel.tyre"
        tyre = value_at(spec, path)
        if tyre is None:
            continue
        widths = tuple(float(w) for w in range(20, 131))
        what = f"widest {where} tyre"
        if isinstance(tyre, str):
            bead = standards.tyre(tyre).bead_seat

            def put(w: float, path: str = path, bead: float = bead) -> FrameSpec:
                return changed(spec, path, f"{w:g}-{bead:g}")

            yield _Question(what, path, widths, put, lambda w, b=bead: f"{w:g}-{b:g}", checks)
        else:
            rim = tyre.diameter - 2 * tyre.width

            def put_plain(w: float, path: str = path, rim: float = rim) -> FrameSpec:
                return changed(spec, path, TyreSpec(width=w, diameter=rim + 2 * w))

            yield _Question(what, path, widths, put_plain, lambda w: f"{w:g} mm", checks)
    for what, path, sizes, checks, mark in (
        ("largest chainring", "build.chainring.teeth", range(18, 71), _RING, " teeth"),
        ("longest crank", "build.crank.length", [140 + 2.5 * i for i in range(25)], _CRANK, " mm"),
        ("most fork travel", "build.fork.travel", range(0, 301, 5), _TRAVEL, " mm"),
    ):
        if not value_at(spec, path):
            continue
        whole = path.endswith("teeth")

        def put_number(x: float, path: str = path, whole: bool = whole) -> FrameSpec:
            return changed(spec, path, int(x) if whole else float(x))

        yield _Question(
            what,
            path,
            tuple(float(s) for s in sizes),
            put_number,
            lambda x, mark=mark: f"{x:g}{mark}",
            checks,
        )


def _answer(scene: Scene, question: _Question) -> Fit:
    failing: dict[int, str] = {}

    def passes(i: int) -> bool:
        report = judge(scene.with_parts(question.put(question.sizes[i])), names=question.checks)
        worst = next((r for r in report.results if not r.ok), None)
        if worst is not None:
            failing[i] = worst.name + (f" ({' to '.join(worst.between)})" if worst.between else "")
        return worst is None

    now = value_at(scene.spec, question.path)
    shown = now if isinstance(now, str) else question.shown(getattr(now, "width", now))
    low, high = 0, len(question.sizes) - 1
    if not passes(low):
        return Fit(question.what, question.path, shown, None, failing[low])
    if passes(high):
        return Fit(question.what, question.path, shown, question.shown(question.sizes[high]), "")
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if passes(middle) else (low, middle)
    return Fit(
        question.what, question.path, shown, question.shown(question.sizes[low]), failing[high]
    )
