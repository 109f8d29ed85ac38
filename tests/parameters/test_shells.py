"""Bottom bracket shells: names that are none, and what every shell must be."""

from __future__ import annotations

import pytest

from frame3d.parameters.sizes.shells import SHELLS, shell
from frame3d.parameters.sizes.unknown import UnknownSize
from tests.parameters.faults import GEO, Row, hold, row_name

ROWS: list[Row] = [
    (
        GEO + "build: {bottom_bracket: {shell: threaded73}}\n",
        "unknown-size",
        "build.bottom_bracket.shell",
        (4, 33),
        "threaded73",
        "nearest: threaded-73",
    ),
]


@pytest.mark.parametrize("row", ROWS, ids=row_name)
def test_fault(row: Row) -> None:
    hold(row)


@pytest.mark.parametrize("name", SHELLS)
def test_a_shell_has_metal_all_round_and_its_width_in_its_name(name: str) -> None:
    size = shell(name)
    assert size.name == name
    assert float(name.rpartition("-")[2]) == size.width
    assert size.bore + 1 < size.od
    assert abs(size.middle) < size.width / 2
    if name.startswith("pressfit-"):
        assert not size.thread
        assert float(name.split("-")[1]) == pytest.approx(size.bore, abs=0.5)


@pytest.mark.parametrize(
    ("name", "major", "pitch"),
    [
        ("threaded-73", 1.370 * 25.4, 25.4 / 24),
        ("italian-70", 36.0, 25.4 / 24),
        ("t47-73", 47.0, 1.0),
    ],
)
def test_a_bore_before_tapping_is_that_of_its_thread(name: str, major: float, pitch: float) -> None:
    """Minor diameter of an internal thread D − 1.0825 P (ISO 68-1, value from memory); drilled no
    smaller than 0.2 below and no wider than the thread leaves a third of its height.
    """
    minor = major - 1.0825 * pitch
    assert minor - 0.2 <= shell(name).bore <= minor + 0.36 * pitch


def test_a_shell_that_reaches_further_to_the_left_by_11_mm() -> None:
    size = shell("pressfit-42-79")
    assert size.width / 2 - size.middle == 34.0  # right half, as of a shell of 68
    assert size.width / 2 + size.middle == 45.0


def test_a_misspelt_name_names_the_nearest() -> None:
    with pytest.raises(UnknownSize) as caught:
        shell("Threaded-74")
    assert "threaded-73" in caught.value.hint
    assert "{width: 73, od: 40, bore: 33.65}" in caught.value.hint
