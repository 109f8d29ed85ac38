"""Dampers, natural frequencies and the energy of the springs, on a terminal."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from frame3d.cli.tables import number, table
from frame3d.ride.damping.of_bike import Damping
from frame3d.ride.damping.result import BodyReturn, EndRide, OwnDamper

KINDS: Final = {
    "too_little": "too little",
    "quickest": "back soonest",
    "own": "this damper",
    "too_much": "too much",
}
"""Name of each damping, in the order of the table."""
SHAFT: Final = {"rear": "at the shock", "front": "along the stanchions"}


def text(part: Damping, width: int) -> str:
    """Return the topic's tables."""
    if not part.ends:
        return ""
    blocks = ["Springs and dampers in motion", _at_sag(part.ends)]
    blocks += [block for end in part.ends for block in _of_end(end)]
    return "\n\n".join(blocks)


def rounded(value: float, digits: int = 2) -> str:
    """Return a number with so many significant digits, without an exponent."""
    shown = float(f"{value:.{digits - 1}e}")
    return f"{shown:.0f}" if abs(shown) >= 10 ** (digits - 1) else f"{shown:g}"


def _at_sag(ends: tuple[EndRide, ...]) -> str:
    """Return single figures, a column for each end."""

    def row(name: str, *values: str | None) -> list[str]:
        return [name, *("–" if value is None else value for value in values)]

    sags = [end.at_sag for end in ends]
    rows = [
        row("Sag at the wheel [mm]", *(number(s.travel, 0) for s in sags)),
        row("Mass on the spring [kg]", *(number(e.sprung_kg, 0) for e in ends)),
        row("Wheel rate at sag [N/mm]", *(number(s.wheel_rate_n_mm, 1) for s in sags)),
        row("Natural frequency at sag [Hz]", *(number(s.frequency_hz, 1) for s in sags)),
        row("with the tyre, at most [Hz]", *(number(s.frequency_with_tyre_hz, 1) for s in sags)),
        row("Wheel hop, at most [Hz]", *(number(s.wheel_hop_hz, 0) for s in sags)),
        row("Critical damping at sag, wheel [N·s/m]",
            *(rounded(s.critical_damping_n_s_m) for s in sags)),
        row("shock, or along the stanchions [N·s/m]",
            *(rounded(s.critical_damping_at_shaft_n_s_m) for s in sags)),
        row("Energy to full travel [J]", *(number(e.energy_j, 0) for e in ends)),
        row("of that from the sag on [J]", *(number(e.energy_from_sag_j, 0) for e in ends)),
        row("Spring at full travel, wheel [N]", *(rounded(e.end_force_n) for e in ends)),
        row("over the load at rest", *(number(e.end_force_of_load_share, 1) for e in ends)),
    ]  # fmt: skip
    return table(["", *(end.end for end in ends)], rows)


def _of_end(end: EndRide) -> Iterator[str]:
    """Yield the tables of one end."""
    yield f"Over the travel, {end.end}\n\n{_over_travel(end)}"
    if end.damper is not None:
        yield "\n".join(_damper(end, end.damper))
    if end.returns:
        made = [found for kind in KINDS if (found := _return_of(end, kind)) is not None]
        yield (
            f"Return after a hit, {end.end}: from {end.hit:.0f} mm of travel to the sag\n\n"
            f"{_returns(end, made)}"
        )


def _return_of(end: EndRide, kind: str) -> BodyReturn | None:
    return next((one for one in end.returns if one.kind == kind), None)


def _over_travel(end: EndRide) -> str:
    """Return frequency and damping at every tenth of the travel."""
    own = end.damper
    laws = [] if own is None else [("rebound", own.rebound), ("compression", own.compression)]
    given = [(name, law) for name, law in laws if law is not None]
    head = ["travel [mm]", "frequency [Hz]"]
    if end.frequency_with_tyre_hz is not None:
        head.append("with tyre [Hz]")
    head += [f"critical {SHAFT[end.end]} [N·s/m]", *(f"{n} of critical [%]" for n, _ in given)]
    rows = []
    for i in range(0, len(end.travel), max(1, (len(end.travel) - 1) // 10)):
        critical = end.critical_damping_at_shaft_n_s_m[i]
        row = [number(end.travel[i], 0), number(end.frequency_hz[i], 1)]
        if end.frequency_with_tyre_hz is not None:
            row.append(number(end.frequency_with_tyre_hz[i], 1))
        row.append("–" if critical is None else rounded(critical))
        row += [_percent(law.of_critical_share[i]) for _, law in given]
        rows.append(row)
    return table(head, rows, left=0)


def _percent(share: float | None) -> str:
    return "–" if share is None else f"{100 * share:.0f}"


def _damper(end: EndRide, own: OwnDamper) -> Iterator[str]:
    """Yield what the file gives of a damper, a line each way."""
    for name, law in (("rebound", own.rebound), ("compression", own.compression)):
        if law is None:
            continue
        beyond = "" if law.fast_n_s_m is None else (
            f", beyond {law.fast_from_m_s:g} m/s {rounded(law.fast_n_s_m)} for each further m/s"
        )  # fmt: skip
        film = " from the filmed return" if own.filmed and name == "rebound" else ""
        yield (
            f"Damper {end.end}, {name}: {rounded(law.low_n_s_m)} N·s/m{film}{beyond}: "
            f"{_percent(law.at_sag_share)} % of the critical damping at the sag"
        )


def _returns(end: EndRide, made: list[BodyReturn]) -> str:
    head = [
        "damping", "of critical [%]", f"rebound {SHAFT[end.end]} [N·s/m]", "rises over the rest [mm]",
        "body back within 5 % [s]", "wheel alone back [s]",
    ]  # fmt: skip
    rows = [
        [
            KINDS[one.kind],
            _percent(one.of_critical_share),
            rounded(one.rebound_n_s_m),
            number(one.overshoot, 0),
            f"over {end.time_s[-1]:g}" if one.back_s is None else number(one.back_s, 1),
            number(one.wheel_back_s, 2),
        ]
        for one in made
    ]
    return table(head, rows)
