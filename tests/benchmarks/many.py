"""`solve_many` on one core, against the bare closed form of the same figures."""

from __future__ import annotations

import json
import time

import numpy as np
from numpy.typing import NDArray

from tests.benchmarks.timing import python

Array = NDArray[np.float64]
TARGET_RATE, TARGET_RATIO = 300_000, 20
COUNT = 200_000
USUAL: dict[str, tuple[float, float]] = {
    "reach": (380, 520),
    "head_tube_angle": (62, 74),
    "head_tube_length": (90, 200),
    "effective_seat_tube_angle": (72, 79),
    "seat_tube_length": (380, 560),
    "chainstay_length": (405, 455),
    "bb_drop": (0, 80),
    "fork_axle_to_crown": (370, 590),
    "fork_offset": (37, 52),
    "lower_headset_stack": (0, 15),
    "front_wheel_radius": (330, 375),
    "rear_wheel_radius": (330, 375),
}
"""The usual set with ranges in mm and degrees; the seat tube passes through the bottom bracket."""


def bikes(count: int) -> dict[str, Array]:
    """Random bikes of the usual set, the same every time: (count,) float each."""
    random = np.random.default_rng(0)
    return {name: random.uniform(low, high, count) for name, (low, high) in USUAL.items()}


def closed_form(f: dict[str, Array]) -> dict[str, Array]:
    """All figures of the chart from the usual set, as one would write them down for it alone."""
    steer = np.radians(f["head_tube_angle"])
    sin, cos = np.sin(steer), np.cos(steer)
    along = f["head_tube_length"] + f["lower_headset_stack"] + f["fork_axle_to_crown"]
    bb_height = f["rear_wheel_radius"] - f["bb_drop"]
    z = f["front_wheel_radius"] - bb_height
    x = f["reach"] + along * cos + f["fork_offset"] * sin
    stack = z + along * sin - f["fork_offset"] * cos
    square = f["front_wheel_radius"] * cos - f["fork_offset"]
    return {
        **f,
        "stack": stack,
        "effective_seat_tube_angle_at_stack": f["effective_seat_tube_angle"].copy(),
        "actual_seat_tube_angle": f["effective_seat_tube_angle"].copy(),
        "seat_tube_offset": np.zeros_like(z),
        "effective_top_tube": f["reach"]
        + stack / np.tan(np.radians(f["effective_seat_tube_angle"])),
        "front_centre": np.hypot(x, z),
        "wheelbase": x + np.sqrt(f["chainstay_length"] ** 2 - f["bb_drop"] ** 2),
        "bb_height": bb_height,
        "trail": square / sin,
        "mechanical_trail": square,
        "wheel_flop": square * cos,
        "fork_length_straight": np.hypot(f["fork_axle_to_crown"], f["fork_offset"]),
    }


def time_both(rounds: int) -> dict[str, float]:
    """Best seconds of each for `COUNT` bikes, and the largest difference between their figures."""
    from frame3d.chart.batch import solve_many

    figures = bikes(COUNT)
    best = {"solver": np.inf, "closed form": np.inf}
    for _ in range(rounds):
        begin = time.perf_counter()
        batch = solve_many(figures)
        middle = time.perf_counter()
        direct = closed_form(figures)
        end = time.perf_counter()
        best["solver"] = min(best["solver"], middle - begin)
        best["closed form"] = min(best["closed form"], end - middle)
    assert batch.solved.all()
    worst = max(float(np.abs(a - direct[name]).max()) for name, a in batch.figures.items())
    return best | {"difference": worst}


def measure(rounds: int) -> list[tuple[str, str]]:
    """Rows of the report; in a process of its own, one thread."""
    code = (
        "import json; from tests.benchmarks.many import time_both;"
        f"print(json.dumps(time_both({rounds})))"
    )
    best = json.loads(python(["-c", code])[1])
    rate = COUNT / best["solver"]
    return [
        (f"solve_many, {COUNT} bikes of the usual set", f"{best['solver']:.3f} s"),
        ("bare closed form in numpy", f"{best['closed form']:.4f} s"),
        (f"bikes a second on one core (target ≥ {TARGET_RATE})", f"{rate:,.0f}"),
        (
            f"ratio to the closed form (target ≤ {TARGET_RATIO})",
            f"{best['solver'] / best['closed form']:.1f}",
        ),
        ("largest difference between the two", f"{best['difference']:.1e} mm or degrees"),
    ]
