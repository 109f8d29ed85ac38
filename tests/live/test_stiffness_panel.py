"""The panel on stiffness: ratios to what figures are compared with, words of the band, gains, faults."""

from __future__ import annotations

import asyncio
import re
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from frame3d.caution import CAUTION
from frame3d.live.comparing.sides import Side
from frame3d.live.disk import Disk
from frame3d.live.solved_text import SolvedText, good
from frame3d.live.stiffening.stiffness_panel import StiffnessPanel
from frame3d.live.workspace import Workspace
from frame3d.report.texts import texts
from frame3d.stiffness.gains import gains_of
from frame3d.stiffness.load_cases import CASES
from frame3d.stiffness.of_bike import stiffness_of
from tests.live.loops import run
from tests.live.test_workspace import FakePage
from tests.report.samples import words
from tests.stiffness.test_of_bike import FRAMES

DEMO = (Path(__file__).parents[2] / "configs" / "trail_hardtail_29.yaml").read_text("utf-8")
WIDER = ("od: 38.1", "od: 41")


@cache
def solved(*changes: tuple[str, str]) -> SolvedText:
    text = DEMO
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    return good(text, "bike.yaml")


def rows(markup: str) -> dict[str, list[str]]:
    """Texts of each load case's cells."""
    found = re.findall(r'<tr data-case="(\w+)">(.*?)</tr>', markup)
    return {
        key: [words(cell) for cell in re.findall(r"<td.*?</td>", row)]  # type: ignore[arg-type]
        for key, row in found
    }


def test_ratios_are_those_of_the_model_with_their_words() -> None:
    now, before = solved(WIDER), solved()
    told = rows(StiffnessPanel(texts()).told(now, Side("as opened", before)))
    assert list(told) == [case.key for case in CASES]
    new, old = stiffness_of(now.bike), stiffness_of(before.bike)
    for key, (value, ratio, says, gives) in told.items():
        expected = new.of(key).stiffness / old.of(key).stiffness
        assert float(value.split()[0]) == pytest.approx(new.of(key).stiffness, abs=0.06)
        assert float(ratio) == pytest.approx(expected, abs=6e-4)
        assert says == ("same" if abs(expected - 1) <= 0.025 else "stiffer")
        assert gives.endswith("%")
    assert {says for _, _, says, _ in told.values()} == {"same", "stiffer"}


def test_another_shape_is_not_told_apart_within_its_band() -> None:
    now = solved(("head_tube_angle: 65.5", "head_tube_angle: 65"))
    panel = StiffnessPanel(texts())
    markup = panel.told(now, Side("as opened", solved()))
    assert {row[2] for row in rows(markup).values()} == {"not told apart"}
    assert "differ in shape" in markup
    assert "differ in shape" not in panel.told(solved(), Side("as opened", solved()))


def test_what_a_gram_does_and_the_cautions_stand_beside() -> None:
    markup = StiffnessPanel(texts()).told(solved(), None)
    said = words(markup)  # type: ignore[arg-type]
    stiffness = stiffness_of(solved().bike)
    best = max(gains_of(stiffness), key=lambda gain: gain.per_gram("head_sideways"))
    assert texts().part(best.tube) in said
    assert "Where a gram does most" in said
    assert "Stiffer is not stronger" in said
    assert CAUTION in said
    assert "stress" not in said
    assert "choose the first under Compare" in said
    assert all(len(row) == 2 for row in rows(markup).values())


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ((("material: 4130", "material: {name: Own, density_g_cm3: 2.7}"),), "Young"),
        (None, "does not have"),
    ],
)
def test_a_frame_without_stiffness_is_told_in_one_line(changes: object, why: str) -> None:
    if changes is None:
        bike = good((Path(__file__).parents[2] / "configs" / "minimal.yaml").read_text(), "m.yaml")
    else:
        bike = solved(*changes)  # type: ignore[misc]
    panel = StiffnessPanel(texts())
    markup = panel.told(bike, None)
    assert why in markup
    assert markup.count("<p") == 1
    assert "<table" not in markup
    # Beside it, another has figures and no ratios.
    beside = panel.told(solved(), Side("that one", bike))
    assert "of that one no stiffness can be told" in beside
    assert all(len(row) == 2 for row in rows(beside).values())


def test_which_pages_have_it_open() -> None:
    panel = StiffnessPanel(texts())
    assert not panel.is_open
    panel.look(1, on=True)
    panel.look(2, on=True)
    panel.look(1, on=False)
    assert panel.is_open
    panel.look(2, on=False)
    panel.look(3, on=False)
    assert not panel.is_open
    assert not panel.is_told(solved(), None)
    panel.told(solved(), None)
    assert panel.is_told(solved(), None)
    assert not panel.is_told(solved(), Side("as opened", solved()))


class PageWithPicture(FakePage):
    """What a page would show, with how the frame bends."""

    bending: dict[str, Any] | None = None

    def tell(self, news: Mapping[str, Any]) -> None:
        if "bending" in news:
            self.bending = news["bending"]
        super().tell(news)


def test_how_the_frame_bends_is_of_the_bike_that_was_told_of() -> None:
    panel = StiffnessPanel(texts())
    assert panel.bending(solved()) is None
    panel.told(solved(), None)
    found = panel.bending(solved())
    assert found is not None
    assert [one["key"] for one in found["cases"]] == [case.key for case in CASES]
    assert panel.bending(solved(WIDER)) is None


def test_it_follows_a_dragged_slider_while_a_page_has_it_open(tmp_path: Path) -> None:
    run(play(tmp_path))


async def play(folder: Path) -> None:
    file = folder / "bike.yaml"
    file.write_bytes((FRAMES / "hardtail.yaml").read_bytes())
    workspace = Workspace(Disk(file), folder / "out", texts())
    workspace.open(keep=False)
    try:
        page = PageWithPicture(workspace, 1)
        await page.until(lambda p: "figures" in p.html)
        assert "stiffness" not in page.html
        await workspace.look_at_stiffness(1, on=True)
        await page.until(lambda p: "stiffness" in p.html)
        assert {row[2] for row in rows(page.html["stiffness"]).values()} == {"same"}
        await page.until(lambda p: p.bending is not None)
        path = "tubes.down_tube.od"
        value = workspace.tries.inputs()[path].value
        for more in (1.0, 2.0, 4.0):
            workspace.attempt(path, value + more, dragging=more > 1)
            before = page.html["stiffness"]
            await page.until(lambda p, before=before: p.html["stiffness"] != before)  # type: ignore[misc]
        assert "stiffer" in {row[2] for row in rows(page.html["stiffness"]).values()}
        # The picture is of the plain bike until the text rests.
        await page.until(lambda p: p.bending is not None)
        workspace.overlay(True)
        assert page.bending is None
        workspace.overlay(False)
        # Closed, it is left as it is; opened again, it is of the bike in view.
        await workspace.look_at_stiffness(1, on=False)
        left = page.html["stiffness"]
        number = page.model["number"]
        workspace.attempt(path, value, dragging=False)
        await page.until(lambda p: p.model["number"] != number)
        assert page.html["stiffness"] == left
        await workspace.look_at_stiffness(1, on=True)
        assert {row[2] for row in rows(page.html["stiffness"]).values()} == {"same"}
        assert page.bending is not None
        # A page that is gone has nothing open.
        workspace.leave(1)
        assert not workspace.stiffness.is_open
        await asyncio.wait_for(workspace.look_at_stiffness(1, on=True), 5)
        assert not workspace.stiffness.is_open
    finally:
        await workspace.close()
