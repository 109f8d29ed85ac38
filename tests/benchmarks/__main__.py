"""Speed, as ratios within one run: ``python -m tests.benchmarks [start|many|linkage|distances|checks|build|report|compare|stiffness|explore|mockup|live|slow] [--quick]``.

``python -m tests.benchmarks explore --against FOLDER`` sets decisions and a cold check beside those of
another tree, e.g. a `git worktree` of an earlier commit.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

from tests.benchmarks import (
    against,
    build,
    checks,
    cold_start,
    compare,
    distances,
    explore,
    linkage,
    live,
    many,
    mockup,
    report,
    stiffness,
)

PARTS: dict[str, tuple[str, Callable[[int], list[tuple[str, str]]], int]] = {
    "start": ("Cold start of solve", cold_start.measure, 11),
    "many": ("Many bikes at once", many.measure, 7),
    "linkage": ("Curves of a suspension", linkage.measure, 9),
    "distances": ("Certified gaps", distances.measure, 5),
    "checks": ("All checks of a bike with a rear suspension", checks.measure, 4),
    "build": ("Build of the demo", build.measure, 5),
    "report": ("Report of the demo", report.measure, 5),
    "compare": ("Bikes side by side", compare.measure, 5),
    "stiffness": ("Stiffness of a frame", stiffness.measure, 5),
    "explore": ("Designs of a study", explore.measure, 5),
    "mockup": ("Scale model of the demo", mockup.measure, 5),
    "live": ("Workspace, from keystroke to picture", live.measure, 5),
    "slow": ("Workspace, from keystroke to clearances, curves and solids", live.slow_work, 5),
}


def main() -> None:
    """Run the benchmarks named on the command line, all where none is, and print their tables."""
    words = sys.argv[1:]
    quick = "--quick" in words
    other = None
    if "--against" in words:
        at = words.index("--against")
        other = Path(words[at + 1]).resolve()
        del words[at : at + 2]
    asked = [name for name in words if not name.startswith("-")]
    for name, (title, measure, runs) in PARTS.items():
        if asked and name not in asked:
            continue
        rounds = max(1, runs // 4) if quick else runs
        if name == "explore" and other is not None:
            rows = against.measure(other, rounds)
        else:
            rows = measure(rounds)
        width = max(len(what) for what, _ in rows)
        print(f"\n{title}")
        for what, value in rows:
            print(f"  {what:<{width}}  {value}")


if __name__ == "__main__":
    main()
