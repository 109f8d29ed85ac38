"""Overlay: bikes coincide where they are said to, and every measurable difference has its mark."""

from __future__ import annotations

import re

import pytest

from frame3d.report.comparing.overlay import ALIGNED, legend, overlay, shifts
from frame3d.report.texts import texts
from tests.report.comparing.samples import sizes, sprung

SAY = texts()


def test_where_bikes_coincide() -> None:
    first, other = sprung().sides
    moved = shifts(first, other)
    assert tuple(moved) == ALIGNED
    assert moved["bb"] == (0.0, 0.0)
    axle, rear = other.at("rear_axle"), moved["rear"]
    assert (axle[0] + rear[0], axle[1] + rear[1]) == pytest.approx(first.at("rear_axle"))
    assert moved["ground"][0] == 0.0
    assert other.ground + moved["ground"][1] == pytest.approx(first.ground)


def test_a_group_a_bike_and_its_marks() -> None:
    drawn = overlay(sizes(), SAY)
    assert re.findall(r'class="bike b(\d)"', drawn) == ["2", "1", "0"]
    assert re.findall(r'class="differences d(\d)( aside)?"', drawn) == [("1", ""), ("2", " aside")]
    assert drawn.count("data-rear=") == 5
    for place in (1, 2):
        told = [c.name for c in sizes().changes[place] if c.kind == "figure" and c.way is not None]
        start = drawn.index(f'class="differences d{place}')
        group = drawn[start : drawn.find('class="differences', start + 1)]
        assert re.findall(r'class="difference(?: minor)?" data-figure="(\w+)"', group) == told
    assert "reach +30.0" in drawn
    assert "trail +" in drawn


def test_the_legend_names_every_bike() -> None:
    made = legend(sizes().members, SAY)
    assert [f"<strong>{label}</strong>" in made for label in ("S drawn", "L", "S long")] == [
        True
    ] * 3
    assert made.count('type="checkbox"') == 3
    assert "Small bike, size S, long" in made
