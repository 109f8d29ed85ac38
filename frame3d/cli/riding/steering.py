"""How the bike steers: torques at the bar, and the front that drops, on a terminal."""

from __future__ import annotations

from frame3d.cli.tables import number, table
from frame3d.ride.steering.of_bike import Steered, SteeringFigures

ANGLES = (10.0, 20.0, 30.0, 45.0, 60.0, 75.0, 90.0)
"""Bar angles of the table [degrees]."""


def text(part: SteeringFigures, width: int) -> str:
    """Return the topic's tables."""
    stood = {"as drawn": part.drawn}
    if part.sagged is not None:
        stood["at sag"] = part.sagged
    return "\n\n".join(("Steering", _figures(part, stood), _turned(part, stood)))


def _figures(part: SteeringFigures, stood: dict[str, Steered]) -> str:
    def row(name: str, *values: str) -> list[str]:
        return [name, *values]

    steered = list(stood.values())
    push = f"{part.push_n:g} N sideways at the front contact"
    rows = [
        row(
            "Mechanical trail, the lever [mm]",
            *(number(s.mechanical_trail, 1) for s in steered),
        ),
        row(f"{push}: at the bar [N·m]", *(number(s.push_torque_nm, 1) for s in steered)),
        row("at one grip [N]", *(number(s.grip_force_n, 0) for s in steered)),
        row(
            "Turned bars fall in, near straight on [N·m/°]",
            *(number(s.falling_in_nm_per_degree, 2) for s in steered),
        ),
        *(
            row(
                f"Bars for a turn of {turn.radius / 1000:g} m [°]",
                *(
                    number(own.bar_angle, 1) + ("" if own.within_stop else " (past the stop)")
                    for own in (s.turn_of(turn.radius) for s in steered)
                ),
            )
            for turn in steered[0].turns
        ),
        row("Front lowest at bars of [°]", *(number(s.lowest_angle, 0) for s in steered)),
        row("lower there by [mm]", *(number(s.lowest_drop, 1) for s in steered)),
    ]
    return table(["", *stood], rows)


def _turned(part: SteeringFigures, stood: dict[str, Steered]) -> str:
    """Return drop and torque over the bar angle."""
    known = part.drawn.front_load_n is not None
    head = ["Bars turned [°]"]
    for name in stood:
        head += [f"front lower, {name} [mm]", *([f"falls in, {name} [N·m]"] if known else [])]
    rows = []
    for angle in (a for a in ANGLES if a <= part.stop_angle):
        row = [number(angle, 0)]
        for steered in stood.values():
            turned = steered.at(angle)
            row += [
                number(turned.drop, 1),
                *([number(turned.falling_in_nm, 1)] if known else []),
            ]
        rows.append(row)
    return table(head, rows, left=0)
