"""Page and workspace against axe-core: no violation, in both themes, at three sizes.

axe-core checks WCAG 2 A and AA, and its own best practices; its engine comes with axe-playwright-python.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from frame3d.report.exploring.page import page_of
from frame3d.report.page import report_page
from tests.live.families import FAMILY
from tests.live.serving import (
    SECOND,
    has_address,
    open_page,
    served_to_network,
    serving,
    type_after,
)
from tests.report.browser import quiet_page
from tests.report.comparing.samples import sizes_page
from tests.report.exploring.samples import exploration
from tests.report.samples import four_link, hardtail_page

pytest.importorskip("playwright")

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

SIZES = {"desktop": (1400, 900), "tablet": (820, 1180), "phone": (390, 844)}


def violations(page: Page, *, colours_only: bool = False) -> list[str]:
    """What axe-core finds: rule, element, what is wrong."""
    from axe_playwright_python.sync_playwright import Axe

    options: dict[str, Any] = {"resultTypes": ["violations"]}
    if colours_only:
        options["runOnly"] = ["color-contrast"]
    response: dict[str, Any] = Axe().run(page, options=options).response
    return [
        f"{rule['id']}: {node['html'][:160]} {node['failureSummary'][:300]}"
        for rule in response["violations"]
        for node in rule["nodes"][:3]
    ]


def assert_none(page: Page) -> None:
    """At each size in each theme; the dark one differs by its colours only."""
    found = {}
    for theme in ("light", "dark"):
        page.emulate_media(color_scheme=theme)  # type: ignore[arg-type]
        for name, (width, height) in SIZES.items():
            page.set_viewport_size({"width": width, "height": height})
            page.wait_for_timeout(300)
            found[theme, name] = violations(page, colours_only=theme == "dark")
    assert {where: rules for where, rules in found.items() if rules} == {}


def test_the_page(browser: Browser, tmp_path: Path) -> None:
    file = tmp_path / "page.html"
    file.write_bytes(hardtail_page())
    with quiet_page(browser, reduced_motion="reduce") as page:
        page.goto(file.as_uri())
        page.wait_for_selector("#bike-model[data-ready]")
        assert_none(page)


def test_the_riders_page(browser: Browser, tmp_path: Path) -> None:
    file = tmp_path / "page.html"
    file.write_bytes(report_page(four_link(), audience="rider"))
    with quiet_page(browser, (390, 844), reduced_motion="reduce") as page:
        page.goto(file.as_uri())
        page.wait_for_selector("#bike-model[data-ready]")
        assert violations(page) == []


def test_the_page_of_several_bikes(browser: Browser, tmp_path: Path) -> None:
    file = tmp_path / "page.html"
    file.write_bytes(sizes_page())
    with quiet_page(browser, reduced_motion="reduce") as page:
        page.goto(file.as_uri())
        page.wait_for_selector("#bike-model[data-ready]")
        assert violations(page) == []
        page.emulate_media(color_scheme="dark")
        page.set_viewport_size({"width": 390, "height": 844})
        assert violations(page) == []


def test_the_page_of_an_exploration(browser: Browser, tmp_path: Path) -> None:
    file = tmp_path / "page.html"
    file.write_bytes(page_of(exploration()))
    with quiet_page(browser, reduced_motion="reduce") as page:
        page.goto(file.as_uri())
        page.wait_for_selector("#parallel[data-ready]")
        page.click("summary")
        assert violations(page) == []
        page.emulate_media(color_scheme="dark")
        page.set_viewport_size({"width": 390, "height": 844})
        assert violations(page) == []


def test_the_workspace(browser: Browser, tmp_path: Path) -> None:
    """With sizes, a slider, and with a fault in the text."""
    (tmp_path / "bike.yaml").write_text(FAMILY, encoding="utf-8")
    with serving(tmp_path) as live, open_page(browser, live, reduced_motion="reduce") as page:
        page.select_option("#f3d-known", "geometry.head_tube_angle")
        page.wait_for_selector("#f3d-tries input[type=range]")
        page.click("#f3d-tab-sizes")
        page.wait_for_selector("[data-place=sizes]:not(.older) table")
        assert_none(page)
        within = "document.activeElement.closest('.cm-editor') !== null"
        type_after(page, "head_tube_angle: 65.5", "")
        page.keyboard.press("Tab")
        assert page.evaluate(within)
        page.keyboard.press("Control+z")
        page.keyboard.press("Escape")
        page.keyboard.press("Tab")
        assert not page.evaluate(within), "Esc, then Tab leaves the text"
        type_after(page, "head_tube_angle: 65.5", "x")
        page.wait_for_selector(".faults li")
        assert_none(page)


@pytest.mark.skipif(not has_address(SECOND), reason="this machine has one loopback address only")
def test_the_question_for_the_code(browser: Browser, tmp_path: Path) -> None:
    with served_to_network(tmp_path) as (live, _):
        page = browser.new_page()
        page.goto(live.url)
        assert_none(page)
        page.close()
