"""Largest tyre, chainring, crank and travel that still pass every check on the frame as built."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache, partial

from frame3d.clearance.check import Progress, run_checks
from frame3d.clearance.scene import Scene
from frame3d.errors import FrameError
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.models.parts import TyreSpec
from frame3d.parameters.reading.change import value_at
from frame3d.parameters.sizes import standards
from frame3d.tubes.post_depth import insertion


@dataclass(frozen=True, slots=True)
class Fit:
    """How large one part may be on the frame as built."""

    what: str
    path: str
    now: str
    """The size that the file gives."""
    largest: str | None
    """The largest size that passes; None if even the smallest one tried falls short."""
    limited_by: str
    """The check that the next larger size fails, with its bodies; empty at the end of the range."""


@dataclass(frozen=True)
class _Question:
    what: str
    path: str
    now: float
    """The size that the file gives."""
    sizes: tuple[float, ...]
    """Sizes to try, rising."""
    put: Callable[[float], Mapping[str, object]]
    """Returns the values to exchange for a size, by dotted path."""
    shown: Callable[[float], str]
    checks: frozenset[str]


_Short = Mapping[tuple[str, tuple[str, ...]], str]
"""Checks that a bike falls short of: `Result.line` -> `Result.label`."""
_REAR_TYRE = frozenset({"rear_tyre_to_frame", "chain_to_rear_tyre", "saddle_to_rear_tyre"})
_FRONT_TYRE = frozenset({"front_tyre_to_frame", "front_tyre_to_fork", "toe_to_front_tyre"})
_RING = frozenset({"chainring_to_frame", "chain_to_frame", "chainring_to_ground"})
_CRANK = frozenset(
    {"crank_to_frame", "heel_to_frame", "heel_to_caliper", "toe_to_front_tyre", "pedal_to_ground"}
)
_POST = frozenset(
    {"seatpost_exposure", "seatpost_room", "seatpost_insertion", "saddle_to_rear_tyre"}
)
_TRAVEL = frozenset({"front_tyre_to_frame", "front_tyre_to_fork", "toe_to_front_tyre"})
_LONGER_FORK = _TRAVEL | {"fork_to_frame", "standover_room", "front_load", "saddle_to_rear_tyre"}
_FORK = "build.fork.travel"


def what_fits(
    scene: Scene, progress: Progress | None = None, names: frozenset[str] | None = None
) -> tuple[Fit, ...]:
    """Return the largest tyres, chainring, crank length, fork travel and post travel that pass.

    Fork travel is sought twice: within the fork's present length, as a spacer in it changes it; and
    in a fork that is longer by as much, as forks of more travel are.

    Everything else stays as in the file, and the frame as it stands. From the present size the search
    goes upward by bisection, assuming that a larger part fits no better than a smaller one. If the
    present size falls short, it goes downward size by size (a very small chainring may again not fit:
    its chain runs nearer to the chainstay). A size larger than the present one is checked whole: no
    check that the present bike passes may fail.

    Args:
        scene: the bike with its parts.
        progress: as `check`.
        names: what to look for, as in `Fit.what`; None for everything.
    """
    questions = [q for q in _questions(scene) if names is None or q.what in names]
    short = cache(partial(_short, scene))
    out = []
    for i, question in enumerate(questions):
        if progress is not None:
            progress(question.what, i / max(len(questions), 1))
        out.append(_answer(scene, question, short))
    return tuple(out)


def _questions(scene: Scene) -> Iterator[_Question]:
    """Yield one question for each part that the file gives."""
    spec = scene.spec
    widths = tuple(float(w) for w in range(20, 131))
    for where, checks in (("rear", _REAR_TYRE), ("front", _FRONT_TYRE)):
        path = f"build.{where}_wheel.tyre"
        tyre = value_at(spec, path)
        if isinstance(tyre, str):
            size = standards.tyre(tyre)
            named = partial(_designation, size.bead_seat)
            put = partial(_tyre, spec, path, named)
            what = f"widest {where} tyre"
            yield _Question(
                what=what,
                path=path,
                now=size.width,
                sizes=widths,
                put=put,
                shown=named,
                checks=checks,
            )
        elif isinstance(tyre, TyreSpec):
            plain = partial(_plain_tyre, tyre.diameter - 2 * tyre.width)
            put = partial(_tyre, spec, path, plain)
            what = f"widest {where} tyre"
            yield _Question(
                what=what,
                path=path,
                now=tyre.width,
                sizes=widths,
                put=put,
                shown=_millimetres,
                checks=checks,
            )
    teeth = tuple(float(n) for n in range(18, 71))
    lengths = tuple(140 + 2.5 * i for i in range(25))
    travels = tuple(float(t) for t in range(0, 301, 5))
    for what, path, sizes, kind, shown, checks in (
        ("largest chainring", "build.chainring.teeth", teeth, int, _teeth, _RING),
        ("longest crank", "build.crank.length", lengths, float, _millimetres, _CRANK),
        ("most fork travel within its length", _FORK, travels, float, _millimetres, _TRAVEL),
    ):
        now = value_at(spec, path)
        if now:
            assert isinstance(now, int | float)
            put = partial(_value, path, kind)
            yield _Question(
                what=what,
                path=path,
                now=float(now),
                sizes=sizes,
                put=put,
                shown=shown,
                checks=checks,
            )
    yield from _longer_fork(spec, travels)
    yield from _post(scene)


def _longer_fork(spec: FrameSpec, travels: tuple[float, ...]) -> Iterator[_Question]:
    """Yield the question of a fork of other travel, longer by as much; the frame pitches on it."""
    fork = spec.build.fork
    if fork is None or not fork.travel or fork.axle_to_crown is None:
        return
    now, length = fork.travel, fork.axle_to_crown

    def put(travel: float) -> Mapping[str, object]:
        longer = length + travel - now
        return {"build.fork": fork.model_copy(update={"travel": travel, "axle_to_crown": longer})}

    def shown(travel: float) -> str:
        return f"{travel:g} mm, axle to crown {length + travel - now:g}"

    sizes = tuple(sorted({now, *travels}))
    what = "most fork travel, its length with it"
    yield _Question(
        what=what, path=_FORK, now=now, sizes=sizes, put=put, shown=shown, checks=_LONGER_FORK
    )


def _post(scene: Scene) -> Iterator[_Question]:
    """Yield the question of a dropper post of other travel, whose tube is as much longer.

    See `bike.seatpost`.
    """
    spec = scene.spec
    post, depth = spec.build.seatpost, insertion(spec, scene.bike.nodes)
    if post is None or post.travel <= 0:
        return
    now = post.travel

    def put(travel: float) -> Mapping[str, object]:
        deeper = 2 * (travel - now)
        lengths = {
            key: value + deeper
            for key in ("insertion", "length")
            if (value := getattr(post, key)) is not None
        }
        other = post.model_copy(update={"travel": travel, **lengths})
        return {"build.seatpost": other}

    sizes = tuple(
        t
        for t in sorted({now, *(float(t) for t in range(30, 301, 5))})
        if depth is None or depth + 2 * (t - now) > 0
    )
    yield _Question(
        what="most seatpost travel",
        path="build.seatpost.travel",
        now=now,
        sizes=sizes,
        put=put,
        shown=_millimetres,
        checks=_POST,
    )


def _value(path: str, made: Callable[[float], object], size: float) -> Mapping[str, object]:
    return {path: made(size)}


def _tyre(
    spec: FrameSpec, path: str, made: Callable[[float], object], width: float
) -> Mapping[str, object]:
    """Return the exchange for a tyre of another width.

    A wheel radius that the file gives changes by as much.
    """
    wheel = path.removesuffix(".tyre")
    measured = value_at(spec, f"{wheel}.radius")
    if measured is None:
        return {path: made(width)}
    now = value_at(spec, path)
    wider = width - (now if isinstance(now, TyreSpec) else standards.tyre(now)).width
    return {path: made(width), f"{wheel}.radius": measured + wider}


def _designation(bead_seat: float, width: float) -> str:
    return f"{width:g}-{bead_seat:g}"


def _plain_tyre(bead_seat: float, width: float) -> TyreSpec:
    return TyreSpec(width=width, diameter=bead_seat + 2 * width)


def _millimetres(size: float) -> str:
    return f"{size:g} mm"


def _teeth(size: float) -> str:
    return f"{size:g} teeth"


def _answer(scene: Scene, question: _Question, short: Callable[[], _Short]) -> Fit:
    """Return the largest size of a question that passes its checks and spoils no other.

    Args:
        scene: the present bike.
        question: about one part of it.
        short: returns what the present bike falls short of, as `_short` does; called if need be.
    """
    sizes, failing = question.sizes, dict[int, str]()

    def passes(i: int) -> bool:
        try:
            other = scene.with_parts(question.put(sizes[i]))
        except FrameError as error:
            failing[i] = error.faults[0].message
            return False
        report = run_checks(other, names=question.checks)
        worst = next((r for r in report.results if not r.ok), None)
        if worst is not None:
            failing[i] = worst.label
        return worst is None

    def spoils_nothing(i: int) -> bool:
        before = short()
        after = _short(scene.with_parts(question.put(sizes[i])))
        spoilt = [label for line, label in after.items() if line not in before]
        if spoilt:
            failing[i] = min(spoilt)
        return not spoilt

    def found(largest: int | None, limit: str) -> Fit:
        best = None if largest is None else question.shown(sizes[largest])
        return Fit(question.what, question.path, question.shown(question.now), best, limit)

    now = max(bisect_right(sizes, question.now) - 1, 0)
    low, high = now, len(sizes) - 1
    while not passes(low):
        if low == 0:
            return found(None, failing[low])
        high, low = low, low - 1
    if high not in failing and passes(high):
        low = high
    low = _last(passes, low, high)
    if low > now and not spoils_nothing(low):
        low = _last(spoils_nothing, now, low)
    return found(low, failing.get(low + 1, ""))


def _last(holds: Callable[[int], bool], low: int, high: int) -> int:
    """Return the last place where something holds that holds at `low`, and not at `high` beyond it."""
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if holds(middle) else (low, middle)
    return low


def _short(scene: Scene) -> _Short:
    """Return the checks that a bike falls short of."""
    report = run_checks(scene, only_short=True)
    return {r.line: r.label for r in report.results if not r.ok}
