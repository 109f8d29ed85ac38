"""Verdicts: the word that the curve's own figure carries."""

from __future__ import annotations

import math

import pytest

from frame3d.report.drawing.plots import Plot, Series
from frame3d.report.texts import texts
from frame3d.report.verdicts import BANDS, WORDS, verdict


def plot(key: str, *curves: tuple[float, ...], sag: float | None = None) -> Plot:
    count = len(curves[0])
    return Plot(
        key=key,
        title="",
        says="",
        x_name="",
        x_unit="mm",
        x=tuple(100.0 * i / (count - 1) for i in range(count)),
        y_name="",
        y_unit="",
        series=tuple(Series(str(i), curve) for i, curve in enumerate(curves)),
        marks=() if sag is None else ((sag, "sag"),),
    )


@pytest.mark.parametrize(
    ("made", "value", "word"),
    [
        (plot("leverage", (3.0, 2.8, 2.25)), 25.0, "high"),
        (plot("leverage", (3.0, 2.8, 2.7)), 10.0, "middle"),
        (plot("leverage", (2.5, 2.6, 2.7)), -8.0, "low"),
        (plot("rate", (10.0, 10.0, 20.0), sag=30.0), 2.0, "high"),
        (plot("force", (0.0, 500.0, 1000.0), sag=50.0), 2.0, "low"),
        (plot("anti_squat", (300.0, 300.0), (110.0, 90.0), (0.0, 0.0), sag=50.0), 100.0, "middle"),
        (plot("anti_rise", (40.0, 40.0)), 40.0, "low"),
        (plot("kickback", (0.0, 10.0), (0.0, 31.0)), 31.0, "high"),
        (plot("geometry", (65.0, 64.8)), -0.2, "middle"),
        (plot("geometry", (65.0, 64.0)), -1.0, "low"),
        (plot("fork_angles", (65.0, 70.0), (75.0, 80.0)), 5.0, "middle"),
        (plot("fork_trail", (120.0, 80.0)), 80.0, "high"),
        (plot("bb", (330.0, 180.0)), 180.0, "low"),
    ],
)
def test_the_figure_carries_the_word(made: Plot, value: float, word: str) -> None:
    found = verdict(made)
    assert found is not None
    assert found.value == pytest.approx(value)
    assert found.word == word


def test_a_figure_is_judged_as_it_is_shown() -> None:
    """34.86 mm is shown as 35 mm, which is the limit."""
    found = verdict(plot("chain_growth", (0.0, 34.86)))
    assert found is not None
    assert found.word == "high"


def test_no_verdict_without_a_figure() -> None:
    assert verdict(plot("bb", (300.0, math.nan))) is None
    assert verdict(plot("rate", (0.0, 0.0, 20.0), sag=10.0)) is None


@pytest.mark.parametrize("key", sorted(BANDS))
def test_every_curve_has_its_words_and_rising_limits(key: str) -> None:
    assert BANDS[key].limits[0] < BANDS[key].limits[1]
    for word in WORDS:
        assert texts()(f"verdict.{key}.{word}")
    assert texts()(f"verdict.{key}.by")
