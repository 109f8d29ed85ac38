"""Hubs: names that are none, and slots."""

from __future__ import annotations

import pytest

from frame3d.parameters.sizes.hubs import HUBS, hub, slot_of
from frame3d.parameters.sizes.unknown import UnknownSize
from tests.parameters.faults import GEO, Row, hold, row_name

ROWS: list[Row] = [
    (
        GEO + "build: {rear_wheel: {hub: 12x148}}\n",
        "unknown-size",
        "build.rear_wheel.hub",
        (4, 27),
        "12x148",
        "write 148x12",
    ),
    (
        GEO + "build: {rear_wheel: {hub: wide}}\n",
        "unknown-size",
        "build.rear_wheel.hub",
        (4, 27),
        "wide",
        "148x12",
    ),
]


@pytest.mark.parametrize("row", ROWS, ids=row_name)
def test_fault(row: Row) -> None:
    hold(row)


@pytest.mark.parametrize("name", HUBS)
def test_a_name_is_width_by_axle_and_turned_round_or_spaced_leads_back_to_it(name: str) -> None:
    size = hub(name)
    assert name == f"{size.width:g}x{size.axle:g}"
    for said in (f"{size.axle:g}x{size.width:g}", f" {size.width:g} mm × {size.axle:g} mm"):
        with pytest.raises(UnknownSize) as caught:
            hub(said)
        assert f"write {name}:" in caught.value.hint


def test_the_nearest_widths_are_named() -> None:
    with pytest.raises(UnknownSize) as caught:
        hub("149x12")
    assert "nearest: 148x12" in caught.value.hint
    with pytest.raises(UnknownSize, match="'wide' is no known hub"):
        hub("wide")


@pytest.mark.parametrize(
    ("width", "flange"), [(142, 135), (148, 141), (157, 150), (177, 170), (197, 190)]
)
def test_thru_axle_hubs_are_open_ones_with_a_slot_at_either_end(
    width: float, flange: float
) -> None:
    """The trade's own pairs: the wider hub is the narrower one, held 3.5 mm deep on each side."""
    assert width - 2 * slot_of(width) == flange
    assert slot_of(flange) == 0
    assert slot_of(width + 0.5) == 0
