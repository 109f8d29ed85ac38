"""The tables of a file's sizes and settings: their columns are those bikes, one solved at a time."""

from __future__ import annotations

from pathlib import Path

from frame3d.bike.bike import Bike
from frame3d.bike.choice import Choice, solve_choice
from frame3d.family.of_file import Offered, tables_of
from frame3d.family.wanted import Source

FILE = Path(__file__).parents[2] / "configs" / "families" / "trail_hardtail.yaml"
TEXT = FILE.read_text("utf-8")


def column(offered: Offered | None, name: str) -> dict[str, float | None]:
    assert offered is not None
    place = offered.table.columns.index(name)
    return {row.figure: row.values[place] for row in offered.table.static}


def chart(bike: Bike, like: dict[str, float | None]) -> dict[str, float | None]:
    return {figure: bike.chart[figure] for figure in like}


def test_columns_are_those_bikes() -> None:
    choice = Choice("L", ("long_fork",), swaps=("build.front_wheel.tyre=57-622",))
    tables = tables_of(Source("f", TEXT), choice)
    assert tables.sizes is not None
    assert tables.settings is not None
    assert (tables.sizes.own, tables.settings.own) == ("L", "long_fork")
    assert tables.sizes.table.columns == ("S", "M", "L", "XL")
    assert tables.settings.table.columns == ("drawn", "long_fork")
    own = column(tables.sizes, "L")
    assert (
        own
        == column(tables.settings, "long_fork")
        == chart(solve_choice(TEXT, "f", choice).bike, own)
    )
    small = column(tables.sizes, "S")
    asked = Choice("S", choice.settings, swaps=choice.swaps)
    assert small == chart(solve_choice(TEXT, "f", asked).bike, small)
    drawn = column(tables.settings, "drawn")
    assert drawn == chart(solve_choice(TEXT, "f", Choice("L", swaps=choice.swaps)).bike, drawn)


def test_changes_of_the_design_hold_in_every_size() -> None:
    tables = tables_of(Source("f", TEXT, ("geometry.head_tube_angle=64",)), Choice())
    assert tables.sizes is not None
    assert tables.sizes.own == "M"
    assert [row.values for row in tables.sizes.table.static if row.figure == "head_tube_angle"] == [
        (64.0,) * 4
    ]


def test_what_cannot_be_made_is_named() -> None:
    tables = tables_of(Source("f", TEXT, ("sizes.S.geometry.reach=1",)), Choice())
    assert tables.sizes is not None
    assert tables.sizes.missing == ("S",)
    assert tables.sizes.table.columns == ("M", "L", "XL")


def test_a_file_without() -> None:
    text = TEXT.partition("\nsizes:")[0]
    plain = text.replace("{from: 430, step: 25}", "455").replace("{from: 105, step: 10}", "115")
    for listed in ("{S: 400, M: 430, L: 450, XL: 470}", "{S: 432, M: 432, L: 436, XL: 440}"):
        plain = plain.replace(listed, "431")
    geometry = plain.partition("\nbuild:")[0]
    tables = tables_of(Source("f", geometry), Choice())
    assert (tables.sizes, tables.settings) == (None, None)


def test_two_settings_together_have_a_column_of_their_own() -> None:
    text = TEXT + "  quick: {build.fork.offset: 37}\n"
    tables = tables_of(Source("f", text), Choice("M", ("long_fork", "quick")))
    assert tables.settings is not None
    assert tables.settings.table.columns == ("drawn", "long_fork", "quick", "long_fork + quick")
    assert tables.settings.own == "long_fork + quick"


def test_cockpits_of_the_columns_for_the_grips_of_the_bike_at_hand() -> None:
    tables = tables_of(Source("f", TEXT), Choice("L"))
    assert tables.sizes is not None
    own = dict(zip(tables.sizes.table.columns, tables.sizes.cockpits, strict=True))
    assert own["L"] is not None
    assert own["L"].nearest.miss < 1e-9
    assert own["S"] is not None
    assert own["S"].nearest.cockpit.stem > 60
    none = tables_of(Source("f", TEXT, ("build.stem=null",)), Choice("L"))
    assert none.sizes is not None
    assert none.sizes.cockpits == ()
