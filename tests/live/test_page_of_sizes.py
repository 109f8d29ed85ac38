"""A file with sizes in a browser: chosen beside the text, dragged, laid over one another."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.live.families import FAMILY
from tests.live.serving import SMALL, open_page, serving, type_after
from tests.live.test_page import expect

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytest.importorskip("playwright")


def test_a_size_is_chosen_dragged_and_compared(browser: Browser, tmp_path: Path) -> None:
    (tmp_path / "bike.yaml").write_text(FAMILY, encoding="utf-8")
    with serving(tmp_path) as live, open_page(browser, live) as page:
        title = page.locator("h1")
        expect(title).to_have_text("Small bike, size M")
        page.get_by_role("radio", name="L", exact=True).check()
        page.get_by_role("checkbox", name="quick").check()
        expect(title).to_have_text("Small bike, size L, quick")
        page.reload()
        expect(page.get_by_role("radio", name="L", exact=True)).to_be_checked()
        page.get_by_role("checkbox", name="quick").uncheck()
        expect(title).to_have_text("Small bike, size L")

        page.select_option("#f3d-known", "geometry.reach")
        row = page.locator('[data-path="geometry.reach"]')
        expect(row.locator(".of")).to_have_text("by rule, all sizes")
        row.locator("input[type=number]").fill("490")
        page.keyboard.press("Tab")
        page.click("#f3d-tab-sizes")
        cells = page.locator("[data-place=sizes] tbody tr").first.locator("td")
        expect(cells).to_have_text(["440.0", "465.0", "490.0"])
        expect(page.locator("[data-place=sizes]")).not_to_have_class("older")
        expect(row.locator(".was")).to_have_text("was 480")

        page.click("#f3d-tab-compare")
        page.select_option("#f3d-first", "bike S quick")
        expect(page.locator("[data-place=compare] th").nth(1)).to_have_text("size S, quick")

        # The choice follows the typing: the size that is shown gets another name.
        type_after(page, "66}\n  M:\n  L", "X")
        type_after(page, "{S: 60, M: 62, L", "X")
        expect(title).to_have_text("Small bike, size LX")
        expect(page.get_by_role("radio", name="LX")).to_be_checked()


def test_a_read_only_page_looks_at_sizes_and_leaves_the_file_alone(
    browser: Browser, tmp_path: Path
) -> None:
    (tmp_path / "bike.yaml").write_text(FAMILY, encoding="utf-8")
    with serving(tmp_path, SMALL, "--read-only") as live:
        page = browser.new_page()
        page.goto(live.url)
        page.get_by_role("radio", name="S").check()
        expect(page.locator("h1")).to_have_text("Small bike, size S")
        expect(page.locator("#f3d-save")).not_to_be_visible()
        page.close()
        assert live.text == FAMILY
