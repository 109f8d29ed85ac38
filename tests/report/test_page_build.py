"""Page: what can be said of the file without opening it."""

from __future__ import annotations

import base64
import gzip
import hashlib
import json
import re
import subprocess
import sys
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import pytest

from frame3d.bike.exchange import as_built, exchange
from frame3d.bike.solve import solve
from frame3d.caution import CAUTION
from frame3d.clearance.result import Report
from frame3d.cli import commands
from frame3d.errors import Note, OutputError
from frame3d.parameters.models.figures import FIGURES, title
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.reading.reader import load
from frame3d.report.data import ReportData, gather
from frame3d.report.markup import VOID
from frame3d.report.page import packed, report_page, write_report
from tests.report.samples import CONFIGS, HARDTAIL, failing, four_link, hardtail, hardtail_page
from tests.sampling import first

LIMIT = 3_000_000
"""Of the demo's page [bytes]."""


class Reading(HTMLParser):
    """A page as a tree's worth of facts; fails where elements do not nest."""

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.ids: list[str] = []
        self.wanted: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.texts: list[str] = []
        self.inline: dict[str, list[str]] = {"script": [], "style": []}
        self.feed(page)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        assert len(given) == len(attrs), f"an attribute stands twice in {tag}"
        self.tags.append((tag, given))
        if "id" in given:
            self.ids.append(str(given["id"]))
        for name in ("aria-labelledby", "aria-describedby", "aria-controls", "for"):
            if name in given:
                self.wanted += str(given[name]).split()
        href = given.get("href")
        if href is not None and href.startswith("#"):
            self.wanted.append(href[1:])
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1] in self.inline:
            self.inline[self.open[-1]].append(data)
        else:
            self.texts.append(data)

    def attributes(self, tag: str) -> list[dict[str, str | None]]:
        return [given for name, given in self.tags if name == tag]

    @property
    def text(self) -> str:
        return " ".join(" ".join(self.texts).split())


def reading(bike: ReportData) -> Reading:
    return Reading(report_page(bike).decode())


PAGE = pytest.fixture(scope="module")(lambda: Reading(hardtail_page().decode()))
BIKES = {"hardtail": hardtail, "four_link": four_link, "failing": failing}


@pytest.mark.parametrize("name", BIKES)
def test_elements_nest_ids_are_single_and_references_lead_somewhere(name: str) -> None:
    page = reading(BIKES[name]())
    assert len(set(page.ids)) == len(page.ids)
    assert set(page.wanted) <= set(page.ids)


def test_the_policy_allows_this_page_and_nothing_else(PAGE: Reading) -> None:
    meta = next(m for m in PAGE.attributes("meta") if m.get("http-equiv"))
    assert meta["http-equiv"] == "Content-Security-Policy"
    rules = dict(rule.strip().split(" ", 1) for rule in str(meta["content"]).split(";"))
    assert rules["default-src"] == "'none'"
    scripts = [
        text
        for (tag, given), text in zip(
            [(t, g) for t, g in PAGE.tags if t == "script"], PAGE.inline["script"], strict=True
        )
        if given["type"] == "module"
    ]
    (style,) = PAGE.inline["style"]

    def digest(text: str) -> str:
        return "'sha256-" + base64.b64encode(hashlib.sha256(text.encode()).digest()).decode() + "'"

    assert [digest(s) for s in scripts] == [rules["script-src"].split()[0]]
    assert rules["script-src"].split()[1:] == ["blob:"]
    assert rules["style-src"] == digest(style)
    assert "unsafe" not in str(meta["content"])
    assert "connect-src" not in rules


def test_no_markup_needs_what_the_policy_forbids(PAGE: Reading) -> None:
    for tag, given in PAGE.tags:
        assert "style" not in given, tag
        assert not any(name.startswith("on") for name in given), tag
        assert tag not in ("base", "form", "iframe", "object", "embed"), tag


