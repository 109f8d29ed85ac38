"""``python -m tests.hardening N [FIRST]``: N spoilt files, each with a command; tells what goes wrong.

``python -m tests.hardening --show NUMBER`` prints the file and the command of one case.
"""

from __future__ import annotations

import sys

from tests.hardening.mutation import ALL, case, wrong_with


def main(words: list[str]) -> int:
    """Run cases; 1 where something went wrong, else 0."""
    if words[:1] == ["--show"]:
        one = case(int(words[1]), ALL)
        sys.stdout.buffer.write(one.data)
        print(f"\n# {one}", file=sys.stderr)
        return 0
    count = int(words[0]) if words else 300
    first = int(words[1]) if len(words) > 1 else 0
    bad = 0
    for number in range(first, first + count):
        one = case(number, ALL)
        wrong = wrong_with(one)
        if wrong:
            bad += 1
            print(f"{one}\n    {wrong}", flush=True)
        if (number - first + 1) % 100 == 0:
            print(f"{number - first + 1} of {count}, {bad} went wrong", flush=True)
    return int(bad > 0)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
