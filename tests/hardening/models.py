"""Scale models of random plausible bikes, with options by a number: each of them must print."""

from __future__ import annotations

import random
import tempfile
import time
from pathlib import Path
from typing import Any, Final

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.errors import FrameError
from frame3d.mockup.drawing import Drawing
from frame3d.mockup.model import ScaleModel, model
from frame3d.mockup.printing.plates import plates
from frame3d.mockup.read_options import read_options
from frame3d.parameters.reading.reader import load
from tests.hardening.plausible import plausible

BEDS: Final = (
    "120x120x120", "150x150x150", "180x180x180", "220x220x250", "220x220x250", "256x256x256",
)  # fmt: skip


def wishes(number: int) -> dict[str, Any]:
    """Return options of a scale model: every other time the default ones."""
    dice = random.Random(f"wishes {number}")
    if number % 2 == 0:
        return {"bed": "220x220x250"}
    found: dict[str, Any] = {
        "bed": dice.choice(BEDS),
        "scale": f"1:{dice.choice((5, 6, 7, 8, 9, 10))}",
    }
    for key, values in (
        ("wall", (0.8, 1.0, 1.5)), ("rod", (1.5, 2.5)), ("fit", (0.1, 0.3)), ("turn", (0.2, 0.4)),
        ("kits", ("frame", "wheels,fork", "cranks", "fork,cockpit,saddle")), ("stand", (False,)),
    ):  # fmt: skip
        if dice.random() < 0.25:
            found[key] = dice.choice(values)
    return found


def printed(bike: Bike, **options: Any) -> ScaleModel:
    """Return the scale model of a bike, laid on plates.

    Raises:
        MockupError: it cannot be printed.
    """
    made = model(Drawing(bike, read_options(bike, **options)))
    plates(made)
    return made


def models(count: int, first: int = 0) -> int:
    """Print so many bikes from a number on; tell each that is refused; return how many are."""
    began, refused, bikes = time.monotonic(), 0, 0
    for number in range(first, first + count):
        with tempfile.TemporaryDirectory() as folder:
            bike = solve(load(plausible(number, Path(folder))))
        if not bike.tubes:
            continue
        bikes += 1
        try:
            printed(bike, **wishes(number))
        except FrameError as error:
            refused += 1
            print(f"bike {number} {wishes(number)}\n    {error}", flush=True)
        if bikes % 10 == 0:
            spent = time.monotonic() - began
            print(f"{bikes} bikes, {refused} refused, {spent:.0f} s", flush=True)
    print(f"{bikes} bikes with tubes of {count} from {first}, {refused} refused", flush=True)
    return refused