def test_nothing_is_asked_of_anyone(PAGE: Reading) -> None:
    for tag, given in PAGE.tags:
        for name in ("href", "src", "action", "srcset", "poster"):
            value = given.get(name)
            assert value is None or value.startswith(("#", "data:image/svg+xml,")), tag
    for text in (*PAGE.inline["style"], *(s for s in PAGE.inline["script"])):
        outside = set(re.findall(r"(?:https?|wss?):[^\s\"'`)]+|url\([^)]*\)|@import", text))
        assert outside <= {"http://www.w3.org/2000/svg"}


def test_another_process_writes_the_same_page_and_loads_no_cad_kernel(tmp_path: Path) -> None:
    assert len(hardtail_page()) < LIMIT
    code = (
        "import sys\nfrom frame3d.cli.commands import main\n"
        "try:\n    main()\nfinally:\n    assert not {'OCP', 'cadquery', 'nicegui'} & set(sys.modules)"
    )
    arguments = ["report", str(HARDTAIL), "-o", str(tmp_path)]
    run = subprocess.run(
        [sys.executable, "-c", code, *arguments], check=True, capture_output=True, text=True
    )
    assert re.search(r"\d+ checks made, all hold", run.stdout)
    assert (tmp_path / "report.html").read_bytes() == hardtail_page()


def test_bundles_come_out_as_they_went_in(PAGE: Reading) -> None:
    scripts = [g for t, g in PAGE.tags if t == "script"]
    packs = {
        str(given["id"]): gzip.decompress(base64.b64decode(text))
        for given, text in zip(scripts, PAGE.inline["script"], strict=True)
        if given["type"] == "text/plain"
    }
    assert packs["bundle-glb"] == hardtail().meshes.glb
    document = json.loads(packs["bundle-document"])
    assert document["scene"]["parts"][0]["name"] == "bottom_bracket"
    assert b"export" in packs["bundle-three"]
    assert gzip.decompress(base64.b64decode(packed(b"x"))) == b"x"
    assert base64.b64decode(packed(b"x"))[4:8] == b"\0\0\0\0"  # no time of writing


def test_everything_can_be_read_without_scripts(PAGE: Reading) -> None:
    bike, text = hardtail(), PAGE.text
    for figure in FIGURES:
        assert title(figure) in text
    assert "455.0 mm" in text
    assert "470.8 mm" in text
    assert CAUTION in text
    for result in bike.report.results:
        assert f"{result.least:.{result.decimals(1)}f}".replace("-", "−") in text
    assert f"{sum(bike.meshes.grams.values()):.0f} g" in text
    assert "the seat tube's axis runs through the bottom bracket" in text
    assert "axle to crown 535, measured straight" in text
    assert len(PAGE.attributes("svg")) > 25
    buttons = [b for b in PAGE.attributes("button") if "hidden" not in b]
    assert all(b["class"] == "term" for b in buttons if b.get("role") != "tab" and "id" not in b)


def test_falling_short_is_said_in_words() -> None:
    bike = failing()
    page = reading(bike)
    short = sum(not r.ok for r in bike.report.results)
    assert short > 0
    assert f"{short} of {len(bike.report.results)} checks fall short" in page.text or (
        short == 1 and "1 of" in page.text
    )
    rows = [g for t, g in page.tags if t == "tr" and "short" in str(g.get("class"))]
    assert sum("mend" not in str(r["class"]) for r in rows) == short
    assert page.text.count("Falls short") == short
    assert "What would mend it" in page.text


def test_exchanged_parts_are_told() -> None:
    layout = solve(load(HARDTAIL))
    swap = "build.fork.axle_to_crown=551"
    other = load(HARDTAIL, swaps=[swap])
    bike = exchange(layout, other, ("build.fork.axle_to_crown",))
    page = reading(gather(bike, as_built(layout, bike), [swap]))
    assert swap in page.text
    assert "the bike pitches by" in page.text


