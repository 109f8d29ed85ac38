"""Ends of tubes: where they may sit, and what says nothing there."""

from __future__ import annotations

from typing import get_args

import pytest
from pydantic import ValidationError

from frame3d.errors import CODES
from frame3d.parameters.models.base import NODE_NAMES
from frame3d.parameters.models.fork import ForkSpec
from frame3d.parameters.models.junctions import JunctionSpec
from tests.parameters.faults import TUBE, Row, hold, row_name, tube

ROWS: list[Row] = [
    (
        tube(f"start: {{on: seat_tube, below_top: 4, angle: 70}}, {TUBE}"),
        "inconsistent",
        "tubes.brace.start.angle",
        (5, 55),
        "already placed by below_top",
        "keep one of below_top, angle",
    ),
    (
        tube(f"start: {{on: seat_tube, at: [1, 2, 3]}}, {TUBE}"),
        "inconsistent",
        "tubes.brace.start.at",
        (5, 38),
        "already sits on seat_tube",
        "keep either on",
    ),
    (
        tube(f"start: {{y: 3}}, {TUBE}"),
        "missing-key",
        "tubes.brace.start.on",
        (5, 18),
        "neither on nor at",
        "at: [x, y, z]",
    ),
    (
        tube(f"start: {{at: [1, 2, 3], side: left}}, {TUBE}"),
        "inconsistent",
        "tubes.brace.start.side",
        (5, 40),
        "free point",
        "x, y, z",
    ),
    (
        tube(f"start: {{on: rear_axle, angle: 80}}, {TUBE}"),
        "inconsistent",
        "tubes.brace.start.angle",
        (5, 41),
        "nothing on rear_axle",
        "forward, above",
    ),
    (
        tube(f"start: {{on: seat_tube, angle: 80, stop_short: 4}}, {TUBE}"),
        "inconsistent",
        "tubes.brace.start.stop_short",
        (5, 57),
        "nothing on the tube seat_tube",
        "below_top",
    ),
    (
        tube(f"start: {{on: rear_axle, side: left}}, {TUBE}"),
        "inconsistent",
        "tubes.brace.start.side",
        (5, 40),
        "nothing on rear_axle",
        "one only",
    ),
    (
        tube(f"start: {{on: rear_dropout, side: left, cut: mitre}}, {TUBE}"),
        "inconsistent",
        "tubes.brace.start.cut",
        (5, 54),
        "no round to mitre to",
        "square",
    ),
    (
        tube(f"start: {{at: [1, 2, 3], above: 4}}, {TUBE}"),
        "inconsistent",
        "tubes.brace.start.above",
        (5, 41),
        "free point",
        "x, y, z",
    ),
]


@pytest.mark.parametrize("row", ROWS, ids=row_name)
def test_fault(row: Row) -> None:
    hold(row)


def test_lists_do_for_tuples() -> None:
    assert JunctionSpec.model_validate({"at": [1, 2, 3]}).at == (1, 2, 3)


def test_problems_carry_documented_codes_and_say_so_to_scripts() -> None:
    with pytest.raises(ValidationError, match="measured: missing: makers measure"):
        ForkSpec(axle_to_crown=531)
    with pytest.raises(ValidationError) as caught:
        JunctionSpec(on="seat_tube", at=(1, 2, 3), below_top=4, angle=70)
    problems = caught.value.errors()[0]["ctx"]["problems"]
    assert [(p.code, p.key) for p in problems] == [
        ("inconsistent", "angle"),
        ("inconsistent", "at"),
    ]
    assert all(p.code in CODES and p.hint for p in problems)


@pytest.mark.parametrize("node", [*NODE_NAMES, "rear_dropout"])
def test_an_end_may_sit_on_every_node(node: str) -> None:
    assert JunctionSpec(on=node, forward=3, above=2, stop_short=1, y=4, cut="square").on == node


@pytest.mark.parametrize("key", ["below_top", "above_bottom", "from_start", "from_end", "angle"])
def test_each_placement_serves_on_a_tube_and_not_on_a_node(key: str) -> None:
    assert JunctionSpec.model_validate({"on": "brace", key: 60}).placements == (key,)
    with pytest.raises(ValidationError, match="says nothing on rear_axle"):
        JunctionSpec.model_validate({"on": "rear_axle", key: 60})


def test_sides_are_left_and_right() -> None:
    annotation = JunctionSpec.model_fields["side"].annotation
    assert set(get_args(get_args(annotation)[0])) == {"left", "right"}
