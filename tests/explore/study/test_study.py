"""A study's values: limits and their shortfalls, a design as changes of the file."""

from __future__ import annotations

import pickle

import pytest

from frame3d.explore.study.study import Quantity, Study, Varied, Wish, written
from frame3d.parameters.reading import scalars

TRAIL = Quantity("chart", "trail", unit="mm")


@pytest.mark.parametrize(
    ("value", "low", "high", "scale", "shortfall"),
    [
        (120.0, 118.0, 128.0, 1.0, 0.0),
        (118.0, 118.0, 128.0, 1.0, 0.0),
        (115.0, 118.0, 128.0, 1.0, 3.0),
        (130.0, 118.0, 128.0, 1.0, 2.0),
        (130.0, 118.0, None, 1.0, 0.0),
        (115.0, None, 128.0, 1.0, 0.0),
        (64.5, 65.0, None, 0.1, 5.0),
    ],
)
def test_a_shortfall_is_the_miss_in_units_of_the_scale(
    value: float, low: float | None, high: float | None, scale: float, shortfall: float
) -> None:
    wish = Wish("trail", TRAIL, low, high, scale)
    assert wish.shortfall(value) == pytest.approx(shortfall, abs=1e-9)


@pytest.mark.parametrize("value", [0.0, -3.0, 455.0, 0.1, 1 / 3, 1e-5, 123456.789, 2.0**60])
def test_a_written_number_reads_back_as_the_same(value: float) -> None:
    assert scalars.value(written(value)) == value
    assert scalars.trap(written(value)) is None


def test_a_design_is_written_as_changes_of_the_file() -> None:
    varied = (
        Varied("geometry.reach", 440, 480, start=455.0),
        Varied("build.rear_wheel.tyre", values=("58-622", "61-622"), start="61-622"),
    )
    study = Study("s.yaml", "", "b.yaml", "", varied)
    assert study.sets((450.25, "58-622")) == (
        "geometry.reach=450.25",
        "build.rear_wheel.tyre=58-622",
    )
    assert study.start == (455.0, "61-622")
    assert [v.is_range for v in varied] == [True, False]
    assert pickle.loads(pickle.dumps(study)) == study


def test_a_file_without_one_of_the_values_has_no_start() -> None:
    study = Study("s.yaml", "", "b.yaml", "", (Varied("geometry.reach", 440, 480),))
    assert study.start is None


def test_wishes_and_preferences_are_found_by_their_labels() -> None:
    wish = Wish("trail", TRAIL, 118, 128, 1)
    study = Study("s.yaml", "", "b.yaml", "", (Varied("geometry.reach", 1, 2),), (wish,))
    assert study.by_label == {"trail": wish}
