"""The model's place on the page: a side view until scripts fill it, tabs that name their panels."""

from __future__ import annotations

import re

from frame3d.report.sections.model import model
from frame3d.report.texts import texts
from tests.report.samples import bare, hardtail_bike


def test_until_scripts_run_only_the_side_view_is_shown() -> None:
    made = model(bare(hardtail_bike()), texts())
    for class_ in ("toolbar", "motions", "panel", "card"):
        assert re.search(rf'<div class="{class_}"[^>]* hidden>', made), class_
    assert '<use href="#bike"' in made
    assert texts()("page.without_script") in made
    assert f'aria-label="{texts()("drawing.plain", name=hardtail_bike().spec.name)}"' in made


def test_tabs_and_panels_name_each_other_and_one_is_chosen() -> None:
    made = model(bare(hardtail_bike()), texts())
    for tab, panel in re.findall(r'role="tab" id="([\w-]+)" aria-controls="([\w-]+)"', made):
        assert re.search(rf'<div id="{panel}" role="tabpanel" aria-labelledby="{tab}"', made)
    chosen = re.findall(r'id="(tab-\w+)"[^>]*aria-selected="true" tabindex="0"', made)
    others = re.findall(r'id="(tab-\w+)"[^>]*aria-selected="false" tabindex="-1"', made)
    assert (chosen, others) == (["tab-parts"], ["tab-checks"])
