"""``solve --travel`` as text: curves in columns that fit, the spring, charts where the bike stands."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

import pytest

from frame3d.bike.travel import TravelAnalysis, over_travel
from frame3d.cli.screen_travel import travelled
from frame3d.linkage import Coil
from tests.report.samples import four_link_layout


@cache
def moving() -> TravelAnalysis:
    return over_travel(four_link_layout(), 5)


@pytest.mark.parametrize("width", [80, 132])
def test_tables_fit_the_terminal(width: int) -> None:
    """But for the one of whole charts, which is not split, and the sentences below."""
    text = travelled(moving(), width).partition("Rear travel [mm]")[0]
    assert max(map(len, text.split("\n")[:-3])) <= width
    for title in (
        "Wheel, shock and spring",
        "Brake and chain",
        "Anti-squat by gear",
        "The bike on level",
    ):
        assert title in text


def test_every_row_has_its_travel_and_the_values_there() -> None:
    text = travelled(moving(), 200)
    block = text.partition("Wheel, shock and spring\n\n")[2].split("\n\n")[0].split("\n")
    assert len(block) == 2 + 5
    curves = moving().curves
    for i, line in enumerate(block[2:]):
        travel, stroke, leverage = (float(cell) for cell in line.split()[:3])
        assert travel == pytest.approx(curves.travel[i], abs=0.051)
        assert stroke == pytest.approx(curves.stroke[i], abs=0.0051)
        assert leverage == pytest.approx(curves.leverage[i], abs=0.00051)


def test_the_spring_is_told_in_its_own_unit() -> None:
    """1 lbf/in = 4.4482216152605 N / 25.4 mm exactly: 80 N/mm are 457 lb/in."""
    air = travelled(moving(), 100)
    bar, psi = (float(x) for x in re.findall(r"Air pressure ([\d.]+) bar \((\d+) psi\)", air)[0])
    assert psi == pytest.approx(bar * 1e5 / 6894.757293168, abs=0.6)
    coil = replace(moving(), sprung=replace(moving().sprung, spring=Coil(80.0, 2.0)))
    assert "Coil 80.00 N/mm (457 lb/in), preload 2 mm" in travelled(coil, 100)


def test_sag_is_told_where_there_is_some() -> None:
    assert "Sag asked" in travelled(moving(), 100)
    none = replace(moving(), sprung=replace(moving().sprung, asked=None, found=None))
    text = travelled(none, 100)
    assert "Sag" not in text
    assert "the load alone bottoms it out" in text


def test_load_is_a_share_of_the_weight_less_what_is_unsprung() -> None:
    """By hand: g (share · mass − unsprung)."""
    sprung = moving().sprung
    said = re.findall(
        r"Load at the rear wheel (\d+) N: ([\d.]+) % of ([\d.]+) kg; less ([\d.]+) kg unsprung, the "
        r"spring carries (\d+) N", travelled(moving(), 100)
    )  # fmt: skip
    load, share, mass, unsprung, carried = (float(x) for x in said[0])
    assert sprung.load is not None
    assert load == pytest.approx(share / 100 * mass * 9.80665, rel=2e-3)
    assert carried == pytest.approx(load - unsprung * 9.80665, abs=2)


def test_a_bike_without_chain_has_no_table_of_gears() -> None:
    none = replace(moving(), curves=replace(moving().curves, gears={}, forces=None))
    text = travelled(none, 100)
    assert "Anti-squat" not in text
    assert "Bottoms out" not in text
    assert "chain growth" not in text
