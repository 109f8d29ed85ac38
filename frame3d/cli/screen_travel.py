"""Text output of ``solve --travel``: curves of the rear suspension, its spring, charts over travel."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from frame3d.cli.screen import named
from frame3d.cli.tables import chunks, number, table
from frame3d.linkage.curves.springs import Air, Coil
from frame3d.parameters.models.figures import FIGURES

if TYPE_CHECKING:
    from frame3d.bike.travel import TravelAnalysis
    from frame3d.geometry.arrays import Array

Column: TypeAlias = "tuple[str, Array, int]"
"""Heading, (n,) values, decimals."""

CHOSEN = (
    "head_tube_angle",
    "bb_height",
    "reach",
    "stack",
    "wheelbase",
    "chainstay_length",
    "trail",
)
"""Figures shown at every travel."""
STANDING = {
    "extended": "extended",
    "sag": "at sag",
    "full_travel": "full travel",
    "dive": "dive on the fork",
}


def travelled(result: TravelAnalysis, width: int) -> str:
    """Return everything about a bike's rear suspension as text.

    Args:
        result: the bike over its travel.
        width: of the terminal, in characters.
    """
    parts = ["Rear suspension over its travel"]
    parts += [
        f"{title}\n\n{_columns(result, columns, width)}"
        for title, columns in (
            ("Wheel, shock and spring", _wheel(result)),
            ("Brake and chain", _brake_and_chain(result)),
            ("Anti-squat by gear", _anti_squat(result)),
            ("The bike on level ground", _charts(result)),
        )
        if columns
    ]
    parts.append(_standing(result))
    parts.append("\n".join(_lines(result)))
    return "\n\n".join(parts)


def _columns(result: TravelAnalysis, columns: Sequence[Column], width: int) -> str:
    first = "travel [mm]"
    rows = [
        [
            number(float(travel), 1).rjust(len(first)),
            *(number(float(values[i]), digits) for _, values, digits in columns),
        ]
        for i, travel in enumerate(result.curves.travel)
    ]
    return chunks([first, *(head for head, _, _ in columns)], rows, width)


def _wheel(result: TravelAnalysis) -> list[Column]:
    c = result.curves
    out = [
        ("stroke [mm]", c.stroke, 2),
        ("leverage", c.leverage, 3),
        ("axle x [mm]", c.axle[:, 0], 1),
        ("axle z [mm]", c.axle[:, 1], 1),
        ("instant centre x [mm]", c.instant_centre[:, 0], 0),
        ("z [mm]", c.instant_centre[:, 1], 0),
    ]
    if c.forces is not None:
        out.append(("shock force [N]", c.forces.shock_force, 0))
        out.append(("wheel force [N]", c.forces.wheel_force, 0))
        out.append(("wheel rate [N/mm]", c.forces.wheel_rate, 2))
    return out


def _brake_and_chain(result: TravelAnalysis) -> list[Column]:
    c = result.curves
    out = [
        ("anti-rise [%]", c.anti_rise, 1),
        ("brake line [°]", np.degrees(np.arctan(c.brake_slope)), 2),
    ]
    gears = list(c.gears.values())
    if gears:
        gear = gears[len(gears) // 2]
        ratio = f"{gear.chainring}/{gear.cog}"
        out.append((f"chain line {ratio} [°]", gear.chain_angle, 2))
        out.append((f"chain growth {ratio} [mm]", gear.chain_growth, 2))
        out.append((f"kickback {ratio} [°]", gear.crank_rotation, 2))
        if gear.crank_rotation_from_sag is not None:
            out.append((f"from sag {ratio} [°]", gear.crank_rotation_from_sag, 2))
    return out


def _anti_squat(result: TravelAnalysis) -> list[Column]:
    return [
        (f"{ring}/{cog} [%]", gear.anti_squat, 1)
        for (ring, cog), gear in result.curves.gears.items()
    ]


def _charts(result: TravelAnalysis) -> list[Column]:
    out = [("fork [mm]", np.array(result.forks), 1), ("pitch [°]", result.curves.pitch, 2)]
    for figure in CHOSEN:
        values = [chart[figure] for chart in result.charts]
        out.append((named(figure), np.array(values, dtype=float), 2))
    return out


def _standing(result: TravelAnalysis) -> str:
    """Return the whole chart extended, at sag, at full travel and on the fork's full travel."""
    at = result.standing
    rows = [
        ["Rear travel [mm]", *(number(s.rear, 1) for s in at)],
        ["Fork travel [mm]", *(number(s.fork, 1) for s in at)],
        ["Pitch, nose up + [°]", *(number(s.stance.pitch, sign=True) for s in at)],
        *([named(f), *(number(s.stance.chart[f]) for s in at)] for f in FIGURES),
    ]
    return table(["", *(STANDING[s.name] for s in at)], rows)


def _lines(result: TravelAnalysis) -> Iterator[str]:
    """Yield single figures, a line each."""
    c = result.curves
    yield f"Progression {100 * c.progression:.1f} %, mean leverage {c.mean_leverage:.3f}"
    yield from _spring_lines(result)
    if c.forces is not None:
        yield (
            f"Bottoms out at {c.forces.bottom_out_wheel:.0f} N at the wheel, "
            f"{c.forces.bottom_out_shock:.0f} N at the shock"
        )
    yield "Assumed: " + "; ".join(result.assumptions) + "."


def _spring_lines(result: TravelAnalysis) -> Iterator[str]:
    """Yield load, sag and spring, a line each."""
    sprung = result.sprung
    weight = sprung.weight
    if sprung.load is not None and sprung.carried is not None and weight.mass_kg is not None:
        yield (
            f"Load at the rear wheel {sprung.load:.0f} N: {100 * weight.rear_share:.1f} % of "
            f"{weight.mass_kg:.1f} kg; less {sprung.unsprung.mass_kg:.2f} kg unsprung, the spring "
            f"carries {sprung.carried:.0f} N"
        )
    for name, sag in (("asked", sprung.asked), ("on this spring", sprung.found)):
        if sag is not None:
            yield (
                f"Sag {name}: {sag.stroke:.2f} mm of the stroke ({100 * sag.stroke_share:.1f} %), "
                f"{sag.travel:.2f} mm at the wheel ({100 * sag.travel_share:.1f} %)"
            )
    sag = result.sag
    if sag is not None and sag.stroke > 0:
        yield (
            f"The shares differ with the leverage: {sag.travel / sag.stroke:.2f} mm at the wheel for "
            f"each mm of stroke down to the sag, {result.curves.mean_leverage:.2f} over the whole stroke"
        )
    spring = sprung.spring
    if spring is not None and sprung.carried is not None and sprung.found is None:
        yield "On this spring the load alone bottoms it out"
    if isinstance(spring, Coil):
        yield f"Coil {spring.k:.2f} N/mm ({spring.lb_in:.0f} lb/in), preload {spring.preload:g} mm"
    elif isinstance(spring, Air):
        yield (
            f"Air pressure {spring.pressure_bar:.2f} bar ({spring.pressure_psi:.0f} psi) at full "
            "extension and rest"
        )
    for coil in sprung.sold:
        share = (
            "bottoms out"
            if coil.sag is None
            else f"sag {100 * coil.sag.stroke_share:.1f} % of the stroke"
        )
        yield f"Sold coil {coil.rate_lb_in} lb/in ({coil.rate_n_mm:.2f} N/mm): {share}"
