"""``python -m tests.hardening N [FIRST]``: N spoilt files, each with a command; tells what goes wrong.

It ends with the processor time of each command: the median, and the worst as a multiple of it.

``python -m tests.hardening --show NUMBER`` prints the file and the command of one case.

``python -m tests.hardening bikes N [FIRST]``: N random plausible bikes through the commands that write,
and their files through readers that are not ours.

``python -m tests.hardening models N [FIRST]``: scale models of N random plausible bikes; tells which are
refused.

``python -m tests.hardening decisions N [FIRST]``: every check of N random designs of the demos as studies
decide it against the full check; tells which differ, and where to go on.

``python -m tests.hardening edits N``: what N edits in the workspace add to its memory.

``python -m tests.hardening same``: every demo through every command in two environments.

``python -m tests.hardening crashes [EVERY [STEP]]``: the writer, killed at every change that it makes to
the disk, its recovery killed at every change too after each EVERY-th of these, and each STEP-th refused.

``python -m tests.hardening kills N SEED``: N real commands, killed at random while they work or write, and
what the next run makes of their folders. ``kills COMMAND STEP``: one, at each STEP-th of its changes.
"""

from __future__ import annotations

import sys
import tempfile
from collections import defaultdict
from pathlib import Path
from statistics import median
from time import process_time

from tests.hardening.bikes import bikes
from tests.hardening.crash import crashes
from tests.hardening.decisions import decisions
from tests.hardening.edits import growth
from tests.hardening.kills import OFTEN, each, kills
from tests.hardening.models import models
from tests.hardening.mutation import ALL, case, wrong_with
from tests.hardening.running import ROOT
from tests.hardening.sameness import different


def main(words: list[str]) -> int:
    """Run cases; 1 where something went wrong, else 0."""
    if words[:1] == ["--show"]:
        one = case(int(words[1]), ALL)
        sys.stdout.buffer.write(one.data)
        print(f"\n# {one}", file=sys.stderr)
        return 0
    of_bikes = {"bikes": bikes, "models": models, "decisions": decisions}
    if words and words[0] in of_bikes:
        return int(of_bikes[words[0]](*map(int, words[1:])) > 0)
    if words[:1] == ["crashes"]:
        return int(crashes(*map(int, words[1:])) > 0)
    if words[:1] == ["kills"]:
        if words[1] in OFTEN:
            return int(each(words[1], int(words[2])) > 0)
        return int(kills(int(words[1]), int(words[2])) > 0)
    if words[:1] == ["edits"]:
        gained = growth(int(words[1]), after=100)
        print(f"{words[1]} edits after the first 100: {gained:.0f} bytes gained for each")
        return 0
    if words[:1] == ["same"]:
        return _same()
    count = int(words[0]) if words else 300
    first = int(words[1]) if len(words) > 1 else 0
    bad, spent = 0, defaultdict[str, list[tuple[float, int]]](list)
    for number in range(first, first + count):
        one = case(number, ALL)
        start = process_time()
        wrong = wrong_with(one)
        spent[one.words[0]].append((process_time() - start, number))
        if wrong:
            bad += 1
            print(f"{one}\n    {wrong}", flush=True)
        if (number - first + 1) % 100 == 0:
            print(f"{number - first + 1} of {count}, {bad} went wrong", flush=True)
    for verb, times in sorted(spent.items()):
        middle, (worst, number) = median(t for t, _ in times), max(times)
        print(
            f"{verb:>10}: {len(times)} files, median {1e3 * middle:.1f} ms, "
            f"worst {worst / middle:.0f} times that (case {number})"
        )
    return int(bad > 0)


def _same() -> int:
    """Tell what differs for each demo; 1 where anything does, else 0."""
    bad = False
    for file in sorted((ROOT / "configs").rglob("*.yaml")):
        with tempfile.TemporaryDirectory() as folder:
            found = different(file, Path(folder))
        bad = bad or bool(found)
        print(f"{file.stem}: {', '.join(found) or 'the same'}", flush=True)
    return int(bad)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
