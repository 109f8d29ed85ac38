"""How each size comes out for a rider, as text and as plain data."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from frame3d.caution import CAUTION
from frame3d.clearance.result import Result
from frame3d.cli.tables import chunks, number
from frame3d.family.cockpit_ranges import CockpitRange
from frame3d.family.fitting import FIGURES, Fitting, SizeFit

TOLD: tuple[str, ...] = ("reach", "saddle_to_grips", "standover_room")
"""Figures by which the neighbours of a size are told."""


def sized(fitting: Fitting, width: int) -> str:
    """Return the table of sizes for the rider, what falls short, and what can be said of it.

    Args:
        fitting: from `frame3d.family.fitting.fitting`.
        width: of the terminal [characters].
    """
    body = fitting.body
    head = f"Rider {body.height:.0f} mm, inseam {body.inseam:.0f} mm, saddle {body.saddle_height:.0f} mm"
    if body.assumed:
        head += f" ({'; '.join(body.assumed)})"
    rows = [
        [f"{title} [{unit}]", *(number(size.figures[name], 1) for size in fitting.sizes)]
        for name, (title, unit) in FIGURES.items()
        if any(size.figures[name] is not None for size in fitting.sizes)
    ]
    drawn = [number(size.drawn_for, 0) for size in fitting.sizes]
    if any(size.drawn_for is not None for size in fitting.sizes):
        rows.append(["Drawn for a rider of [mm]", *drawn])
    rows.append(["Holds", *("yes" if size.holds else "no" for size in fitting.sizes)])
    rows += _cockpits(fitting)
    parts = [head, chunks(["Size", *(size.size for size in fitting.sizes)], rows, width)]
    short = [line for size in fitting.sizes for line in _short(size)]
    if short:
        parts.append("\n".join(["Falls short:", *short]))
    assumed = {size.cockpit.assumed for size in fitting.sizes if size.cockpit is not None}
    spacers = sorted(one for one in assumed if one is not None)
    if spacers:
        parts.append(f"Assumed: {'; '.join(spacers)}.")
    parts += [verdict(fitting), CAUTION]
    return "\n\n".join(parts)


def _cockpits(fitting: Fitting) -> Iterator[list[str]]:
    """Yield rows on what each size can do for the wished grips."""
    wish = fitting.grips
    ranges = [size.cockpit for size in fitting.sizes]
    if wish is None or all(one is None for one in ranges):
        return
    where = f"grips at {wish.reach:.0f} | {wish.stack:.0f}"
    if wish.source:
        where += f", as on {wish.source}"
    yield [f"For {where}: stem | spacers | rise", *map(_set, ranges)]
    yield ["  reach off | stack off [mm]", *map(_off, ranges)]
    yield ["  reach that sizes sold allow at that height [mm]", *map(_reach, ranges)]
    yield [
        "  hands where they are wanted",
        *("–" if one is None else "yes" if one.reached else "no" for one in ranges),
    ]


def _set(one: CockpitRange | None) -> str:
    if one is None:
        return "–"
    found = one.nearest.cockpit
    turned = f" at {found.stem_angle:g}°" if found.stem_angle else ""
    return f"{found.stem:g}{turned} | {found.spacers:g} | {found.rise:g}"


def _off(one: CockpitRange | None) -> str:
    if one is None:
        return "–"
    reach, stack = one.nearest.reach_miss, one.nearest.stack_miss
    return f"{number(reach, 1, sign=True)} | {number(stack, 1, sign=True)}"


def _reach(one: CockpitRange | None) -> str:
    if one is None or one.least_reach is None or one.most_reach is None:
        return "–"
    return f"{one.least_reach:.0f} to {one.most_reach:.0f}"


def _short(size: SizeFit) -> Iterator[str]:
    rider = size.bike.rider
    if rider is not None and "hands" in rider.contacts and rider.seated is None:
        yield f"- {size.size}: seated, the rider does not reach grips and pedals"
    elif rider is not None and rider.legs_reach is False:
        yield (
            f"- {size.size}: seated, the foot does not reach the pedal at its lowest: it takes a "
            "lower saddle or shorter cranks"
        )
    for result in size.short:
        yield f"- {size.size}: {_lack(result)}"


def _lack(result: Result) -> str:
    unit = {"degrees": "°", "%": " %"}.get(result.unit, f" {result.unit}")
    gap = f"{result.least:.{result.decimals(1)}f}{unit}"
    return f"{result.title}: {gap}, {result.required:g}{unit} wanted"


def verdict(fitting: Fitting) -> str:
    """Return one sentence on which sizes hold and how they differ; it says nothing without a figure."""
    holding, best = fitting.holding, fitting.nearest
    if not holding:
        least = min(fitting.sizes, key=lambda size: len(size.short))
        few = len(least.short)
        return f"No size holds all that was checked; {least.size} has the fewest that fall short, {few}."
    names = ", ".join(size.size for size in holding)
    said = f"All that was checked holds on {names}"
    if best is None:
        return f"{said}; the file gives no riders of their own to its sizes that would tell them apart."
    off = fitting.body.height - (best.drawn_for or 0.0)
    side = (
        "as tall" if abs(off) < 0.5 else f"{abs(off):.0f} mm {'shorter' if off > 0 else 'taller'}"
    )
    said += f"; {best.size} is drawn for the nearest rider, {side}"
    place = fitting.sizes.index(best)
    around = [fitting.sizes[i] for i in (place - 1, place + 1) if 0 <= i < len(fitting.sizes)]
    said += "".join(f"; {_against(other, best)}" for other in around)
    return f"{said}."


def _against(other: SizeFit, best: SizeFit) -> str:
    told = []
    for name in TOLD:
        a, b = other.figures[name], best.figures[name]
        if a is not None and b is not None:
            told.append(f"{FIGURES[name][0].lower()} {number(a - b, 0, sign=True)} mm")
    return f"on {other.size} instead: {', '.join(told)}" + (
        "" if other.holds else ", and it does not hold"
    )


def sizing_document(fitting: Fitting) -> dict[str, Any]:
    """Return the same as plain data."""
    from frame3d.formats.documents import fault_document, result_document

    body, best = fitting.body, fitting.nearest
    sizes: dict[str, Any] = {
        size.size: {
            "figures": dict(size.figures),
            "drawn_for": size.drawn_for,
            "holds": size.holds,
            "cockpit": _cockpit_document(size.cockpit),
            "checks": [result_document(result) for result in size.report.results],
            "unchecked": [{"name": u.name, "why": u.why} for u in size.report.unchecked],
        }
        for size in fitting.sizes
    }
    sizes |= {one.label: fault_document(one.faults) for one in fitting.missing}
    wish = fitting.grips
    return {
        "grips": None
        if wish is None
        else {"reach": wish.reach, "stack": wish.stack, "as_on": wish.source or None},
        "rider": {
            "height": body.height,
            "inseam": body.inseam,
            "saddle_height": body.saddle_height,
            "mass_kg": body.mass_kg,
            "assumed": list(body.assumed),
        },
        "sizes": sizes,
        "holding": [size.size for size in fitting.holding],
        "nearest": None if best is None else best.size,
        "sentence": verdict(fitting),
        "units": {name: "degrees" if unit == "°" else unit for name, (_, unit) in FIGURES.items()},
        "caution": CAUTION,
    }


def _cockpit_document(one: CockpitRange | None) -> dict[str, Any] | None:
    if one is None:
        return None
    found = one.nearest
    return {
        "reached": one.reached,
        "stem": found.cockpit.stem,
        "stem_angle": found.cockpit.stem_angle,
        "spacers": found.cockpit.spacers,
        "rise": found.cockpit.rise,
        "forward": found.cockpit.forward,
        "reach_miss": found.reach_miss,
        "stack_miss": found.stack_miss,
        "least_reach": one.least_reach,
        "most_reach": one.most_reach,
        "assumed": one.assumed,
    }
