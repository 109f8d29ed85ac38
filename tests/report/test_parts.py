"""The bare frame's masses, and the parts that it is made for, as the file gives them."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from frame3d.parameters import loads
from frame3d.report.data import ReportData
from frame3d.report.meshes import Meshes
from frame3d.report.sections.parts import carried, masses
from frame3d.report.texts import texts
from frame3d.solids.bodies import bodies as frame_bodies
from tests.report.samples import bare, four_link_layout, hardtail_bike, minimal_bike, rows, words


@cache
def weighed() -> ReportData:
    """The hardtail, each part of which weighs one gram more than the one before."""
    parts = frame_bodies(hardtail_bike())
    grams = {part.name: 100.0 + i for i, part in enumerate(parts)}
    lengths = {"down_tube": 612.4, "chainstay_left": 401.0, "chainstay_right": 401.0}
    return bare(hardtail_bike(), meshes=Meshes(parts, grams, lengths, (-12.4, 0.0, 250.6), b""))


def test_pairs_are_one_row_and_everything_adds_up() -> None:
    data = weighed()
    found = rows(masses(data, texts()))
    by_title = {row[0]: row for row in found}
    assert by_title["Down tube"][2] == "612"
    pair = by_title["Chainstay, pair"]
    both = data.meshes.grams["chainstay_left"] + data.meshes.grams["chainstay_right"]
    assert pair[2:] == ["401", f"{both:.0f} g"]
    *parts, total = found
    assert total[-1] == f"{sum(data.meshes.grams.values()):.0f} g"
    assert sum(float(row[-1].removesuffix(" g")) for row in parts) == sum(
        data.meshes.grams.values()
    )


def test_a_pivots_hardware_is_one_row() -> None:
    parts = frame_bodies(four_link_layout())
    hardware = [part for part in parts if part.path.startswith("suspension")]
    assert hardware
    grams = {part.name: 10.0 for part in parts}
    data = bare(four_link_layout(), meshes=Meshes(parts, grams, {}, (1, 0, 2), b""))
    (row,) = [r for r in rows(masses(data, texts())) if "pivots" in r[1]]
    assert row[1] == f"of the pivots, {len(hardware)} pieces"
    assert row[3] == f"{10 * len(hardware)} g"


@pytest.mark.parametrize(
    ("centre", "said"),
    [
        ((-12.4, 0.0, 250.6), "Centre of mass 12 mm behind and 251 mm above"),
        ((12.4, 0.0, 250.6), "Centre of mass 12 mm ahead of and 251 mm above"),
        (None, "From the model"),
    ],
)
def test_where_the_mass_is(centre: tuple[float, float, float] | None, said: str) -> None:
    data = replace(weighed(), meshes=replace(weighed().meshes, centre=centre))
    assert said in words(masses(data, texts()))
    assert ("Centre of mass" in words(masses(data, texts()))) == (centre is not None)


def test_a_bike_without_tubes_has_no_masses() -> None:
    assert masses(bare(minimal_bike()), texts()) is None


BUILD = """\
format: 1
name: T
geometry: {}
build:
  fork: {axle_to_crown: 531, measured: straight, travel: 130, sag: 25%, legs: {}}
  headset: {upper: ZS44/28.6, lower: {bore: 56, depth: 20}}
  cassette: {cogs: [10, 21, 51]}
  saddle: {}
  rider: {mass_kg: 80}
  bike_mass_kg: 14.5
"""


def test_parts_say_what_the_file_gives_and_nothing_else() -> None:
    data = bare(replace(minimal_bike(), spec=loads(BUILD)))
    said = words(carried(data, texts()))
    for piece in (
        "axle to crown 531, measured straight, travel 130, sag 25 %, legs",
        "upper ZS44/28.6, lower (bore 56, depth 20)",
        "cogs 10 21 51",
        "usual sizes",  # the saddle's
        "mass 80 kg",
        "14.5",
    ):
        assert piece in said
    assert "offset" not in said
    assert "Stem" not in said


def test_a_file_without_parts_says_nothing() -> None:
    spec = loads("format: 1\nname: T\ngeometry: {}\n")
    assert carried(bare(replace(minimal_bike(), spec=spec)), texts()) is None
