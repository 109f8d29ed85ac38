"""The rider in the workspace: shown by the tool, another one with another text."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.live.serving import SMALL, open_page, serving, type_after

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytest.importorskip("playwright")

PARTS = """
  crank: {length: 170, q_factor: 176, chainline: 52}
  pedal: {}
  stem: {length: 45, spacers: 15}
  handlebar: {rise: 25, width: 780}
  rider: {mass_kg: 80, height: 1765, inseam: 840}
"""
ARM = "document.querySelector('#f3d-view').viewer.rider.posture.limbs[1].upper"


def test_the_figure_follows_the_text(browser: Browser, tmp_path: Path) -> None:
    small = SMALL.read_text(encoding="utf-8")
    text = small.replace("  rider: {mass_kg: 80, inseam: 840}\n", PARTS.lstrip("\n"))
    assert text != small
    (tmp_path / "bike.yaml").write_text(text, encoding="utf-8")
    with serving(tmp_path) as live, open_page(browser, live, reduced_motion="reduce") as page:
        select = page.locator("#f3d-tools").get_by_label("Rider")
        assert select.input_value() == ""
        select.select_option("standing")
        name, before = page.evaluate(ARM)
        assert name == "upper_arm"
        # Drillis and Contini 1966: the upper arm is 0.186 of the stature (from memory).
        assert before == pytest.approx(0.186 * 1765, abs=0.01)
        type_after(page, "height: 1765", "815", back=3)
        page.wait_for_function(f"{ARM}[1] > {before + 5}")
        assert page.evaluate(ARM)[1] == pytest.approx(0.186 * 1815, abs=0.01)
        assert select.input_value() == "standing"
        # Without a height and inseam nobody can be drawn.
        type_after(page, "mass_kg: 80", ", shoe_length: 290} #")
        page.wait_for_function("document.querySelector('#f3d-view').viewer.rider.shown === null")
        assert select.is_hidden()
