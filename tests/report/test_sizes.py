"""The page says which size and settings it shows, and has the tables of those that the file has."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from pathlib import Path

from frame3d.bike.choice import Choice
from frame3d.family.of_file import FileTables, tables_of
from frame3d.family.wanted import Source
from frame3d.report.sections.sizes import size_tables, sizes
from frame3d.report.texts import texts
from tests.report.samples import hardtail

FAMILY = Path(__file__).parents[2] / "configs" / "families" / "trail_hardtail.yaml"
SAY = texts()


@cache
def offered(size: str | None, *settings: str) -> FileTables:
    return tables_of(Source("f", FAMILY.read_text("utf-8")), Choice(size, settings))


def test_both_tables_and_which_column_is_this_bike() -> None:
    made = sizes(replace(hardtail(), offered=offered("L", "long_fork")), SAY)
    assert made is not None
    assert "This page shows size L." in made
    assert "the setting long_fork" in made
    heads = re.findall(r'<th scope="col">(.*?)</th>', made)
    own = [re.sub("<.*", "", head) for head in heads if "(this bike)" in head]
    assert own == ["L", "L", "L", "long_fork", "long_fork"]
    assert made.count("<table") == 5


def test_cells_are_the_values_of_the_table() -> None:
    found = offered(None).sizes
    assert found is not None
    made = size_tables(found.table, SAY, "M")
    reach = re.search(r'<tr><th scope="row">Reach.*?</tr>', made)
    assert reach is not None
    assert re.findall(r"<td( class=\"own\")?>([\d.]+)</td>", reach[0]) == [
        ("", "430.0"),
        (' class="own"', "455.0"),
        ("", "480.0"),
        ("", "505.0"),
    ]


def test_what_cannot_be_made_is_said_and_a_plain_file_has_no_section() -> None:
    tables = offered("L")
    assert tables.sizes is not None
    some = FileTables(replace(tables.sizes, missing=("XS", "XXL")), None)
    made = sizes(replace(hardtail(), offered=some), SAY)
    assert made is not None
    assert "Cannot be made: XS, XXL." in made
    assert sizes(hardtail(), SAY) is None
    assert sizes(replace(hardtail(), offered=FileTables(None, None)), SAY) is None


def test_with_which_cockpit_each_size_has_the_hands_of_this_one() -> None:
    tables = offered("M")
    assert tables.sizes is not None
    made = sizes(replace(hardtail(), offered=FileTables(tables.sizes, None)), SAY)
    assert made is not None
    assert "The hands where M has them, on the other sizes" in made
    row = re.search(r'<tr><th scope="row">Stem \| spacers \| rise.*?</tr>', made)
    assert row is not None
    assert re.findall(r"<td>(.*?)</td>", row[0])[1] == "45 | 15 | 25"
    reached = re.search(r'<tr><th scope="row">Hands where.*?</tr>', made)
    assert reached is not None
    assert re.findall(r"<td>(.*?)</td>", reached[0]) == ["yes", "yes", "no", "no"]
    assert "at most 30 mm of spacers" in made


def test_sizes_without_a_stem_have_no_table_of_cockpits() -> None:
    tables = offered("M")
    assert tables.sizes is not None
    for cockpits in ((), (None,) * 4):
        none = FileTables(replace(tables.sizes, cockpits=cockpits), None)
        made = sizes(replace(hardtail(), offered=none), SAY)
        assert made is not None
        assert "The hands where" not in made
    mixed = replace(tables.sizes, cockpits=(None, *tables.sizes.cockpits[1:]))
    made = sizes(replace(hardtail(), offered=FileTables(mixed, None)), SAY)
    assert made is not None
    assert "<td>–</td>" in made
