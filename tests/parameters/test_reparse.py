"""A text with another number in it is the same tree, however it is read."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from frame3d.errors import SourceLocation, SpecError
from frame3d.parameters.reading import tree
from frame3d.parameters.reading.reader import loads
from frame3d.parameters.reading.reparse import Reparse, patched

CONFIGS = Path(__file__).parents[2] / "configs"
NUMBER = re.compile(r"(?<![\w.#-])[-+]?\d+(?:\.\d+)?%?(?![\w.])")


def placing(text: str) -> Callable[[int, int], SourceLocation]:
    rows = tree.lines(text)
    return lambda line, column: SourceLocation(
        "x", line, column, rows[line - 1] if line <= len(rows) else ""
    )


def parsed(text: str) -> tree.Parsed:
    return tree.parse(text, placing(text))


def again(old: str, new: str) -> tree.Parsed | None:
    return patched(parsed(old), old, new, placing(new))


@pytest.mark.parametrize("name", ["minimal", "trail_hardtail_29", "trail_full_140"])
def test_every_number_of_a_demo(name: str) -> None:
    """Numbers in comments and quotes included: what is patched is what the parser makes of it."""
    text = (CONFIGS / f"{name}.yaml").read_text(encoding="utf-8")
    tree_of_text = parsed(text)
    found = list(NUMBER.finditer(text))
    patches = 0
    for i, number in enumerate(found):
        new = ("7", "-12.25", "130.", "5%")[i % 4]
        changed = text[: number.start()] + new + text[number.end() :]
        result = patched(tree_of_text, text, changed, placing(changed))
        if result is not None and i % 5 == 0:  # the parser is slow
            assert result == parsed(changed)
        patches += result is not None
    assert patches > len(found) / 2


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("a: {b: 1, c: [2, 3], d: x}\ne: 4\n", "a: {b: 123.5, c: [2, 3], d: x}\ne: 4\n"),
        ("a: {b: 1, c: [25, 3], d: x}\n", "a: {b: 1, c: [2, 3], d: x}\n"),
        ("a: 1\r\nb: 2\r\n", "a: 1\r\nb: -2.5%\r\n"),
        ("- 10\n- 20", "- 10\n- 2"),
        ("a: &one {b: 1}\nc: *one\nd: {<<: *one, e: 2}\n", "a: &one {b: 9}\nc: *one\nd: {<<: *one, e: 2}\n"),
        ("a: 1 # 1\n", "a: 11 # 1\n"),
        ("a: 66\n", "a: 666\n"),
    ],
)  # fmt: skip
def test_a_number_is_exchanged_with_all_places(old: str, new: str) -> None:
    result = again(old, new)
    assert result == parsed(new)
    assert result != parsed(old)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("a: 1\n", "a: x\n"),
        ("a: 1\n", "a: \n"),
        ("a: 1\n", "a: 1\nb: 2\n"),
        ("a: 1\nb: 2\n", "a: 3\nb: 4\n"),
        ("1: a\n", "2: a\n"),
        ("a: '1'\n", "a: '2'\n"),
        ("a: 1 2\n", "a: 1 3\n"),
        ("a: x1\n", "a: x2\n"),
        ("a: |\n  1\n", "a: |\n  2\n"),
        ("a: 1 # 2\n", "a: 1 # 3\n"),
        ("a: &b 1\n", "a: &b 2\n"),
        ("a: 1\n 2\n", "a: 3\n 2\n"),
        ("a: 5-6\n", "a: 5-7\n"),
        ("a: 1\n", "a: 1\n"),
    ],
)
def test_anything_else_is_left_to_the_parser(old: str, new: str) -> None:
    assert again(old, new) is None


def test_one_text_after_the_other_reads_as_each_alone() -> None:
    text = (CONFIGS / "minimal.yaml").read_text(encoding="utf-8")
    angle = re.search(r"head_tube_angle: ([\d.]+)", text)
    assert angle is not None
    parse = Reparse()
    for typed in (angle[1], "66.25", "6", "66.2x", "66.", "", "64", "true", "65.9"):
        changed = text.replace(angle[0], f"head_tube_angle: {typed}")
        outcomes: list[object] = []
        for way in (tree.parse, parse):
            try:
                spec = loads(changed, "x", parse=way)
                outcomes.append((spec, spec.place("geometry.head_tube_angle")))
            except SpecError as error:
                outcomes.append(error.faults)
        assert outcomes[0] == outcomes[1]
