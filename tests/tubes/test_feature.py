"""Names of features' pieces: one for each of a row, with the side of its tube."""

from __future__ import annotations

from tests.featured import featured, of


def test_each_of_a_row_has_a_number_and_its_side() -> None:
    bike = featured()
    assert of(bike, "under").labels == (
        "down_tube-under-1",
        "down_tube-under-2",
        "down_tube-under-3",
    )
    rack = of(bike, "rack", "right")
    assert [rack.named(label) for label in rack.labels] == ["seatstay-rack_right"]
    assert of(bike, "cage").named("down_tube-cage-1") == "down_tube-cage-1"
