"""The linearised bicycle on a terminal: mass properties, matrices, eigenvalues over speed."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from frame3d.cli.riding import steering
from frame3d.cli.tables import number, table
from frame3d.geometry.arrays import Array
from frame3d.ride.steering.linear import LinearBicycle
from frame3d.ride.steering.of_bike import SteeringFigures
from frame3d.ride.steering.whipple import BodyMass, WheelMass

AXES = "x forward, y to the right, z down, from the rear contact; steering and lean to the right"


def steered(
    figures: SteeringFigures,
    bicycle: LinearBicycle | None,
    left_out: Sequence[str],
    width: int,
    *,
    alone: bool,
) -> str:
    """Return the shop's figures, the linearised bicycle, what is assumed and what is left out.

    Args:
        figures: of the shop.
        bicycle: the linearised bicycle; None where the file does not give enough.
        left_out: what it does not give for that.
        width: of the terminal [characters].
        alone: whether the shop's figures are not shown elsewhere already.
    """
    parts = [] if bicycle is None else [text(bicycle, width)]
    known: dict[str, Sequence[str]] = {"Left out": left_out}
    if alone:
        parts.insert(0, steering.text(figures, width))
        known = {"Assumed": figures.assumptions, "Left out": (*figures.left_out, *left_out)}
    for title, lines in known.items():
        if lines:
            parts.append(f"{title}:\n" + "\n".join(f"- {line}" for line in lines))
    return "\n\n".join(parts)


def text(part: LinearBicycle, width: int) -> str:
    """Return the tables.

    Args:
        part: the linearised bicycle.
        width: of the terminal [characters].
    """
    stands = "at sag" if part.at_sag else "as drawn"
    parts = [
        f"Linearised bicycle (Meijaard et al. 2007), {stands}: {part.label}",
        _parameters(part, width),
        _matrices(part),
        _over_speed(part),
        "\n".join(_speeds(part)),
        textwrap.fill(part.caveat, max(40, min(width, 100))),
    ]
    return "\n\n".join(parts)


def _parameters(part: LinearBicycle, width: int) -> str:
    own = part.parameters
    line = (
        f"Wheelbase {own.wheelbase_m:.3f} m, trail {1000 * own.trail_m:.1f} mm, steering axis "
        f"{own.tilt_degrees:.2f}° from the vertical; {AXES}"
    )
    head = ["", "x [m]", "z [m]", "mass [kg]", "Ixx [kg·m²]", "Iyy", "Izz", "Ixz"]

    def body(name: str, one: BodyMass) -> list[str]:
        inertia = (one.ixx_kg_m2, one.iyy_kg_m2, one.izz_kg_m2, one.ixz_kg_m2)
        return [
            name,
            number(one.x_m, 3),
            number(one.z_m, 3),
            number(one.mass_kg, 2),
            *(number(i, 3) for i in inertia),
        ]

    def wheel(name: str, x: float, one: WheelMass) -> list[str]:
        ixx, iyy = number(one.ixx_kg_m2, 3), number(one.iyy_kg_m2, 3)
        return [
            name, number(x, 3), number(-one.radius_m, 3), number(one.mass_kg, 2), ixx, iyy, ixx, "0",
        ]  # fmt: skip

    rider = part.rider_inertia_kg_m2
    rows = [
        wheel("rear wheel", 0.0, own.rear_wheel),
        body("rear frame and rider", own.body),
        body("front assembly", own.front_assembly),
        wheel("front wheel", own.wheelbase_m, own.front_wheel),
        [
            "of that the rider alone",
            "",
            "",
            number(part.rider_mass_kg, 2),
            *(number(float(rider[i, j]), 3) for i, j in ((0, 0), (1, 1), (2, 2), (0, 2))),
        ],
    ]
    return f"{textwrap.fill(line, max(40, width))}\n\n{table(head, rows)}"


def _matrices(part: LinearBicycle) -> str:
    m = part.matrices
    names = {"M": m.mass, "C1": m.damping, "K0": m.gravity, "K2": m.speed}

    def cell(a: Array, i: int, j: int) -> str:
        return number(float(a[i, j]), 4)

    rows = [
        [line, *(cell(a, i, j) for a in names.values() for j in (0, 1))]
        for i, line in enumerate(("lean", "steer"))
    ]
    head = [""]
    for name in names:
        head += [f"{name} lean", "steer"]
    return "M q'' + v C1 q' + (g K0 + v² K2) q = T\n\n" + table(head, rows)


def _over_speed(part: LinearBicycle) -> str:
    """Return the eigenvalues and the steady turn over speed."""
    rows = []
    for at in part.over_speed:
        real = [s.real for s in at.eigenvalues_per_s if s.imag == 0]
        pairs = [s for s in at.eigenvalues_per_s if s.imag > 0]
        rows.append(
            [
                number(at.speed_m_s, 0),
                "; ".join(number(s, 3) for s in real),
                "; ".join(f"{number(s.real, 3)} ± {number(s.imag, 3)}i" for s in pairs) or "–",
                number(at.steady_lean_per_steer, 2),
                number(at.steady_torque_nm_per_degree, 3),
            ]
        )
    head = [
        "Speed [m/s]",
        "eigenvalues, real [1/s]",
        "swinging [1/s]",
        "steady turn: lean per steer",
        "torque at the bar [N·m/°]",
    ]
    return table(head, rows, left=0)


def _speeds(part: LinearBicycle) -> list[str]:
    known = (
        ("Begins to swing", part.meeting_speed_m_s),
        ("Weave: swinging dies out", part.weave_speed_m_s),
        ("Capsize: begins to fall over slowly", part.capsize_speed_m_s),
    )
    return [
        f"{name} from {value:.1f} m/s" if value is not None else f"{name}: at no speed"
        for name, value in known
    ]
