"""Tyres: designations that are none, everyday sizes, the rule of the diameter."""

from __future__ import annotations

import re

import pytest
from hypothesis import given as given_by
from hypothesis import settings
from hypothesis import strategies as st

from frame3d.parameters.sizes.tyres import BEAD_SEATS, tyre
from frame3d.parameters.sizes.unknown import UnknownSize
from tests.parameters.faults import GEO, Row, hold, row_name

ROWS: list[Row] = [
    (
        GEO + "build: {rear_wheel: {tyre: 61-621}}\n",
        "unknown-size",
        "build.rear_wheel.tyre",
        (4, 28),
        "621",
        "61-622",
    ),
    (
        GEO + "build: {rear_wheel: {tyre: 29x2.4}}\n",
        "unknown-size",
        "build.rear_wheel.tyre",
        (4, 28),
        "ETRTO",
        "commonly 61-622",
    ),
]


@pytest.mark.parametrize("row", ROWS, ids=row_name)
def test_fault(row: Row) -> None:
    hold(row)


DESIGNATION = re.compile(r"\d{2,3}-\d{3}")


@settings(max_examples=150, deadline=None)
@given_by(st.integers(10, 140), st.one_of(st.sampled_from(list(BEAD_SEATS)), st.integers(180, 800)))
def test_a_designation_is_taken_or_others_are_named_that_are(width: int, bead: int) -> None:
    name = f"{width}-{bead}"
    if bead in BEAD_SEATS and 18 <= width <= 130:
        size = tyre(name)
        assert (size.width, size.bead_seat, size.designation) == (width, bead, name)
        assert 2 * size.radius == size.diameter
        assert bead + 2 * width <= size.diameter <= bead + 2 * width + 5
        return
    with pytest.raises(UnknownSize) as caught:
        tyre(name)
    assert name in str(caught.value)
    offered = [int(d.rpartition("-")[2]) for d in DESIGNATION.findall(caught.value.hint)]
    if bead not in BEAD_SEATS:
        nearest = min(abs(b - bead) for b in BEAD_SEATS)
        assert nearest in {abs(b - bead) for b in offered}
    assert set(offered) <= set(BEAD_SEATS)


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("29x2.4", "61-622"),  # 2.4 in = 60.96 mm
        ("27.5 x 2.5", "64-584"),  # 63.5 mm
        ("26×2.1", "53-559"),
        ("700x40c", "40-622"),
        ("700c x 28", "28-622"),
        ("650B x 47", "47-584"),
        ("20x1.75", "44-406"),
    ],
)
def test_everyday_sizes_lead_to_a_designation(said: str, meant: str) -> None:
    """Width in inches times 25.4; bead seats by their everyday names (common practice)."""
    with pytest.raises(UnknownSize) as caught:
        tyre(said)
    assert f"commonly {meant};" in caught.value.hint
    assert tyre(meant).designation == meant


@pytest.mark.parametrize("said", ["31x2.4", "wide", "61x622x3", ""])
def test_what_is_no_everyday_size_either(said: str) -> None:
    with pytest.raises(UnknownSize, match="no ETRTO tyre designation") as caught:
        tyre(said)
    assert "e.g. 61-622" in caught.value.hint
