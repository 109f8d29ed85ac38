"""The workspace of a file with sizes: one bike for all pages, sliders of a size, the size table."""

from __future__ import annotations

import asyncio
from pathlib import Path

import pytest

from frame3d.live.disk import Disk
from frame3d.live.work import slow_work
from frame3d.live.workspace import Workspace
from frame3d.report.texts import texts
from tests.live.families import FAMILY
from tests.live.loops import run
from tests.live.test_slow_work import FakeWorker
from tests.live.test_workspace import FakePage


@pytest.fixture
def workspace(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Workspace:
    FakeWorker.made = []
    monkeypatch.setattr(slow_work, "Worker", FakeWorker)
    file = tmp_path / "bike.yaml"
    file.write_text(FAMILY, encoding="utf-8")
    return Workspace(Disk(file), tmp_path / "out", texts())


def test_from_one_size_to_another(workspace: Workspace) -> None:
    run(play(workspace))


async def play(workspace: Workspace) -> None:
    workspace.open(keep=False)
    try:
        await asyncio.wait_for(chosen_dragged_and_typed(workspace), 60)
    finally:
        await workspace.close()


async def chosen_dragged_and_typed(workspace: Workspace) -> None:
    a, b = FakePage(workspace, 1), FakePage(workspace, 2)
    checker, _, _, writer = FakeWorker.made
    await a.until(lambda page: page.state["sized"])
    assert a.state["variants"] == {
        "sizes": ["S", "M", "L"],
        "settings": ["long", "quick"],
        "size": "M",
        "chosen": [],
    }
    assert "Small bike, size M" in a.html["title"]
    assert ">430.0</td>" in a.html["sizes"]
    assert "bike L long" in dict(a.state["options"])

    # One page chooses: every page shows that bike, and slow work is on it; the text is as it was.
    workspace.vary("L", ["quick", "long"])
    await b.until(lambda page: "size L, long, quick" in page.html["title"])
    await b.until(lambda page: page.state["sized"])
    assert checker.started[-1][1:3] == (FAMILY, workspace.chooser.choice)
    solved = workspace.shown.solved
    assert solved is not None
    assert solved.bike.exchanged
    assert f"<td>{solved.bike.chart['reach']:.1f}" in b.html["figures"]
    assert "out/L/long+quick" in b.html["write"]
    workspace.write_output("report")
    assert writer.started[-1][-1] == workspace.folder / "L" / "long+quick"
    assert workspace.session.text == FAMILY
    workspace.vary("L", [])

    # The slider of a rule moves all sizes; the dragged one has the value.
    workspace.choose("geometry.reach", on=True)
    assert a.tries["chosen"][0]["of"] == "by rule, all sizes"
    workspace.attempt("geometry.reach", 490.0, dragging=False)
    assert a.state["tried"] == {"geometry.reach": 490.0}
    await a.until(lambda page: page.state["sized"] and ">490.0</td>" in page.html["sizes"])
    assert ">440.0</td>" in a.html["sizes"]
    await workspace.save()
    assert "{from: 440, step: 25}   # by rule" in a.text
    workspace.undo()
    assert (a.text, workspace.chooser.choice.size) == (FAMILY, "L")
    assert a.state["tried"] == {"geometry.reach": 490.0}
    workspace.let_go()

    # A value of one size alone, tried in it, is named while another size is seen.
    workspace.choose("geometry.bb_drop", on=True)
    workspace.attempt("geometry.bb_drop", 66.0, dragging=False)
    workspace.vary("S", [])
    assert (a.state["tried"], a.state["elsewhere"]) == ({}, ["geometry.bb_drop.L"])
    workspace.let_go()
    assert a.state["elsewhere"] == []

    # A size that is typed away falls back to the default; a new page sees what all see.
    await a.until(lambda page: "size S" in page.html["title"])
    a.type("  S: {geometry.head_tube_angle: 66}\n", "")
    a.type("{S: 60, M", "{M")
    await a.until(lambda page: "size M" in page.html["title"])
    assert a.state["variants"]["sizes"] == ["M", "L"]
    c = FakePage(workspace, 3)
    assert c.state["variants"] == a.state["variants"]

    # A size that cannot be made is told in the table; without sizes there is none.
    a.type("L: 64", "L: wide")
    await a.until(lambda page: page.state["sized"] and "L: " in page.html["sizes"])
    a.type("sizes:\n  default: M\n  M:\n  L:\n", "")
    await a.until(lambda page: page.state["variants"]["sizes"] == [])
