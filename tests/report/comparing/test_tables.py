"""Tables: the size table as markup and CSV, sentences, clearances that differ, suspension and mass."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import replace
from pathlib import Path

import pytest

import frame3d
from frame3d.family.differences import contact_figures
from frame3d.report.comparing.tables import contacts, gaps, size_csv, suspension_and_mass, told
from frame3d.report.sections.sizes import size_tables
from frame3d.report.texts import texts
from tests.report.comparing import samples

SAY = texts()
CONFIGS = Path(__file__).parents[3] / "configs"


def test_the_size_table_as_csv() -> None:
    """Read by the csv module: a row a figure and stance, a column a bike."""
    table = samples.sizes().table
    rows = list(csv.reader(io.StringIO(size_csv(table).decode())))
    assert rows[0] == ["figure", "unit", "stance", "S drawn", "L", "S long"]
    body = {(row[0], row[2]): row for row in rows[1:-1]}
    assert len(body) == len(table.static) + len(table.sagged)
    for row in table.static:
        cells = body[row.figure, "static"]
        assert cells[1] == row.unit
        assert [float(cell) for cell in cells[3:]] == pytest.approx(row.values, abs=0.00501)
    assert rows[-1][0].startswith("# Geometry only")


def test_the_size_table_as_markup() -> None:
    made = size_tables(samples.sizes().table, SAY)
    assert made.count("<table") == 2
    reach = re.search(r'<tr><th scope="row">Reach.*?</tr>', made)
    assert reach is not None
    static = next(row for row in samples.sizes().table.static if row.figure == "reach")
    shown = re.findall(r"<td>([\d.]+)</td>", reach[0])
    assert [float(cell) for cell in shown] == pytest.approx(static.values, abs=0.0501)
    assert (shown[0], shown[1]) == ("430.0", "460.0")
    assert 'class="same"' in made  # the seat tube is as long at sag


def test_sentences_for_each_bike_but_the_first() -> None:
    made = told(samples.sizes(), SAY)
    assert re.findall(r'class="told d(\d)', made) == ["1", "2"]
    assert "L against S drawn" in made
    assert "Reach +30.0 mm: more room in front of you" in made
    assert "no source" in made
    assert "to spare" not in made


def test_clearances_that_differ_or_fall_short() -> None:
    made = gaps(samples.sprung(), SAY)
    known = [one.gaps for one in samples.sprung().measured]
    rows = re.findall(r'<tr><th scope="row">(.*?)</th>', made)
    differ = {c.name for c in samples.sprung().changes[1] if c.kind == "gap"}
    short = {name for own in known for name, result in own.items() if not result.ok}
    assert len(rows) == len(differ | short)
    assert "–" in made  # only one of them has a bottle
    assert 'class="close"' in made


def test_what_falls_short_is_marked() -> None:
    made = gaps(samples.sizes(), SAY)
    assert ('class="short"' in made) == any(one.short for one in samples.sizes().measured)


def test_suspension_and_mass() -> None:
    made = suspension_and_mass(samples.sprung(), SAY)
    assert made is not None
    assert "140.0 mm" in made
    assert "170.0 mm" in made
    plain = suspension_and_mass(samples.sizes(), SAY)
    assert plain is not None
    rows = sum(name in plain for name in ("100 N from the side", "4 m radius", "bars at 30°"))
    assert rows == 3
    assert plain.count("<tr>") == 2 + rows  # its head, and the masses


def test_contact_points_a_row_a_distance() -> None:
    made = contacts(samples.sizes(), SAY)
    assert made is not None
    heads = re.findall(r'<th scope="col">(.*?)</th>', made)
    assert heads[1:] == list(samples.sizes().labels)
    (row,) = re.findall(
        r'<tr><th scope="row">Saddle behind the bottom bracket</th>(.*?)</tr>', made
    )
    shown = [float(cell) for cell in re.findall(r"<td>([\d.]+) mm</td>", row)]
    known = [contact_figures(member.bike)["saddle_setback"] for member in samples.sizes().members]
    assert shown == pytest.approx(known, abs=0.0501)


def test_bikes_without_contact_points_have_no_table() -> None:
    minimal = frame3d.load(CONFIGS / "minimal.yaml")
    one = replace(samples.sizes().family.first, bike=frame3d.solve(minimal))
    bare = replace(samples.sizes(), family=replace(samples.sizes().family, members=(one, one)))
    assert contacts(bare, SAY) is None
