"""What an exploration found, for terminals."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Any, Final

from frame3d.cli.tables import table

if TYPE_CHECKING:
    from frame3d.explore.exploration import Exploration, Kept
    from frame3d.explore.pool import Standing
    from frame3d.explore.study.study import Preference, Study, Varied, Wish

_BLOCKING: Final = 4
"""What blocks most, of which so much is told."""
_BEARING: Final = 2
"""Values told of each."""
_UNVARIED: Final = 3
"""Values that do not vary, told of each."""
_SLIGHT: Final = 0.2
"""A bearing below this is not told."""

_STIFF: Final = (
    "Stiffness is a beam model's: less than 2.5 points where only tubes' sizes differ are the same, "
    "13 % between frames are not told apart; stiffer is not stronger."
)


def explored(found: Exploration) -> str:
    """Return the outcome: how much was tried, the best designs side by side, what blocked the others."""
    parts = ["\n".join(_told(found))]
    if found.best:
        parts.append(_side_by_side(found))
    elif found.evaluations:
        parts.append("\n".join(_nearest(found)))
    if any(one.quantity.stage == "stiffness" for one in found.study.by_label.values()):
        parts.append(_STIFF)
    hints = [*_blocked(found), *_at_limits(found), *_unvaried(found)]
    if hints:
        parts.append("\n".join(hints))
    return "\n\n".join(parts)


def standing_text(standing: Standing, seconds: float) -> str:
    """Return one line on how an exploration stands."""
    words = [f"{standing.done}"]
    if standing.evaluated and seconds > 0:
        words.append(f"{standing.evaluated / seconds:.2g}/s")
    if standing.feasible:
        words.append(f"{standing.feasible} meet every wish")
    elif standing.best is not None:
        words.append(f"best falls short by {standing.best.total:.3g}")
    if standing.blocking:
        words.append(f"{standing.blocking[0][0]} blocks most")
    return ", ".join(words)


def _told(found: Exploration) -> Iterator[str]:
    known = len(found.evaluations) - found.evaluated
    rate = "" if found.rate is None else f" in {found.seconds:.0f} s, {found.rate:.2g} a second"
    before = f", {known} more were known" if known > 0 else ""
    yield f"{found.evaluated} designs tried{rate}{before}; ended: {found.ended}"
    met = found.feasible
    if not met:
        yield "none meets every wish"
        return
    proved = sum(kept.proved for kept in found.best)
    checks = "a full check of every size" if len(found.study.sizes) > 1 else "a full check"
    yield f"{met} meet every wish; of the best {len(found.best)}, {proved} proved by {checks}"
    if found.front:
        yield f"{len(found.front)} of them are the trade-off: none is better in every preference"


def _side_by_side(found: Exploration) -> str:
    """Return a table of the best designs: what varies, what is measured."""
    study, best = found.study, found.best
    head = ["", "asked", *(str(i) for i in range(1, len(best) + 1))]
    rows = [
        [one.path, _range(one), *(_short(kept.evaluation.design[i]) for kept in best)]
        for i, one in enumerate(study.varied)
    ]
    rows += [
        [
            _name(label, one.quantity.unit),
            _asked(study, label),
            *(_short(kept.evaluation.values.get(label)) for kept in best),
        ]
        for label, one in study.by_label.items()
    ]
    rows.append(["full check", "", *(_proof(kept) for kept in best)])
    return table(head, rows)


def _nearest(found: Exploration) -> Iterator[str]:
    """Yield the design that falls short least, and by what."""
    study = found.study
    one = min(found.evaluations, key=lambda e: e.total)
    yield "the nearest one:"
    for varied, value in zip(study.varied, one.design, strict=True):
        yield f"  {varied.path} {_short(value)}"
    if one.fault is not None:
        yield f"  {one.fault}"
    short = sorted(((n, label) for label, n in one.shortfalls.items() if n > 0), reverse=True)
    for _, label in short[:_BLOCKING]:
        asked = study.by_label.get(label)
        name = _name(label, "" if asked is None else asked.quantity.unit)
        is_known = label in one.values
        more = f" {_short(one.values[label])}, asked {_asked(study, label)}" if is_known else ""
        if asked is not None and not is_known and one.fault is None:
            more = ": the bike has no such figure"
        yield f"  short: {name}{more}"


def _blocked(found: Exploration) -> Iterator[str]:
    """Yield what stopped designs most, and which values bear on it."""
    for label, count in list(found.blocking.items())[:_BLOCKING]:
        yield f"{label} stopped {count}{_bearing(found, label)}"


def _at_limits(found: Exploration) -> Iterator[str]:
    """Yield the values of the best design that stand at an end of their range."""
    for path, which in found.at_limits:
        yield f"{path} is at its {which}: a wider range may hold a better bike"


def _unvaried(found: Exploration) -> Iterator[str]:
    """Yield what of the file does not vary and would help the nearest design, if it did."""
    for label in dict.fromkeys(one.label for one in found.unvaried):
        own = [one for one in found.unvaried if one.label == label]
        words = [
            f"{one.name} {one.change:+.3g} would mend {_part(one.share)}" for one in own[:_UNVARIED]
        ]
        yield f"{label}: what does not vary yet and bears on it: {'; '.join(words)}"


def _part(share: float) -> str:
    """Return a share of a miss in words."""
    return "all of it" if share >= 1 else f"{100 * share:.2g} % of it"


def _bearing(found: Exploration, label: str) -> str:
    if label in found.unmoved:
        return "; nothing that varies bears on it: vary something else too"
    strong = [b for b in found.bearings if b.label == label and abs(b.coefficient) >= _SLIGHT]
    words = [f"{'more' if b.coefficient > 0 else 'less'} {b.name}" for b in strong[:_BEARING]]
    return f"; what helps: {', '.join(words)}" if words else ""


def _asked(study: Study, label: str) -> str:
    words = [_wish(one) for one in study.wishes if one.label == label]
    words += [_preference(one) for one in study.preferences if one.label == label]
    return ", ".join(words)


def _wish(one: Wish) -> str:
    if one.low is None:
        return f"to {_short(one.high)}"
    return (
        f"from {_short(one.low)}"
        if one.high is None
        else f"{_short(one.low)} to {_short(one.high)}"
    )


def _preference(one: Preference) -> str:
    return "least" if one.least else "most"


def _range(one: Varied) -> str:
    if not one.is_range:
        return ", ".join(_short(value) for value in one.values)
    return f"{_short(one.low)} to {_short(one.high)}"


def _proof(kept: Kept) -> str:
    short = sum(not result.ok for proof in kept.proofs for result in proof.report.results)
    return "passed" if kept.proved else f"{short} short"


def _name(label: str, unit: str) -> str:
    return f"{label} [{unit}]" if unit else label


def _short(value: float | str | None) -> str:
    """Return a value with five significant digits; a dash for none."""
    if value is None:
        return "–"
    return value if isinstance(value, str) else f"{value:.5g}"


def exploring_document(found: Exploration, files: Iterable[str]) -> dict[str, Any]:
    """Return the outcome as plain data; lengths in mm, other units as `units` says."""
    study = found.study
    paths = [one.path for one in study.varied]

    def design(values: tuple[float | str, ...]) -> dict[str, float | str]:
        return dict(zip(paths, values, strict=True))

    return {
        "study": study.source,
        "bike": study.bike_source,
        "ended": found.ended,
        "designs": len(found.evaluations),
        "evaluated": found.evaluated,
        "feasible": found.feasible,
        "best": [
            {
                "design": design(kept.evaluation.design),
                "values": dict(kept.evaluation.values),
                "proved": kept.proved,
            }
            for kept in found.best
        ],
        "front": [{"design": design(e.design), "values": dict(e.values)} for e in found.front],
        "blocking": dict(found.blocking),
        "bearings": [
            {"label": b.label, "path": b.name, "coefficient": b.coefficient} for b in found.bearings
        ],
        "unmoved": list(found.unmoved),
        "unvaried": [
            {
                "label": g.label,
                "path": g.name,
                "change": g.change,
                "gain": g.gain,
                "share": g.share,
            }
            for g in found.unvaried
        ],
        "sensitivities": [
            {"path": s.path, "step": s.step, "label": s.label, "effect": s.effect}
            for s in found.sensitivities
        ],
        "units": {label: one.quantity.unit for label, one in study.by_label.items()},
        "files": list(files),
    }
