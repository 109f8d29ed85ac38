"""Stiffness of frames as tables for a terminal."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from frame3d.caution import CAUTION
from frame3d.cli.tables import chunks, number, table

if TYPE_CHECKING:
    from frame3d.family.stiffnesses import Stiffnesses
    from frame3d.stiffness.gains import Gain
    from frame3d.stiffness.load_cases import LoadCase
    from frame3d.stiffness.of_bike import Stiffness

LEAST_SHARE = 0.05
"""Shares of the strain energy below this are left out of the table."""
MOST_GAINS = 3
"""Tubes named for each load case in the table of gains."""


def told(found: Stiffnesses, width: int) -> str:
    """Return everything as tables, no wider than `width` where that can be."""
    return "\n\n".join(
        (
            *_stiffness(found, width),
            *_ratios(found),
            _energy(found, width),
            _gains(found.gains, [one.case for one in found.results[0].cases]),
            _cases(found),
            _remarks(found),
            CAUTION,
        )
    )


def _stiffness(found: Stiffnesses, width: int) -> Iterator[str]:
    yield ", ".join(member.title for member in found.members)
    head = ["Stiffness", *(member.label for member in found.members)]
    rows = []
    for one in found.results[0].cases:
        known = [result.value(one.case.key) for result in found.results]
        rows.append([f"{one.case.title} [{one.case.unit}]", *(number(v, 1) for v in known)])
    rows.append(["Weighed metal [g]", *(number(r.frame_mass, 0) for r in found.results)])
    yield chunks(head, rows, width)
    rows = [
        [f"{one.case.title} [{one.case.unit}]", *(_per_kg(r, one.case.key) for r in found.results)]
        for one in found.results[0].cases
    ]
    yield chunks(["Stiffness over 1 kg of metal", *head[1:]], rows, width)


def _per_kg(result: Stiffness, case: str) -> str:
    """Return a stiffness over the frame's weighed metal; a dash where there is none."""
    value = result.value(case)
    return number(None if value is None else 1000 * value / result.frame_mass, 1)


def _ratios(found: Stiffnesses) -> Iterator[str]:
    """Yield a table of ratios to the first, with the band and what it says."""
    for member, beside in zip(found.members[1:], found.comparisons, strict=True):
        rows = [
            [
                one.case.title,
                number(one.value),
                f"{one.low:.2f} to {one.high:.2f}",
                one.verdict,
            ]
            for one in beside.ratios
        ]
        rows.append(["Weighed metal", number(beside.mass_ratio), "", ""])
        head = [f"{member.label} over {found.members[0].label}", "ratio", "band", ""]
        yield table(head, rows)


def _energy(found: Stiffnesses, width: int) -> str:
    """Return the shares of strain energy of the first frame, a column each tube."""
    cases = found.results[0].cases
    keys = dict.fromkeys(
        key for one in cases for key, share in one.energy.items() if share >= LEAST_SHARE
    )
    head = [f"Strain energy, {found.members[0].label} [%]", *(_plain(key) for key in keys)]
    rows = [
        [one.case.title, *(number(100 * one.energy.get(key, 0.0), 0) for key in keys)]
        for one in cases
    ]
    return chunks(head, rows, width)


def _gains(gains: tuple[Gain, ...], cases: list[LoadCase]) -> str:
    """Return where a gram does most in each load case."""
    rows = []
    for case in cases:
        best = sorted(gains, key=lambda gain: -gain.per_gram(case.key))[:MOST_GAINS]
        for i, gain in enumerate(best):
            rows.append(
                [
                    case.title if i == 0 else "",
                    f"{_plain(gain.tube)} {'outside' if gain.size == 'od' else 'wall'} "
                    f"+{gain.more:g} mm",
                    number(gain.percent[case.key], 1, sign=True),
                    number(gain.grams, 1, sign=True),
                    number(10 * gain.per_gram(case.key), 1, sign=True),
                ]
            )
    head = ["Where a gram does most", "change", "%", "g", "% for 10 g"]
    return table(head, rows, left=2)


def _cases(found: Stiffnesses) -> str:
    """Return how each load case is held, loaded and read."""
    lines = [
        f"- {one.case.title}: {one.case.held}; {one.case.loaded}; {one.case.read}."
        for one in found.results[0].cases
    ]
    return "\n".join(
        ["Load cases (our own; no figure of another test compares with them):", *lines]
    )


def _remarks(found: Stiffnesses) -> str:
    assumed = dict.fromkeys(line for result in found.results for line in result.assumptions)
    left_out = dict.fromkeys(line for result in found.results for line in result.left_out)
    return "\n".join(
        (
            f"Assumed: {'; '.join(assumed)}.",
            f"Left out: {'; '.join(left_out)}.",
            "Ratios within the band are no difference: 2.5 points where only tubes' sections differ, "
            "13 % between frames (from a comparison with solid finite elements). Stiffer is not "
            "stronger: a thinner, larger tube scores better here and may dent, buckle or crack sooner.",
        )
    )


def _plain(key: str) -> str:
    return key.replace("_", " ")
