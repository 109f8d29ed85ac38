"""Random plausible bikes: every number of a demo or starter shifted a little, kept where it still solves."""

from __future__ import annotations

import json
import random
from pathlib import Path
from typing import Any, Final

from ruamel.yaml import YAML

import frame3d
from frame3d.bike.bike import Bike
from frame3d.errors import FrameError
from frame3d.parameters.starters.starter import SUSPENSIONS, starter
from tests.hardening.mutation import places
from tests.hardening.running import ROOT

SHARES: Final = (0.1, 0.15)
"""How far numbers are shifted, to each side; angles a quarter of that."""
FIXED: Final = ("format", "cogs", "material")
GROSS: Final = 5.0
"""What a plausible bike's parts do not lie in one another by [mm]."""


def plausible(number: int, folder: Path) -> Path:
    """Write the bike of a number; return its file. Always the same one.

    Shifts that no longer solve together are taken back by halves; all are made smaller until no parts
    lie grossly in one another.
    """
    dice = random.Random(f"plausible {number}")
    share = dice.choice(SHARES)
    name, text = dice.choice(_bases())
    data = YAML(typ="safe", pure=True).load(text)
    file = folder / f"{number:05d}_{name}.yaml"
    shifts = [
        (holder, key, holder[key], dice.uniform(-1, 1) * (share / 4 if _angle(key) else share))
        for holder, key, path in places(data)
        if type(holder[key]) in (int, float) and not set(FIXED) & set(path)
    ]
    dice.shuffle(shifts)
    kept = _kept(data, shifts, file)
    for part in (1.0, 0.6, 0.3, 0.15, 0.0):
        for holder, key, value, by in kept:
            holder[key] = _shifted(key, value, part * by)
        bike = _solved(data, file)
        if bike is not None and not _gross(bike):
            return file
    raise AssertionError(f"{name} itself has parts in one another")


def _bases() -> list[tuple[str, str]]:
    """Names and texts of demos and starters."""
    demos = sorted((ROOT / "configs").glob("*.yaml"))
    return [
        *((file.stem, file.read_text(encoding="utf-8")) for file in demos),
        *((f"starter_{kind}", starter("My bike", kind)) for kind in (None, *SUSPENSIONS)),
    ]


def _angle(key: object) -> bool:
    return isinstance(key, str) and "angle" in key


def _shifted(key: object, value: float, by: float) -> float:
    new = value * (1 + by)
    return round(new) if key == "teeth" else round(new, 2)


def _kept(data: Any, shifts: list[Any], file: Path) -> list[Any]:
    """Return the shifts that solve together, halving those that do not; all are taken back."""
    kept: list[Any] = []

    def go(some: list[Any]) -> None:
        for holder, key, value, by in some:
            holder[key] = _shifted(key, value, by)
        if _solved(data, file) is not None:
            kept.extend(some)
            return
        for holder, key, value, _ in some:
            holder[key] = value
        if len(some) > 8:
            go(some[: len(some) // 2])
            go(some[len(some) // 2 :])

    go(shifts)
    return kept


def _solved(data: Any, file: Path) -> Bike | None:
    file.write_text(json.dumps(data, indent=1, ensure_ascii=False), encoding="utf-8")
    try:
        return frame3d.solve(frame3d.load(file))
    except FrameError:
        return None


def _gross(bike: Bike) -> bool:
    """Whether parts lie in one another by far."""
    results = frame3d.check(bike, tolerance=0.5).results
    return any(r.unit == "mm" and r.between and r.gap < -GROSS for r in results)
