"""The figures panel of a bike that is only begun, and how the workspace shows it."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

from frame3d.chart.partial import FEW, OpenFigure, PartialChart, partial_chart
from frame3d.live.begun import begun
from frame3d.live.disk import Disk
from frame3d.live.workspace import Workspace
from frame3d.parameters.models.figures import FIGURES
from frame3d.report.texts import texts
from tests.charts import spec
from tests.live.loops import run
from tests.live.serving import SMALL
from tests.live.test_workspace import FakePage

TEXT = SMALL.read_text(encoding="utf-8")
CHART = PartialChart(
    settled={"reach": 455.0},
    assumed={"stack": (633.41, ("build.headset.angle", "geometry.seat_tube_offset"))},
    open={
        "wheelbase": OpenFigure(("chainstay_length",), 1, (), ()),
        "trail": OpenFigure(("fork_offset", "mechanical_trail", "wheel_flop"), 1, (), ()),
        "fork_axle_to_crown": OpenFigure((), 2, ("fork_offset", "fork_length_straight"), ()),
        "front_centre": OpenFigure((), FEW + 1, (), ()),
        "seat_tube_length": OpenFigure((), 0, (), ()),
        "bb_drop": OpenFigure(("bb_height",), 1, (), (62.0, -62.0)),
    },
    missing=4,
    beyond=tuple(
        set(FIGURES)
        - {"reach", "stack", "wheelbase", "trail", "fork_axle_to_crown", "front_centre"}
        - {"seat_tube_length", "bb_drop"}
    ),
)


def rows(markup: str) -> dict[str, list[str]]:
    """The cells of each figure, without tags."""
    found = re.findall(r'<tr data-figure="(\w+)".*?>(.*?)</tr>', markup)
    return {
        figure: [unescape(re.sub(r"<[^>]+>", "", cell)) for cell in re.findall(r"<td.*?</td>", row)]
        for figure, row in found
    }


def test_each_figure_with_what_it_takes() -> None:
    shown = str(begun(CHART, texts()))
    assert "Figures missing: 4." in shown
    assert rows(shown) == {
        "reach": ["455.0mm", ""],
        "stack": [
            "633.4mm",
            "as long as no headset cups turn the steering axis and the seat tube's axis runs through "
            "the bottom bracket",
        ],
        "seat_tube_length": ["open", "nothing else settles it"],
        "front_centre": ["open", "more than 3 others"],
        "wheelbase": ["open", "chainstay_length"],
        "bb_drop": ["62.0 mm or −62.0 mm", "bb_height"],
        "fork_axle_to_crown": ["open", "2 others, e.g. fork_offset and build.fork.axle_to_crown"],
        "trail": ["open", "fork_offset, mechanical_trail or wheel_flop"],
    }


def test_no_bike() -> None:
    assert "No bicycle was found" in begun(None, texts())


def test_a_figure_of_the_chart_has_a_row() -> None:
    chart = partial_chart(spec({"reach": 455.0}))
    assert set(rows(str(begun(chart, texts())))) == set(FIGURES) - {
        "standover",
        "standover_mid_tube",
    }


def test_figures_are_taken_away_and_given_again(tmp_path: Path) -> None:
    run(taken_away(tmp_path / "bike.yaml", tmp_path / "out"))


async def taken_away(file: Path, folder: Path) -> None:
    file.write_text(TEXT, encoding="utf-8")
    workspace = Workspace(Disk(file), folder, texts())
    workspace.open()
    try:
        page = FakePage(workspace, 1)
        await page.until(lambda page: "<td>455.0" in page.html.get("figures", ""))
        whole = page.html["figures"]

        page.type("  chainstay_length: 432", "  # chainstay_length: 432")
        await page.until(lambda page: page.state["dim"])
        assert page.state["begun"]
        assert rows(page.html["figures"])["wheelbase"] == ["open", "chainstay_length"]
        assert "under" not in page.html["figures"]
        assert "geometry.wheelbase" in page.html["faults"]
        assert workspace.shown.solved is not None  # the old bike stays in the picture

        # Another fault: these figures stay, as older ones.
        page.type("reach: 455", "reach: far")
        await page.until(lambda page: not page.state["begun"])
        assert page.state["dim"]
        assert rows(page.html["figures"])["wheelbase"] == ["open", "chainstay_length"]

        page.type("reach: far", "reach: 455")
        await page.until(lambda page: page.state["begun"])
        page.type("  # chainstay_length: 432", "  chainstay_length: 432")
        await page.until(lambda page: not page.state["dim"])
        assert not page.state["begun"]
        assert page.html["figures"] == whole
    finally:
        await workspace.close()


def test_a_new_file_begins_with_nothing(tmp_path: Path) -> None:
    run(from_nothing(tmp_path / "new.yaml", tmp_path / "out"))


async def from_nothing(file: Path, folder: Path) -> None:
    file.write_text("format: 1\nname: New\ngeometry: {}\n", encoding="utf-8")
    workspace = Workspace(Disk(file), folder, texts())
    workspace.open(keep=False)
    try:
        page = FakePage(workspace, 1)
        await page.until(lambda page: page.state.get("begun"))
        assert "Figures missing: 12." in page.html["figures"]
        page.type("{}", "{bb_drop: 62, rear_wheel_radius: 372}")
        await page.until(lambda page: "Figures missing: 10." in page.html["figures"])
        assert rows(page.html["figures"])["bb_height"] == ["310.0mm", ""]
    finally:
        await workspace.close()
