"""The page of an exploration: small, offline, brushed in a browser."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from frame3d.caution import CAUTION
from frame3d.clearance.result import Report
from frame3d.explore.exploration import Exploration
from frame3d.report.exploring.page import page_of, write_exploration
from tests.report.browser import PHONE, quiet_page
from tests.report.exploring.samples import exploration
from tests.report.exploring.test_sections import SHORT

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

MOST = 1_600_000
"""Largest page of 3,000 designs on ten axes [bytes]."""
COUNT = 120


def ten_axes(count: int) -> Exploration:
    """An exploration with three more values that vary, none of which repeats."""
    found = exploration(count)
    more = tuple(
        replace(found.study.varied[0], path=f"build.stem.length{i}", start=None) for i in range(3)
    )
    study = replace(found.study, varied=(*found.study.varied, *more))
    rows = tuple(
        replace(e, design=(*e.design, *(((i * k) % 4999) / 97 for k in (1789, 2311, 3571))))
        for i, e in enumerate(found.evaluations)
    )
    return replace(found, study=study, evaluations=rows, best=(), front=())


def test_many_designs_stay_small() -> None:
    assert len(page_of(ten_axes(3000))) < MOST


def test_it_is_written_and_the_same_each_time(tmp_path: Path) -> None:
    file = write_exploration(exploration(), tmp_path)
    assert file.name == "explore.html"
    html = file.read_text("utf-8")
    assert html.encode() == page_of(exploration())
    assert CAUTION in html
    assert "<title>longer reach: exploration</title>" in html
    headings = re.findall(r"<h2 id=\"(\w+)-title\"", html)
    assert headings == ["asked", "far", "designs", "front", "best", "sensitivities"]


def test_a_kept_design_that_falls_short_is_told_at_the_top() -> None:
    found = exploration()
    short = replace(found.best[0], report=Report((SHORT,), ()))
    html = page_of(replace(found, best=(short, *found.best[1:]))).decode()
    told = "the full check of a kept one falls short"
    assert f"designs meet every wish; {told}" in html
    assert told not in page_of(found).decode()


def test_an_exploration_without_designs_says_so() -> None:
    found = exploration()
    empty = Exploration(found.study, ())
    html = page_of(empty).decode()
    assert "No design meets every wish so far" in html
    assert 'id="parallel"' not in html


@pytest.fixture(scope="module")
def page(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    """The opened page, which may not complain nor ask for anything outside."""
    file = tmp_path_factory.mktemp("explore") / "explore.html"
    file.write_bytes(page_of(exploration(COUNT)))
    with quiet_page(browser, reduced_motion="reduce") as made:
        made.set_default_timeout(30_000)
        made.goto(file.as_uri())
        made.wait_for_selector("#parallel[data-ready]")
        yield made


def within(page: Page) -> int:
    """How many designs the page says are within the ranges."""
    said = page.inner_text("#count span")
    return int(re.findall(r"[\d,]+", said)[0].replace(",", ""))


def between(low: float, high: float) -> int:
    """How many designs have such a reach."""
    reaches = [float(one.design[0]) for one in exploration(COUNT).evaluations]
    return sum(low <= reach <= high for reach in reaches)


def test_dragging_along_an_axis_filters(page: Page) -> None:
    """By mouse on the first axis, reach: the form then says which range it is."""
    assert within(page) == COUNT
    page.locator("#parallel").scroll_into_view_if_needed()
    box = page.locator("#parallel").bounding_box()
    assert box is not None
    x = box["x"] + 70
    page.mouse.move(x, box["y"] + 150)
    page.mouse.down()
    page.mouse.move(x, box["y"] + 200, steps=4)
    page.mouse.move(x, box["y"] + 260, steps=4)
    page.mouse.up()
    page.wait_for_function("!document.querySelector('#count button:last-child').hidden")
    fields = "#limits .range:first-child input[type=number]"
    low, high = (float(f) for f in page.eval_on_selector_all(fields, "f => f.map(e => e.value)"))
    assert 430 < low < high < 490
    assert 0 < within(page) < COUNT
    assert abs(within(page) - between(low, high)) <= 4  # the form's digits are fewer
    page.click("#count button:last-child")
    assert within(page) == COUNT


def test_a_range_is_kept_by_keyboard(page: Page) -> None:
    page.click("summary")
    field = page.locator("#limits .range:first-child input[type=number]")
    field.nth(0).fill("440")
    field.nth(1).fill("455")
    page.keyboard.press("Tab")
    assert within(page) == between(440, 455)
    intervals = page.evaluate(
        "document.querySelector('#parallel').chart.getModel()"
        ".getComponent('parallelAxis', 0).activeIntervals"
    )
    assert intervals == [[440, 455]]
    page.click("#count button:nth-of-type(1)")
    reach = page.inner_text("#pointed td.value >> nth=0")
    assert 440 <= float(reach.split()[0]) <= 455
    page.click("#count button:last-child")


def test_a_button_of_the_table_shows_its_design(page: Page) -> None:
    page.click('#best .tell[data-row="1"]')
    assert page.inner_text("#pointed .who") == "Design 2"
    second = page.eval_on_selector("#pointed .drawn svg", "e => e.innerHTML")
    page.click('#best .tell[data-row="0"]')
    assert page.eval_on_selector("#pointed .drawn svg", "e => e.innerHTML") != second
    assert page.get_attribute('#best .tell[data-row="0"]', "aria-pressed") == "true"


def test_pointing_at_a_dot_shows_its_design_until_the_pointer_leaves(page: Page) -> None:
    page.locator("#scatter").scroll_into_view_if_needed()
    row, x, y = page.evaluate(
        """() => {
          const chart = document.querySelector('#scatter').chart;
          const dots = chart.getOption().series.find((s) => s.id === 'f').data;
          const { row, value } = dots[dots.length - 1];
          return [row, ...chart.convertToPixel({ xAxisIndex: 0, yAxisIndex: 0 }, value)];
        }"""
    )
    box = page.locator("#scatter").bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + x - 3, box["y"] + y)
    page.mouse.move(box["x"] + x, box["y"] + y)
    page.wait_for_function(f"document.querySelector('.who').textContent === 'Design {row + 1}'")
    page.mouse.move(box["x"] + x, box["y"] - 40)
    page.wait_for_function("document.querySelector('.who').textContent === 'Design 1'")


def test_on_paper_the_values_are_there(page: Page) -> None:
    page.emulate_media(media="print")
    assert page.is_visible("#pointed td.value >> nth=0")
    assert page.is_visible("#asked table")
    page.emulate_media(media="screen")


def test_a_group_is_hidden(page: Page) -> None:
    page.uncheck('#groups input[data-group="x"]')
    assert within(page) == exploration(COUNT).feasible
    page.check('#groups input[data-group="x"]')


def test_on_a_phone_nothing_is_cut_off(browser: Browser, tmp_path: Path) -> None:
    file = tmp_path / "explore.html"
    file.write_bytes(page_of(exploration()))
    with quiet_page(browser, PHONE, reduced_motion="reduce", color_scheme="dark") as opened:
        opened.goto(file.as_uri())
        opened.wait_for_selector("#parallel[data-ready]")
        assert opened.evaluate("document.documentElement.scrollWidth") == PHONE[0]
        upright = opened.evaluate(
            "document.querySelector('#parallel').chart.getOption().parallel[0].layout"
        )
        assert upright == "vertical"


def test_without_scripts_tables_and_side_view_are_there(browser: Browser, tmp_path: Path) -> None:
    file = tmp_path / "explore.html"
    file.write_bytes(page_of(exploration()))
    with quiet_page(browser, java_script_enabled=False) as opened:
        opened.goto(file.as_uri())
        assert opened.is_visible("#pointed svg")
        assert opened.is_visible("#best table")
        assert not opened.is_visible("#parallel")
        assert opened.is_visible("noscript p")
