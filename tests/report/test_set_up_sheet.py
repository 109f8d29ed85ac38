"""The set-up sheet on A5."""

from __future__ import annotations

import io

import pdfplumber
import pytest

from frame3d.bike.solve import solve
from frame3d.caution import CAUTION
from frame3d.paper.fonts import text_width, wrapped
from frame3d.paper.page_elements import MARGIN
from frame3d.paper.sheet import CAP, Sheet
from frame3d.parameters.reading.reader import loads
from frame3d.report.set_up_sheet import set_up_pages, set_up_sheet
from frame3d.report.texts import texts
from frame3d.ride.springs.of_bike import springs_of
from tests.ride.springs.bikes import FORK_AIR, REAR_AIR, bike, text

SAY = texts("en")
MORE = (
    "reducer_cm3: 7, reducers: 1, most_reducers: 4, highest_pressure_bar: 11, "
    "measured: {pressure_bar: 10, sag: 25%, rider_mass_kg: 75}, negative"
)
FORK = FORK_AIR.replace("negative", MORE)
REAR = REAR_AIR.replace("negative", MORE.replace("cm3: 7", "cm3: 3"))
NAMES = (
    "W" * 80,
    "Eighty letters of a name that goes on and on until nobody can read it any more O",
    "自転車" * 26,
)


def pages(fork: str, rear: str, *changes: tuple[str, str]) -> list[Sheet]:
    made = bike(fork, rear, *changes)
    return set_up_pages(made.spec, springs_of(made), SAY)


def named(name: str) -> tuple[str, str]:
    return ("name: Twenty lines", f"name: {name}")


def inside(sheet: Sheet) -> None:
    """Nothing is printed beyond the margins, and no line of text on another."""
    assert (sheet.width, sheet.height) == (148, 210)
    places = []
    for entity in sheet.entities():
        if entity.dxftype() != "TEXT":
            continue
        align, at, _ = entity.get_placement()
        size = entity.dxf.height / CAP
        wide = text_width(entity.dxf.text, size, bold=entity.dxf.style == "BOLD")
        left = at.x - {"LEFT": 0.0, "CENTER": wide / 2, "RIGHT": wide}[align.name]
        assert left >= MARGIN - 0.1, entity.dxf.text
        assert left + wide <= sheet.width - MARGIN + 0.1, entity.dxf.text
        assert MARGIN - 0.1 <= at.y <= sheet.height - MARGIN, entity.dxf.text
        places.append((left, at.y, left + wide, at.y + entity.dxf.height, entity.dxf.text))
    for i, (x0, y0, x1, y1, one) in enumerate(places):
        for u0, v0, u1, v1, other in places[i + 1 :]:
            apart = x1 <= u0 + 0.1 or u1 <= x0 + 0.1 or y1 <= v0 + 0.05 or v1 <= y0 + 0.05
            assert apart, (one, other)


@pytest.mark.parametrize("name", NAMES, ids=["one word", "words", "Chinese"])
def test_both_ends_with_all_rows_fit_one_page(name: str) -> None:
    (sheet,) = pages(FORK, REAR, named(name))
    inside(sheet)
    said = sheet.texts()
    for kg in (*range(55, 111, 5),):
        assert str(kg) in said
    assert said.count("4") == 2  # the most reducers of both ends
    assert "82 kg" not in said
    assert "80 kg" in said
    assert set(wrapped(CAUTION, sheet.width - 2 * MARGIN, 2.5)) <= set(said)
    assert any(line.startswith("1. Set the damping open") for line in said)


def test_coils_and_measured_springs() -> None:
    (sheet,) = pages("table: [[0, 20], [70, 700], [140, 3000]]", "coil: {}")
    inside(sheet)
    assert any("500 lb/in: " in line for line in sheet.texts())
    (sheet,) = pages("coil: {}", "")
    inside(sheet)
    assert "Measured" in sheet.texts()


def test_many_reducers_have_a_page_of_their_own() -> None:
    many = FORK_AIR.replace("negative", "reducer_cm3: 1, most_reducers: 30, negative")
    first, second = pages(many, REAR)
    inside(first)
    inside(second)
    assert "30" in second.texts()
    assert any(line.startswith("4. Too much sag") for line in first.texts())


def test_size_and_setting_stand_below_the_name() -> None:
    family = (
        text(FORK, REAR)
        + "sizes:\n  S: {}\n  L: {}\nsettings:\n  low: {build.stem: {length: 50}}\n"
    )
    made = solve(loads(family, "bike.yaml", size="L", settings=("low",)))
    (sheet,) = set_up_pages(made.spec, springs_of(made), SAY)
    inside(sheet)
    assert made.spec.variants.label in sheet.texts()


def test_nothing_to_set_up_makes_no_sheet() -> None:
    made = bike("", "", ("  spring: {coil: {}}\n", ""))
    assert set_up_sheet(made.spec, springs_of(made), SAY) is None
    assert set_up_sheet(made.spec, None, SAY) is None


def test_the_same_bytes_every_time_and_another_reader_finds_its_words() -> None:
    """Read by pdfplumber, a reader that is not ours."""
    made = bike(FORK, REAR)
    first, again = (set_up_sheet(made.spec, springs_of(made), SAY) for _ in range(2))
    assert first == again
    assert first is not None
    with pdfplumber.open(io.BytesIO(first)) as read:
        (page,) = read.pages
        assert float(page.width) == pytest.approx(148 / 25.4 * 72, abs=0.01)
        assert float(page.height) == pytest.approx(210 / 25.4 * 72, abs=0.01)
        said = page.extract_text()
    assert "Set-up sheet" in said
    assert "Twenty lines" in said
