"""Materials: names that are none."""

from __future__ import annotations

import pytest

from frame3d.parameters.sizes.materials import MATERIALS, material
from frame3d.parameters.sizes.unknown import UnknownSize
from tests.parameters.faults import GEO, Row, hold, row_name

ROWS: list[Row] = [
    (GEO + "material: 4310\n", "unknown-size", "material", (4, 11), "4310", "nearest: 4130"),
]


@pytest.mark.parametrize("row", ROWS, ids=row_name)
def test_fault(row: Row) -> None:
    hold(row)


def test_an_open_name_is_the_density_of_its_commonest_alloy() -> None:
    for name, alloy in (("steel", "4130"), ("titanium", "Ti-3Al-2.5V"), ("aluminium", "6061-T6")):
        assert material(name).density == material(alloy).density


@pytest.mark.parametrize("name", ["4310", "Aluminum", "ti-6al-4v", "bamboo"])
def test_what_is_none_can_be_written_out(name: str) -> None:
    with pytest.raises(UnknownSize, match="no known material") as caught:
        material(name)
    assert caught.value.hint.endswith(f"or {{name: {name}, density_g_cm3: 7.85}}")
    named = caught.value.hint.partition(": ")[2].partition(";")[0].split(", ")
    assert set(named) <= set(MATERIALS)
