"""What a difference between two bikes means for the rider, in one plain sentence."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from frame3d.family.differences import MEASURABLE, Change
from frame3d.report.texts import Texts


def sentence(change: Change, texts: Texts) -> str | None:
    """Return e.g. ``Trail +4.2 mm: the front straightens itself more strongly.``

    None where a shop could not measure the difference, or one bike does not have the figure.
    """
    means = meaning(change, texts)
    if means is None:
        return None
    key = "difference.said_at_sag" if change.kind == "sagged" else "difference.said"
    return texts(key, what=title(change, texts), change=amount(change, texts), means=means)


def meaning(change: Change, texts: Texts) -> str | None:
    """Return the sentence's end alone: ``the front straightens itself more strongly``."""
    way = change.way
    if way is None:
        return None
    match change.kind:
        case "figure" | "sagged":
            return texts(f"difference.figure.{change.name}.{way}")
        case "contact":
            return texts(f"fit.difference.{change.name}.{way}")
        case "suspension" | "slopes" | "steering":
            return texts(f"difference.{change.kind}.{change.name}.{way}")
        case "gap" if change.unit == "%":
            return texts(f"difference.share.{way}")
        case "gap":
            return texts(f"difference.gap.{way}")
        case "mass":
            return texts(f"difference.mass.{way}")


def title(change: Change, texts: Texts) -> str:
    """Return the name of the quantity that differs."""
    match change.kind:
        case "figure" | "sagged":
            return texts(f"figure.{change.name}.title")
        case "contact":
            return texts(f"fit.figure.{change.name}")
        case "suspension" | "slopes" | "steering":
            return texts(f"difference.{change.kind}.{change.name}.title")
        case "gap":
            return texts.get(f"check.{change.name}") or change.name
        case "mass":
            return texts("difference.mass.title")


def amount(change: Change, texts: Texts) -> str:
    """Return the difference with its sign and unit: ``+4.2 mm``; a dash where there is none."""
    shown = texts.number(change.delta, change.decimals, sign=True)
    mark = texts.unit(change.unit)
    if change.delta is None or not mark:
        return shown
    return f"{shown}{mark}" if mark == "°" else f"{shown} {mark}"


def worth_a_word(changes: Iterable[Change]) -> Iterator[Change]:
    """Yield the changes that a sentence is made of.

    A figure at sag has one only where the same figure as drawn has none, or goes the other way.
    """
    told = {}
    for change in changes:
        way = change.way
        if change.kind == "figure":
            told[change.name] = way
        if way is None or (change.kind == "sagged" and told.get(change.name) == way):
            continue
        yield change


def thresholds(texts: Texts) -> str:
    """Return from which size on differences are told, as one sentence."""
    limits = [texts.quantity(MEASURABLE["N·m/°"], "N·m/°", 2)]
    limits += [texts.quantity(MEASURABLE[unit], unit, 1) for unit in ("N·m", "mm", "degrees")]
    limits += [texts.quantity(MEASURABLE[unit], unit, 0) for unit in ("g", "%")]
    slopes = [texts.quantity(MEASURABLE["points"], "points", 1)]
    slopes += [texts.quantity(MEASURABLE["gravity"], "gravity", 2)]
    ratio = texts.number(MEASURABLE["1"], 2)
    return texts(
        "difference.thresholds", limits=", ".join(limits), ratio=ratio, slopes=" or ".join(slopes)
    )
