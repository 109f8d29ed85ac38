"""Masses without a CAD kernel against the kernel's own: demos, starters, random bikes, cut-off ends."""

from __future__ import annotations

import io
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from ruamel.yaml import YAML

import frame3d
from frame3d.bike.bike import Bike
from frame3d.errors import FrameError
from frame3d.fabrication.drawing import frame_grams
from frame3d.solids import FrameModel, make
from frame3d.tubes.mass import masses_of
from tests.frames import bar, context, demo, demo_solids
from tests.sampling import EVERY_CASE, everyday, thorough

CONFIGS = Path(frame3d.__file__).parent.parent / "configs"
STARTERS = Path(frame3d.__file__).parent / "parameters" / "starters"
PROMISED = 2e-3
"""Of each part's mass; see `masses_of`."""
TWICE = ("single_pivot_rocker", "four_bar")
"""Starters that are demos under another name, see `tests/parameters/test_starter.py`."""
FILES = sorted(
    path
    for path in (*CONFIGS.glob("*.yaml"), *STARTERS.glob("*.yaml"))
    if path.stem not in TWICE and "\ntubes:" in path.read_text(encoding="utf-8")
)
NAMES = [path.stem for path in FILES]


def worst(layout: Bike, solid: FrameModel) -> tuple[float, str]:
    """Greatest relative difference of a part's mass from the solid's, and whose; also of the frame's
    mass in the drawing's title block.
    """
    grams = masses_of(layout.frame).parts
    solids = {part.name: part.mass for part in solid.parts}
    assert frame_grams(layout, grams) == pytest.approx(sum(solids.values()), rel=PROMISED)
    assert {tube.name for tube in layout.tubes} <= set(grams) <= set(solids)
    return max((abs(grams[name] / solids[name] - 1), name) for name in grams)


@pytest.mark.parametrize("name", everyday(("trail_full_140", "trail_hardtail_29"), NAMES))
def test_every_part_of_every_demo_and_starter_weighs_what_its_solid_does(name: str) -> None:
    off, part = worst(demo(name), demo_solids(name))
    assert off < PROMISED, part


def varied(path: Path, seed: int, folder: Path) -> Path:
    """A file with its figures, sizes and junctions changed by up to a tenth."""
    rng = np.random.default_rng(seed)
    data = YAML().load(path.read_text(encoding="utf-8"))

    def vary(value: Any) -> Any:
        if isinstance(value, bool) or not isinstance(value, int | float):
            return value
        return round(float(value) * rng.uniform(0.9, 1.1), 2)

    for key, value in data["geometry"].items():
        # Angles by a few degrees: a tenth of a head tube angle is no bike.
        off = rng.uniform(-3.0, 3.0)
        data["geometry"][key] = round(value + off, 2) if key.endswith("angle") else vary(value)
    for tube in data["tubes"].values():
        for key in ("od", "wall"):
            if key in tube:
                tube[key] = vary(tube[key])
        for end in ("start", "end"):
            for key in tube.get(end, {}):
                if key not in ("angle", "y"):
                    tube[end][key] = vary(tube[end][key])
    stream = io.StringIO()
    YAML().dump(data, stream)
    made = folder / f"{path.stem}_{seed}.yaml"
    made.write_text(stream.getvalue(), encoding="utf-8")
    return made


@pytest.mark.parametrize("seeds", [range(40) if EVERY_CASE else [3], thorough([2])])
def test_every_part_of_random_bikes_weighs_what_its_solid_does(
    seeds: Sequence[int], tmp_path: Path
) -> None:
    seen = 0
    for seed in seeds:
        path = varied(FILES[seed % len(FILES)], seed, tmp_path)
        try:
            bike = frame3d.solve(frame3d.load(path))
            off, name = worst(bike, make(bike))
        except FrameError:
            continue  # no bike: tubes that miss, walls that leave no bore
        seen += 1
        assert off < PROMISED, (path.stem, name)
    assert seen


def test_what_another_tube_cuts_off_is_not_weighed() -> None:
    """A tube's end beyond one that crosses it whole, and an ear between two that meet on it."""
    crossed = context(
        {
            "mast": bar(50.0, (0, 0, -200), (0, 0, 200), 2.0),
            "across": bar(40.0, (60, 0, -150), (60, 0, 150), 1.5),
            "beam": bar(30.0, {"on": "mast", "from_start": 200.0}, (400, 0, 20), 1.0),
        }
    )
    assert worst(crossed, make(crossed))[0] < PROMISED
    length = crossed.tube("beam").axis.length
    whole = np.pi * 29.0 * (length - 80.0) * 7.85e-3
    # Less than what goes on beyond the crossing tube: 400 − 80 long but for the mitre, by hand.
    assert masses_of(crossed.frame).parts["beam"] == pytest.approx(whole, rel=0.03)
