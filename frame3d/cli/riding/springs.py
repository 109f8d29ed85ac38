"""Springs of fork and shock: sag, set-up for riders of other mass, on a terminal."""

from __future__ import annotations

from collections.abc import Iterator

from frame3d.cli.tables import number, table
from frame3d.linkage import Sag
from frame3d.ride.springs import gauge
from frame3d.ride.springs.of_bike import Springs
from frame3d.ride.springs.set_up import EndSetUp, RiderRow, SoldRate

NAMES = {"rear": ("Shock", "shaft"), "fork": ("Fork", "stanchion")}
"""What the spring of an end is called, and on what its sag is measured."""


def text(part: Springs, width: int) -> str:
    """Return the topic's tables."""
    ends = ["\n".join(_end(end)) for end in part.ends]
    return "\n\n".join([*ends, *(f"Warning: {line}" for line in part.warnings)])


def _end(end: EndSetUp) -> Iterator[str]:
    """Yield the lines and tables of one spring."""
    name, on = NAMES[end.end]
    yield f"{name}: {_spring(end)}"
    if end.sag is not None:
        yield (
            f"Sag {'wanted' if end.wanted else 'found'}: {_sag(end, end.sag)} of {end.full_stroke:g} mm "
            f"on the {on}, {end.sag.travel:.0f} mm at the wheel"
        )
    if end.measured is not None:
        yield _measured(end)
    if end.rows:
        yield ""
        yield _riders(end)
    if end.reducers:
        yield ""
        yield _reducers(end)


def _spring(end: EndSetUp) -> str:
    if end.pressure_bar is not None:
        above = _above(end, end.pressure_bar)
        return f"air, {end.pressure_bar:.1f} bar ({end.pressure_psi} psi){above}"
    if end.rate_n_mm is not None:
        return f"coil, {end.rate_n_mm:.1f} N/mm ({end.rate_lb_in} lb/in)"
    return "spring as measured"


def _above(end: EndSetUp, bar: float) -> str:
    highest = end.highest_pressure_bar
    return "" if highest is None or bar <= highest else f", above the limit of {highest:g} bar"


def _sag(end: EndSetUp, sag: Sag | None) -> str:
    """Return a sag as a rule shows it, and in whole percent of the stroke."""
    if sag is None:
        return "bottoms out"
    return f"{gauge.rule(sag.stroke, end.end):g} mm ({100 * sag.stroke_share:.0f} %)"


def _measured(end: EndSetUp) -> str:
    found = end.measured
    assert found is not None
    alone = "none" if found.modelled_bar is None else f"{found.modelled_bar:.1f} bar"
    return (
        f"Corrected by a measurement: {found.pressure_bar:.1f} bar gave "
        f"{gauge.rule(found.stroke, end.end):g} mm "
        f"({100 * found.stroke_share:.0f} %) under {found.rider_kg:g} kg; the model alone would ask for "
        f"{alone}, so its force is taken times {found.force_factor:.2f}"
    )


def _riders(end: EndSetUp) -> str:
    """Return the table over riders' masses; the bike's own rider has a mark."""
    kind = "sag" if any(row.sag is not None for row in end.rows) else end.kind
    head = {
        "air": ["Rider [kg]", "bar", "psi", ""],
        "coil": ["Rider [kg]", "N/mm", "lb/in", "sold below", "its sag", "sold above", "its sag"],
    }.get(kind, ["Rider [kg]", "sag"])
    rows = [
        [f"{'>' if row.own else ' '} {row.rider_kg:g}", *_cells(end, row, kind)] for row in end.rows
    ]
    return table(head, rows)


def _cells(end: EndSetUp, row: RiderRow, kind: str) -> tuple[str, ...]:
    if kind == "air":
        mark = "above the limit" if row.above_limit else ""
        return (number(row.pressure_bar, 1), number(row.pressure_psi, 0), mark)
    if kind == "coil":
        sold = [cell for coil in row.sold for cell in _sold(end, coil)] or ["–"] * 4
        return (number(row.rate_n_mm, 1), number(row.rate_lb_in, 0), *sold)
    return (_sag(end, row.sag),)


def _sold(end: EndSetUp, coil: SoldRate) -> tuple[str, str]:
    return f"{coil.rate_lb_in} lb/in", _sag(end, coil.sag)


def _reducers(end: EndSetUp) -> str:
    """Return the table over volume reducers at the same sag; those fitted have a mark."""
    above = [["above the limit" if row.above_limit else ""] for row in end.reducers]
    last = 1 if any(row.above_limit for row in end.reducers) else 0
    rows = [
        [
            f"{'>' if row.fitted else ' '} {row.reducer_count}",
            number(row.pressure_bar, 1),
            number(row.pressure_psi, 0),
            number(row.deep_load_multiple, 1),
            number(row.end_load_multiple, 1),
            *said[:last],
        ]
        for row, said in zip(end.reducers, above, strict=True)
    ]
    head = ["Reducers, same sag", "bar", "psi", "force at 70 % [x load]", "at the end [x load]"]
    return table([*head, *[""] * last], rows)
