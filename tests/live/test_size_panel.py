"""The size table of the workspace: each size's figures, and which size cannot be made."""

from __future__ import annotations

import re

from frame3d.bike.choice import Choice
from frame3d.live.choosing.others import Others
from frame3d.live.choosing.size_panel import sizes
from frame3d.live.solved_text import good
from frame3d.report.texts import texts
from tests.live.families import FAMILY


def panel(text: str) -> str:
    others = Others("bike.yaml")
    return str(sizes([others.solve(text, Choice(s)) for s in "SML"], Choice("M"), texts()))


def test_every_size_has_its_figures_as_drawn_and_at_sag() -> None:
    shown = panel(FAMILY)
    _, drawn, sagged = shown.split("<thead>")
    assert re.findall(r'<th scope="col">([A-Z])<', drawn) == ["S", "M", "L"]
    for size, reach in (("S", "430.0"), ("M", "455.0"), ("L", "480.0")):
        assert f">{reach}</td>" in drawn
        at_sag = good(FAMILY, "x", Choice(size)).bike.sagged
        assert at_sag is not None
        assert f">{at_sag.chart['reach']:.1f}</td>" in sagged


def test_a_size_that_cannot_be_made_is_told_by_its_name() -> None:
    shown = panel(FAMILY.replace("S: 60", "S: wide"))
    assert re.search(r'class="what">S: ', shown)
    assert '<th scope="col">L</th>' in shown
    assert '<th scope="col">S</th>' not in shown
    nothing = panel("nonsense")
    assert "<table" not in nothing


def test_a_file_of_one_size_is_told_how_it_would_hold_more() -> None:
    assert "sizes: [S, M, L]" in str(sizes([], Choice(), texts()))
