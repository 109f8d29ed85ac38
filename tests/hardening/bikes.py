"""Random plausible bikes through every command, and what they write through readers that are not ours."""

from __future__ import annotations

import json
import tempfile
from pathlib import Path
from typing import Final

import frame3d
from tests.hardening.plausible import plausible
from tests.hardening.referees import refused
from tests.hardening.running import Ended, run

VERBS: Final = ("build", "fabricate", "report", "mockup")
OF_TUBES: Final = ("build", "fabricate", "mockup")
"""Commands that a bike without tubes has nothing for."""
FINE: Final = {"report": (0, 1)}
"""Exit statuses that a plausible bike may have, where that is not 0 alone: a clearance may fall short.
`fabricate` has 1 as well, where it leaves something out, which is to be looked at."""
CLOSE: Final = 0.002
"""How far masses of solids and without solids are apart, at most (DEVELOPERS.md, changes of numbers)."""


def bikes(count: int, first: int = 0) -> int:
    """Run bikes, tell what goes wrong; return how many did."""
    bad = 0
    for number in range(first, first + count):
        wrong = wrong_with(number)
        bad += bool(wrong)
        for line in wrong:
            print(f"bike {number}: {line}", flush=True)
        if (number - first + 1) % 10 == 0:
            print(f"{number - first + 1} of {count} bikes, {bad} went wrong", flush=True)
    return bad


def wrong_with(number: int, verbs: tuple[str, ...] = VERBS) -> list[str]:
    """Return what a bike's commands refuse, or write that a reader refuses."""
    found = []
    with tempfile.TemporaryDirectory() as held:
        folder = Path(held)
        file = plausible(number, folder)
        if not frame3d.load(file).tubes:
            verbs = tuple(verb for verb in verbs if verb not in OF_TUBES)
        for verb in verbs:
            scale = ["--length", "200"] if verb == "mockup" else []
            try:
                ended = run(verb, file, "-o", folder / verb, *scale, "--json")
            except Exception as error:
                ended = Ended(70, "", f"{type(error).__name__}: {error}")
            if ended.status not in FINE.get(verb, (0,)):
                found.append(
                    f"{file.stem}: {verb}: {ended.status} {(ended.err or ended.out)[:300]}"
                )
            found += [f"{file.stem}: {verb}: {line}" for line in refused(folder / verb)]
        if "build" in verbs and (folder / "build" / "geometry.json").exists():
            found += [f"{file.stem}: {line}" for line in _masses(file, folder / "build")]
    return found


def _masses(file: Path, built: Path) -> list[str]:
    """Return the tubes whose mass without solids is not that of the solid, within `CLOSE`."""
    made = json.loads((built / "geometry.json").read_text(encoding="utf-8"))["mass"]["parts_g"]
    quick = json.loads(run("solve", file, "--mass", "--json").out)["mass"]["parts_g"]
    return [
        f"{name}: {grams:.2f} g without solids, {made[name]:.2f} g with"
        for name, grams in quick.items()
        if abs(grams / made[name] - 1) > CLOSE
    ]
