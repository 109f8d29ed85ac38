"""The page of several bikes: opened from disk without a network, moved, hidden, printed."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from frame3d.report.comparing.models import Models
from frame3d.report.comparing.page import comparison_page, write_comparison
from tests.family.files import family_file
from tests.report.browser import quiet_page
from tests.report.comparing.samples import compared, sizes, sizes_page, sprung

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

MOST = 3_000_000
"""Largest page of two bikes with rear suspension [bytes]."""
VIEWER = "document.querySelector('#view').viewer"


@pytest.fixture(scope="module")
def page(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    file = tmp_path_factory.mktemp("compare") / "compare.html"
    file.write_bytes(sizes_page())
    with quiet_page(browser, reduced_motion="reduce") as made:
        made.set_default_timeout(60_000)
        made.goto(file.as_uri())
        made.wait_for_selector("#bike-model[data-ready]")
        yield made


def shown(page: Page, selector: str) -> list[Any]:
    """Which bikes' elements of a kind are seen."""
    seen: list[Any] = page.evaluate(
        "s => [...document.querySelectorAll(s)].filter(e => getComputedStyle(e).display !== 'none')"
        ".map(e => e.dataset.bike ?? e.dataset.figure)",
        selector,
    )
    return seen


def test_alignment_moves_the_bikes(page: Page) -> None:
    page.select_option("#align", "rear")
    moved = page.evaluate("document.querySelector('.overlay .b1').getAttribute('transform')")
    first, other = sizes().sides[0].at("rear_axle"), sizes().sides[1].at("rear_axle")
    by = [float(x) for x in moved.removeprefix("translate(").rstrip(")").split()]
    assert by == pytest.approx([first[0] - other[0], other[1] - first[1]], abs=0.006)
    page.select_option("#align", "bb")


def test_differences_of_the_chosen_bike_are_marked(page: Page) -> None:
    assert shown(page, ".differences") == shown(page, ".told") == ["1"]
    page.select_option("#marked", "2")
    assert shown(page, ".differences") == shown(page, ".told") == ["2"]
    page.select_option("#marked", "1")


def test_a_hidden_bike_takes_its_marks_along(page: Page) -> None:
    page.uncheck('.legend input[data-bike="1"]')
    assert shown(page, ".overlay .bike") == ["2", "0"]
    assert shown(page, ".differences") == []
    page.check('.legend input[data-bike="1"]')
    assert shown(page, ".differences") == ["1"]


def test_a_sentence_shows_its_dimension_alone(page: Page) -> None:
    button = page.locator('.told.d1 .tell[data-figure="mechanical_trail"], .told.d1 .tell').first
    figure = button.get_attribute("data-figure")
    button.click()
    assert shown(page, ".d1 .difference") == [figure]
    button.click()
    assert len(shown(page, ".d1 .difference")) > 3


def test_two_bikes_in_3d_at_one_pose(page: Page) -> None:
    assert page.evaluate(f"{VIEWER}.ghost.data === undefined") is False
    page.select_option("#ghost", "2")
    page.wait_for_timeout(300)
    page.select_option("#solid", "1")
    page.wait_for_timeout(300)
    page.evaluate(f"{VIEWER}.setPose({{ fork: 60 }})")
    found = page.evaluate(f"[{VIEWER}.model.pose.fork, {VIEWER}.ghost.pose.fork]")
    assert found == [60, 60]
    lowest = page.evaluate(
        """() => {
          const { viewer } = document.querySelector('#view');
          return [viewer.model, viewer.ghost].map((model) => {
            const box = new viewer.kit.THREE.Box3();
            for (const name of ["front_tyre", "rear_tyre"]) {
              box.expandByObject(model.parts.get(name).mesh, true);
            }
            return box.min.z;
          });
        }"""
    )
    assert lowest[0] == pytest.approx(lowest[1], abs=0.5)
    page.select_option("#ghost", "")
    page.wait_for_selector("#view[data-ghost=false]")
    assert page.evaluate(f"{VIEWER}.ghost") is None


def printed(browser: Browser, folder: Path, data: bytes) -> list[str]:
    """Return the text of each sheet of A4 that a page is printed on."""
    pdfplumber = pytest.importorskip("pdfplumber")
    (folder / "compare.html").write_bytes(data)
    with quiet_page(browser, reduced_motion="reduce") as page:
        page.goto((folder / "compare.html").as_uri())
        (folder / "page.pdf").write_bytes(page.pdf(prefer_css_page_size=True))
    with pdfplumber.open(folder / "page.pdf") as pdf:
        size = float(pdf.pages[0].width), float(pdf.pages[0].height)
        assert size == pytest.approx((595.3, 841.9), abs=1.0)
        return [sheet.extract_text() for sheet in pdf.pages]


def test_two_bikes_with_suspension_on_two_sheets_of_paper(browser: Browser, tmp_path: Path) -> None:
    data = comparison_page(sprung())
    assert len(data) < MOST
    first, second = printed(browser, tmp_path, data)
    assert "Over one another" in first
    assert "against trail_full_140" in first
    assert "Size table" in second
    assert "Caution" in second


def test_eight_bikes_on_two_sheets_of_paper(
    browser: Browser, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    nothing = Models(b"", ({},) * 8, ([],) * 8)
    monkeypatch.setattr("frame3d.report.comparing.page.models", lambda *_: nothing)
    file = family_file(tmp_path)
    long = [f"{file}:{size}+long" for size in ("S", "M", "L")]
    first, second = printed(browser, tmp_path, comparison_page(compared(f"{file}:all", *long)))
    assert "Over one another" in first
    assert "Caution" in second


def test_without_scripts_everything_is_told(browser: Browser, tmp_path: Path) -> None:
    file = tmp_path / "compare.html"
    file.write_bytes(sizes_page())
    context = browser.new_context(java_script_enabled=False, offline=True)
    page = context.new_page()
    page.goto(file.as_uri())
    assert page.locator(".told:visible").count() == 2
    assert page.locator(".size-table:visible").count() == 2
    assert page.locator(".controls:visible").count() == 0
    context.close()


def test_files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("frame3d.report.comparing.page.comparison_page", lambda *_, **__: b"page")
    files = write_comparison(sizes(), "table", tmp_path)
    assert [file.name for file in files] == ["compare.html", "size_table.csv", "size_table.txt"]
    assert (tmp_path / "size_table.txt").read_text() == "table\n"
    rows = list(csv.reader((tmp_path / "size_table.csv").read_text().splitlines()))
    assert rows[0][3:] == ["S drawn", "L", "S long"]
