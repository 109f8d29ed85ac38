"""Own limits and checks: one field a requirement, and names that are no check."""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from frame3d.parameters.models.clearance import ClearanceSpec
from frame3d.parameters.requirements import REQUIREMENTS
from tests.parameters.faults import GEO, Row, hold, row, row_name

SKIP = GEO + "clearance: {skip: [heel_to_frame, toe_to_front_tire]}\n"
ODD = GEO + "clearance: {skip: [everything]}\n"
EXTRA = GEO + "clearance: {extra: [{between: [seat_tube, bottle_1]}]}\n"
ONE = GEO + "clearance: {extra: [{between: [seat_tube], gap: 5}]}\n"
ROWS: list[Row] = [
    row(
        SKIP,
        "not-allowed",
        "clearance.skip.1",
        "toe_to_front_tire",
        "'toe_to_front_tire' is no check",
        "did you mean toe_to_front_tyre?",
    ),
    row(ODD, "not-allowed", "clearance.skip.0", "everything", "no check", "checks: rear_tyre_to_frame"),
    row(EXTRA, "missing-key", "clearance.extra.0.gap", "{between", "missing", "gap: 5"),
    row(ONE, "wrong-type", "clearance.extra.0.between.1", "[seat_tube]", "missing at the end", "by name"),
]  # fmt: skip


@pytest.mark.parametrize("row", ROWS, ids=row_name)
def test_fault(row: Row) -> None:
    hold(row)


@pytest.mark.parametrize("name", REQUIREMENTS)
def test_every_requirement_can_be_given_a_limit_and_left_out(name: str) -> None:
    """Up to the requirement's own highest limit, and not a hair beyond."""
    requirement = REQUIREMENTS[name]
    spec = ClearanceSpec.model_validate({name: requirement.high, "skip": [name]})
    assert spec.limit(name) == requirement.high
    assert spec.skip == (name,)
    others = {other: spec.limit(other) for other in REQUIREMENTS if other != name}
    assert set(others.values()) == {None}
    with pytest.raises(ValidationError, match="less than or equal"):
        ClearanceSpec.model_validate({name: requirement.high * 1.001})
