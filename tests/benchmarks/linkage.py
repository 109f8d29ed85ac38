"""All curves of a four-link suspension at 500 strokes, against its closed form and against pylinkage."""

from __future__ import annotations

import json
import time
from collections.abc import Callable, Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from tests.benchmarks.timing import python

Array = NDArray[np.float64]
Complex = NDArray[np.complex128]
TARGET_CLOSED, TARGET_PYLINKAGE = 20, 50
COUNT = 500
COGS = (10, 12, 14, 16, 18, 21, 24, 28, 32, 38, 44, 50)


def closed_form(at: Mapping[str, complex], strokes: Array) -> Complex:
    """The rear axle of the four links at strokes, as one would write it down for them alone: no
    derivatives, no checks.

    The rocker by the law of cosines in the triangle of its pivot and the shock's ends; the rear pivot
    where two circles meet; the axle fixed to the line from there to the rocker.

    Args:
        at: points as drawn, x + i·z [mm].
        strokes: (k,) [mm].
    """
    pivot, main, rear = at["rocker_pivot"], at["main_pivot"], at["rear_pivot"]
    base, arm = at["shock_front"] - pivot, at["rocker_shock"] - pivot
    length = abs(at["rocker_shock"] - at["shock_front"]) - strokes
    squares = abs(base) ** 2 + abs(arm) ** 2
    angle = np.arccos((squares - length**2) / (2 * abs(base) * abs(arm)))
    side = np.sign((np.conj(base) * arm).imag)
    start = side * np.arccos((squares - length[0] ** 2) / (2 * abs(base) * abs(arm)))
    top = pivot + (at["rocker_rear"] - pivot) * np.exp(1j * (side * angle - start))
    stay, chainstay = abs(at["rocker_rear"] - rear), abs(rear - main)
    away = top - main
    square = away.real**2 + away.imag**2
    along = (chainstay**2 - stay**2 + square) / (2 * square)
    beside = np.sqrt(chainstay**2 / square - along**2)
    side = np.sign((np.conj(at["rocker_rear"] - main) * (rear - main)).imag)
    low = main + away * (along + 1j * side * beside)
    out: Complex = low + (at["rear_axle"] - rear) / (at["rocker_rear"] - rear) * (top - low)
    return out


