"""A workspace's server is killed while its text is not saved; the next one offers what was typed."""

from __future__ import annotations

import stat
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.live.serving import PATIENCE, ROOT, figure, open_page, serving, text_of, type_after

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytest.importorskip("playwright")
MINIMAL = ROOT / "configs" / "minimal.yaml"
"""Without tubes: what is not shown in 3D takes no time here."""


def test_text_typed_before_a_kill_is_offered_at_the_next_start(
    browser: Browser, tmp_path: Path
) -> None:
    from playwright.sync_api import expect

    original = MINIMAL.read_text(encoding="utf-8")
    with serving(tmp_path, MINIMAL) as live:
        with open_page(browser, live) as page:
            type_after(page, "head_tube_angle: 67", "6", back=1)
            page.select_option("#f3d-known", "geometry.reach")
            page.fill('[data-path="geometry.reach"] input[type=number]', "451")
            page.keyboard.press("Tab")
            expect(figure(page, "reach")).to_have_text("451.0mm", timeout=PATIENCE)
            for _ in range(100):
                files = list(live.out.glob(".*/unsaved.json"))
                if files and "451" in files[0].read_text():
                    break
                page.wait_for_timeout(100)
            assert stat.S_IMODE(files[0].stat().st_mode) == 0o600
        live.process.kill()
        live.process.wait(20)
    assert (tmp_path / "bike.yaml").read_text(encoding="utf-8") == original

    with serving(tmp_path, MINIMAL) as live:
        with open_page(browser, live) as page:
            offer = page.locator("#f3d-left")
            expect(offer).to_be_visible(timeout=PATIENCE)
            expect(offer.locator(".removed")).to_have_text("-  head_tube_angle: 67")
            expect(offer.locator(".added")).to_have_text("+  head_tube_angle: 66")
            expect(offer).to_contain_text("geometry.reach 451")
            assert text_of(page) == original
            page.click("#f3d-take-left")
            expect(figure(page, "head_tube_angle")).to_have_text("66.0°", timeout=PATIENCE)
            expect(figure(page, "reach")).to_have_text("451.0mm")
            expect(page.locator("#f3d-saved")).to_have_text("Not saved")
            expect(offer).to_be_hidden()
            assert live.text == original
            page.click("#f3d-undo")
            expect(figure(page, "reach")).to_have_text("440.0mm")
            assert text_of(page) == original
            page.click("#f3d-redo")
            expect(page.locator("#f3d-saved")).to_have_text("Not saved")
            page.keyboard.press("Control+s")
            expect(page.locator("#f3d-saved")).to_have_text("Saved")
            assert "head_tube_angle: 66" in live.text
            assert "reach: 451" in live.text
        live.process.terminate()
        live.process.wait(20)
        assert list(live.out.iterdir()) == []