@pytest.mark.parametrize("config", ["adventure_rigid", "minimal"])
def test_every_demo_has_a_page(config: str) -> None:
    """One without tubes, and one without suspension and with parts missing."""
    page = reading(gather(solve(load(CONFIGS / f"{config}.yaml"))))
    assert set(page.wanted) <= set(page.ids)
    assert CAUTION in page.text
    assert "Not checked" in page.text
    if config == "minimal":
        assert "bike-model" not in page.ids


HOSTILE = [
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "${alert(1)} {0} $title %s",
    "</script><!-- ]]>",
    "'; alert(1); //",
    "Fährrad 🚲 \u202egnp",
    "x" * 5000,
]


@pytest.mark.parametrize("said", first(4, HOSTILE), ids=lambda s: s[:12])
def test_hostile_texts_stay_texts(said: str) -> None:
    """Wherever the file's words end up: name, notes, own checks, sources, mends."""
    bike = hardtail()
    plain = {tag for tag, _ in reading(failing()).tags}
    layout = bike.bike
    spec = layout.spec.model_copy(update={"name": said, "notes": said})
    note = Note("warning", said, said)
    results = tuple(
        replace(
            r, title=said, source=said, note=said, name=f"extra.{i}", mend=(said,), required=999.0
        )
        for i, r in enumerate(bike.report.results[:3])
    )
    scene = replace(bike.scene, bike=replace(layout, spec=spec))
    page = reading(
        replace(
            bike,
            bike=replace(layout, spec=spec, notes=(note,)),
            scene=scene,
            swaps=(said,),
            report=Report(results, ()),
            tracks={},
        )
    )
    assert {tag for tag, _ in page.tags} <= plain
    assert " ".join(said.split()) in page.text
    assert len(page.inline["style"]) == 1
    assert len(page.inline["script"]) == 5
    for tag, given in page.tags:
        assert not any(name.startswith("on") for name in given), tag


def test_it_is_written_whole_or_not_at_all(tmp_path: Path) -> None:
    target = tmp_path / "report.html"
    target.mkdir()
    with pytest.raises(OutputError):
        write_report(hardtail(), tmp_path)
    assert [p.name for p in tmp_path.iterdir()] == ["report.html"]


def test_a_sheet_that_a_report_no_longer_has_goes(tmp_path: Path) -> None:
    """With the list of both; a bike that never had a sheet has no list either."""
    data = hardtail()
    bare = replace(data, bike=replace(data.bike, spec=without_spring(data.bike.spec)))
    assert [p.name for p in write_report(bare, tmp_path / "bare").files] == ["report.html"]
    first = write_report(data, tmp_path)
    names = ["report.html", "set_up_sheet.pdf", "report.sha256"]
    assert [p.name for p in first.files] == names
    assert (tmp_path / names[1]).read_bytes()[:5] == b"%PDF-"
    second = write_report(bare, tmp_path)
    assert [p.name for p in second.removed] == [names[1]]
    assert not (tmp_path / names[1]).exists()


def without_spring(spec: FrameSpec) -> FrameSpec:
    """The file without the fork's spring: nothing to set up."""
    fork = spec.build.fork
    assert fork is not None
    parts = {"fork": fork.model_copy(update={"spring": None})}
    return spec.model_copy(update={"build": spec.build.model_copy(update=parts)})


def test_the_command_says_that_a_check_falls_short(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    short = ["--json", "--set", "clearance.front_tyre_to_fork=9.5"]
    with pytest.raises(SystemExit) as left:
        commands.main(["report", str(HARDTAIL), "-o", str(tmp_path), *short])
    assert left.value.code == 1
    document = json.loads(capsys.readouterr().out)
    assert document["ok"] is False
    names = ("report.html", "set_up_sheet.pdf", "report.sha256")
    assert document["files"] == [(tmp_path / name).as_posix() for name in names]