def time_all(rounds: int) -> dict[str, list[float]]:
    """Best seconds of each in every round, and the largest differences between their poses [mm]."""
    import pylinkage

    from frame3d.linkage import (
        LinkageMotion,
        SuspensionInputs,
        shock_load,
        solve_linkage,
        spring_of,
        target_sag,
        wheel_load,
    )
    from frame3d.linkage.curves.curves import curves
    from frame3d.linkage.trace import trace
    from tests.linkage.bikes import spec_of
    from tests.linkage.demos import FOUR_LINK_140, FOUR_LINK_AXLE

    spec = spec_of(FOUR_LINK_140)
    linkage = solve_linkage(spec, FOUR_LINK_AXLE, count=COUNT)
    assert spec.suspension is not None
    assert spec.suspension.spring is not None
    sag = target_sag(linkage, 0.3)
    force = shock_load(linkage, wheel_load(95, 0.65), sag.stroke)
    spring = spring_of(spec.suspension.spring, force, sag.stroke)
    ride = SuspensionInputs(372, 372, (772, 36), (80, 814), 32, COGS)
    mechanism, strokes = linkage.mechanism, linkage.stroke
    at = mechanism.drawn

    def poses() -> LinkageMotion:
        return LinkageMotion(mechanism, trace(mechanism, strokes))

    def everything() -> object:
        return curves(replace(linkage, motion=poses()), ride, spring)

    # The crank's steps are even in pylinkage; they end where the stroke does.
    pivot, rear = at["rocker_pivot"], at["rear_pivot"]
    swing = np.radians(linkage.motion.turn("rocker")[-1]) / (COUNT - 1)
    arm, stay = at["rocker_rear"] - pivot, at["rear_axle"] - rear

    def joints() -> pylinkage.Linkage:
        main, top = (pylinkage.Ground(p.real, p.imag) for p in (at["main_pivot"], pivot))
        rocker = pylinkage.Crank(
            top, abs(arm), angular_velocity=swing, initial_angle=float(np.angle(arm)) - swing
        )
        low = pylinkage.RRRDyad(
            rocker.output, main, abs(at["rocker_rear"] - rear), abs(rear - at["main_pivot"]),
            x=rear.real, y=rear.imag,
        )  # fmt: skip
        turn = float(np.angle(stay / (at["rocker_rear"] - rear)))
        axle = pylinkage.FixedDyad(low, rocker.output, abs(stay), turn)
        made = pylinkage.Linkage((main, top, rocker, low, axle))
        made.set_input_velocity(rocker, omega=1.0)
        return made

    ways: dict[str, Callable[[], object]] = {
        "closed form": lambda: closed_form(at, strokes),
        "poses": poses,
        "curves": everything,
    }
    steps: dict[str, Callable[[], object]] = {
        "pylinkage": lambda: list(joints().step(iterations=COUNT)),
        "pylinkage with derivatives": lambda: list(
            joints().step_with_derivatives(iterations=COUNT)
        ),
    }
    best: dict[str, list[float]] = {name: [] for name in (*ways, *steps)}
    for _ in range(rounds):
        for group, repeats in ((ways, 50), (steps, 2)):
            for name, way in group.items():
                best[name].append(min(_once(way) for _ in range(repeats)))

    direct = np.abs(closed_form(at, strokes) - linkage.motion.wheel.at).max()
    told = np.array([complex(*row[4]) for row in joints().step(iterations=COUNT)])
    turned = arm * np.exp(1j * swing * np.arange(COUNT))
    fixed = at["rocker_shock"] - pivot
    lengths = np.abs(pivot + fixed * turned / arm - at["shock_front"])
    same = linkage.at_strokes(np.clip(mechanism.length - lengths, 0, linkage.full_stroke))
    stepped = np.abs(same.wheel.at - told).max()
    return best | {"off closed form": [float(direct)], "off pylinkage": [float(stepped)]}


def _once(way: Callable[[], object]) -> float:
    begin = time.perf_counter()
    way()
    return time.perf_counter() - begin


def measure(rounds: int) -> list[tuple[str, str]]:
    """Rows of the report; in a process of its own, one thread."""
    code = (
        "import json; from tests.benchmarks.linkage import time_all;"
        f"print(json.dumps(time_all({rounds})))"
    )
    best = json.loads(python(["-c", code])[1])

    def shown(name: str) -> str:
        return f"{1e6 * np.median(best[name]):.0f} µs"

    def ratio(name: str, base: str) -> str:
        """Median over the rounds: a busy or throttled machine slows both of a round alike."""
        return f"{np.median([a / b for a, b in zip(best[name], best[base], strict=True)]):.1f}"

    moving = "pylinkage with derivatives"
    return [
        (f"all curves, {COUNT} strokes, {len(COGS)} gears, air spring", shown("curves")),
        ("of these the poses and their derivatives", shown("poses")),
        ("closed form of the axle's positions alone, in numpy", shown("closed form")),
        (
            f"ratio all curves / closed form (target ≤ {TARGET_CLOSED})",
            ratio("curves", "closed form"),
        ),
        ("ratio poses / closed form", ratio("poses", "closed form")),
        (f"pylinkage stepping the same joints to {COUNT} positions", shown("pylinkage")),
        ("the same with velocities and accelerations", shown(moving)),
        (
            f"ratio pylinkage / all curves (target ≥ {TARGET_PYLINKAGE})",
            ratio("pylinkage", "curves"),
        ),
        ("ratio pylinkage / poses", ratio("pylinkage", "poses")),
        ("ratio pylinkage with derivatives / all curves", ratio(moving, "curves")),
        ("ratio pylinkage with derivatives / poses", ratio(moving, "poses")),
        ("largest difference to the closed form", f"{best['off closed form'][0]:.1e} mm"),
        ("largest difference to pylinkage", f"{best['off pylinkage'][0]:.1e} mm"),
    ]
