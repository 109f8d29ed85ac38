"""The rear shock: its size by name or in millimetres, once, and never a stroke of half its length."""

from __future__ import annotations

import pytest

from frame3d.parameters.models.shock import ShockSpec
from tests.parameters.faults import GEO, Row, hold, row, row_name

POINTS = (
    "suspension: {points: {main_pivot: [0, 60], front: [150, 90], rear: [-50, 100]}, "
    "links: {frame: [main_pivot, front], arm: [main_pivot, rear]}, axle: {on: arm}, shock: {"
)


def shock(body: str) -> str:
    return GEO + POINTS + body + "}}\n"


TWICE = shock("start: front, end: rear, size: 210x55, stroke: 54")
NONE = shock("start: front, end: rear, stroke: 54")
LONG = shock("start: front, end: rear, eye_to_eye: 200, stroke: 100")
SAME = shock("start: front, end: front, size: 210x55")
INCH = shock("start: front, end: rear, size: 8x2")
ROWS: list[Row] = [
    row(TWICE, "inconsistent", "suspension.shock.stroke", "54}", "210x55 says it already", "keep either"),
    row(NONE, "missing-key", "suspension.shock.eye_to_eye", "{start", "missing", "eye_to_eye: 210"),
    row(LONG, "shock", "suspension.shock.stroke", "100}}", "half its length", "less than 100"),
    row(SAME, "shock", "suspension.shock.end", "front, size", "the same point", "other end"),
    row(INCH, "unknown-size", "suspension.shock.size", "8x2", "'8x2' is no known shock size", "stroke"),
]  # fmt: skip


@pytest.mark.parametrize("row", ROWS, ids=row_name)
def test_fault(row: Row) -> None:
    hold(row)


@pytest.mark.parametrize(
    ("size", "length", "stroke"),
    [("210x55", 210, 55), ("185x55", 185, 55), ("7.875x2.25", 200.025, 57.15)],
)
def test_a_size_is_its_two_numbers(size: str, length: float, stroke: float) -> None:
    """Inches at 25.4 mm."""
    named = ShockSpec(start="a", end="b", size=size)
    plain = ShockSpec(start="a", end="b", eye_to_eye=length, stroke=stroke)
    for given in (named, plain):
        assert given.length == pytest.approx(length, abs=1e-9)
        assert given.full_stroke == pytest.approx(stroke, abs=1e-9)


def test_a_shock_shortens_by_just_less_than_half() -> None:
    assert ShockSpec(start="a", end="b", eye_to_eye=200, stroke=99.9).full_stroke == 99.9
