"""The ledger of thickened sizes."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from frame3d.mockup.thicken import Ledger

SIZES = st.floats(0.01, 10.0)


@given(st.lists(st.tuples(st.sampled_from("ab"), SIZES, SIZES), max_size=8))
def test_a_size_is_noted_where_the_least_holds_and_once(
    sizes: list[tuple[str, float, float]],
) -> None:
    ledger = Ledger()
    for part, scaled, least in sizes * 2:
        assert abs(ledger.at_least(part, "size", scaled, least) - max(scaled, least)) < 1e-8
    noted = [(entry.part, entry.scaled, entry.printed) for entry in ledger.entries]
    assert noted == list(dict.fromkeys(row for row in sizes if row[1] < row[2] - 1e-9))
    assert all(entry.by > 0 for entry in ledger.entries)
