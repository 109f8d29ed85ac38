"""The workspace in a browser: text, chart, model, sliders, files, two pages at once."""

from __future__ import annotations

import difflib
import http.client
import json
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.live.serving import (
    PATIENCE,
    SIZE,
    SMALL,
    Live,
    figure,
    open_page,
    serving,
    text_of,
    type_after,
)

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Locator, Page

pytest.importorskip("playwright")
ORIGINAL = SMALL.read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def live(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Live]:
    with serving(tmp_path_factory.mktemp("live")) as running:
        yield running


@pytest.fixture(scope="module")
def shared(browser: Browser, live: Live) -> Iterator[Page]:
    with open_page(browser, live) as page:
        yield page


@pytest.fixture
def page(shared: Page, live: Live) -> Page:
    """The page with text and file as they were at first."""
    if shared.locator("#f3d-let-go").is_enabled():
        shared.click("#f3d-let-go")
    if shared.locator("#f3d-conflict").is_visible():
        shared.click("#f3d-theirs")
    shared.evaluate(
        """(text) => {
          const view = getElement(f3d.editor).editor;
          view.dispatch({ changes: { from: 0, to: view.state.doc.length, insert: text } });
        }""",
        ORIGINAL,
    )
    shared.keyboard.press("Control+s")
    for _ in range(600):  # what is still to be saved must not meet the test's own edits
        if live.text == ORIGINAL:
            break
        shared.wait_for_timeout(100)
    expect(shared.locator("#f3d-saved")).to_have_text("Saved")
    expect(figure(shared, "head_tube_angle")).to_have_text("65.5°")
    expect(figure(shared, "reach")).to_have_text("455.0mm")
    assert text_of(shared) == ORIGINAL
    return shared


def expect(locator):  # type: ignore[no-untyped-def]
    """Playwright's own, as patient as a loaded machine needs."""
    from playwright.sync_api import expect as own

    own.set_options(timeout=PATIENCE)
    return own(locator)


def undo_to_original(page: Page) -> None:
    """Typing with pauses, as on a loaded machine, takes several steps to undo."""
    for _ in range(20):
        if text_of(page) == ORIGINAL:
            return
        page.click("#f3d-undo")
        page.wait_for_timeout(100)
    raise AssertionError("the text does not come back")


def changed_lines(text: str) -> list[str]:
    """Lines that differ from the original file's, as + and -."""
    lines = difflib.unified_diff(ORIGINAL.splitlines(), text.splitlines(), n=0, lineterm="")
    return [line for line in lines if line[0] in "+-" and line[:3] not in ("+++", "---")]


def soon_same(page: Page, second: Page) -> None:
    """Wait until both pages show one text."""
    for _ in range(50):
        if text_of(second) == text_of(page):
            return
        page.wait_for_timeout(100)
    assert text_of(second) == text_of(page)


def test_a_change_is_seen_at_once_by_every_page_and_saving_keeps_comments(
    browser: Browser, live: Live, page: Page
) -> None:
    with open_page(browser, live) as second:
        trail = figure(page, "trail").inner_text()
        model = page.get_attribute("#f3d-view", "data-glb")
        type_after(page, "head_tube_angle: 65.5", "0", back=1)
        for each in (page, second):
            expect(figure(each, "head_tube_angle")).to_have_text("65.0°")
            expect(figure(each, "trail")).not_to_have_text(trail)
            expect(each.locator("#f3d-saved")).to_have_text("Not saved")
        page.wait_for_selector(f'#f3d-view:not([data-glb="{model}"])')
        soon_same(page, second)  # "65." makes 65.0 degrees too, so the last key may be on its way
        assert live.text == ORIGINAL

        # The second page goes on where the first one was, without taking its cursor away.
        type_after(second, "reach: 455", "9", back=1)
        expect(figure(page, "reach")).to_have_text("459.0mm")
        page.keyboard.press("Backspace")
        page.keyboard.type("2")
        expect(figure(second, "head_tube_angle")).to_have_text("65.2°")
        soon_same(page, second)

        second.keyboard.press("Control+s")
        for each in (page, second):
            expect(each.locator("#f3d-saved")).to_have_text("Saved")
    assert changed_lines(live.text) == [
        "-  reach: 455",
        "-  head_tube_angle: 65.5",
        "+  reach: 459",
        "+  head_tube_angle: 65.2",
    ]


def test_two_pages_that_type_at_once_lose_no_keystroke(
    browser: Browser, live: Live, page: Page
) -> None:
    with open_page(browser, live) as second:
        type_after(page, "name: Small bike", " of")
        type_after(second, "reach: 455", "  # ")
        for one, other in zip("the one at the top", "and this by the other", strict=False):
            page.keyboard.type(one)
            second.keyboard.type(other)
        for each in (page, second):
            each.wait_for_function(
                """() => {
                  const text = getElement(f3d.editor).editor.state.doc.toString();
                  return text.includes("ofthe one at the top\\n") && text.includes("# and this by the ot");
                }"""
            )
        second.keyboard.press("Control+s")
        expect(second.locator("#f3d-saved")).to_have_text("Saved")
        assert text_of(page) == text_of(second) == live.text


@pytest.mark.parametrize("way", ["connected again", "reloaded"])
def test_what_is_typed_without_a_connection_is_merged_in_and_seen(
    way: str, browser: Browser, live: Live, page: Page
) -> None:
    with open_page(browser, live) as second:
        second.evaluate("window.socket.disconnect()")
        type_after(second, "bb_drop: 62", ".75")
        type_after(page, "reach: 455", "9", back=1)
        expect(figure(page, "reach")).to_have_text("459.0mm")
        assert "bb_drop: 62.75" in text_of(second)
        assert "reach: 455" in text_of(second)
        if way == "reloaded":
            second.reload()
        else:
            second.evaluate("window.socket.connect()")
        for each in (page, second):
            expect(figure(each, "bb_drop")).to_have_text("62.8mm", timeout=PATIENCE)
            expect(figure(each, "reach")).to_have_text("459.0mm")
            each.wait_for_function(
                """() => {
                  const text = getElement(f3d.editor).editor.state.doc.toString();
                  return text.includes("bb_drop: 62.75") && text.includes("reach: 459");
                }"""
            )
        second.keyboard.press("Control+s")
        expect(page.locator("#f3d-saved")).to_have_text("Saved")
        assert text_of(page) == text_of(second) == live.text


def test_a_fault_is_told_with_its_line_and_the_last_bike_stays(page: Page) -> None:
    expect(page.locator('#f3d-view[data-checks="11"]')).to_be_attached()
    type_after(page, "reach: 455", "x")
    faults = page.locator("[data-place=faults]")
    expect(faults).to_contain_text("geometry.reach")
    expect(faults.locator("[data-line]")).to_have_text("Line 7")
    expect(page.locator(".f3d-wrong")).to_have_count(1)
    expect(page.locator(".f3d-wrong")).to_contain_text("reach: 455x")
    expect(page.locator("#f3d-dimmed")).to_be_visible()
    assert page.locator("#f3d-view[data-dim]").count() == 1
    assert figure(page, "reach").inner_text() == "455.0mm"
    assert page.evaluate("document.querySelector('#f3d-view').viewer.visible().length") > 5

    page.evaluate("getElement(f3d.editor).editor.dispatch({selection: {anchor: 0}})")
    faults.locator("[data-line]").click()
    page.keyboard.press("End")
    page.keyboard.press("Backspace")
    expect(faults).to_be_empty()
    expect(page.locator("#f3d-dimmed")).to_be_hidden()
    expect(page.locator("#f3d-saved")).to_have_text("Saved")
    assert page.locator("#f3d-view[data-dim]").count() == 0

    type_after(page, "geometry:", "\n  - [", back=0)  # not even YAML
    expect(faults.locator("[data-line]").first).to_be_visible()
    undo_to_original(page)
    expect(faults).to_be_empty()


def test_another_editor_s_change_is_followed_and_never_lost(live: Live, page: Page) -> None:
    live.edit(ORIGINAL.replace("reach: 455", "reach: 470"))
    expect(figure(page, "reach")).to_have_text("470.0mm")
    expect(page.locator("#f3d-saved")).to_have_text("Saved")

    type_after(page, "head_tube_angle: 65.5", "0", back=1)
    expect(figure(page, "head_tube_angle")).to_have_text("65.0°")
    theirs = ORIGINAL.replace("reach: 455", "reach: 440")
    live.edit(theirs)
    expect(page.locator("#f3d-conflict")).to_be_visible()
    page.keyboard.press("Control+s")  # writes nothing over it
    expect(figure(page, "reach")).to_have_text("470.0mm")
    assert live.text == theirs
    page.click("#f3d-theirs")
    expect(figure(page, "reach")).to_have_text("440.0mm")
    expect(figure(page, "head_tube_angle")).to_have_text("65.5°")
    page.click("#f3d-undo")  # and the page's own text is not lost either
    expect(figure(page, "head_tube_angle")).to_have_text("65.0°")

    live.edit(ORIGINAL)
    expect(page.locator("#f3d-conflict")).to_be_visible()
    page.click("#f3d-mine")
    expect(page.locator("#f3d-saved")).to_have_text("Saved")
    assert changed_lines(live.text)[0] == "-  reach: 455"
    assert changed_lines(live.text)[-1] == "+  head_tube_angle: 65.0"

    raw = live.text.encode("utf-16")
    live.file.write_bytes(raw)
    expect(page.locator("#f3d-conflict")).to_contain_text("UTF-16")
    expect(page.locator("#f3d-theirs")).to_be_hidden()
    expect(page.locator("#f3d-saved")).to_have_text("Not saved")
    page.keyboard.press("Control+s")
    page.wait_for_timeout(300)
    assert live.file.read_bytes() == raw
    live.file.unlink()
    expect(page.locator("#f3d-conflict")).to_be_hidden()
    expect(page.locator("#f3d-gone")).to_be_visible()
    page.click("#f3d-save")
    expect(page.locator("#f3d-gone")).to_be_hidden()
    assert live.file.is_file()


def test_a_slider_tries_a_value_and_keeping_it_changes_the_file_in_place(
    live: Live, page: Page
) -> None:
    page.select_option("#f3d-known", "tubes.top_tube.end.angle")
    page.select_option("#f3d-known", "geometry.reach")
    slider = page.locator('[data-path="geometry.reach"] input[type=range]')
    box = slider.bounding_box()
    assert box is not None
    middle = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(*middle)
    page.mouse.down()
    for step in range(1, 4):
        page.mouse.move(middle[0] + 16 * step, middle[1])
    page.mouse.up()
    tried = float(slider.input_value())
    assert tried > 455
    expect(figure(page, "reach")).to_have_text(f"{tried:.1f}mm")
    expect(page.locator("tr[data-figure=reach] .change")).to_have_text(f"+{tried - 455:.2f}")
    assert "reach: 455" in text_of(page)
    assert live.text == ORIGINAL

    page.fill('[data-path="tubes.top_tube.end.angle"] input[type=number]', "81.5")
    page.keyboard.press("Tab")
    expect(page.locator('[data-path="tubes.top_tube.end.angle"] .was')).to_have_text("was 86")
    page.click("#f3d-keep")
    expect(page.locator("#f3d-keep")).to_be_disabled()  # in the text now, then on the disk
    expect(page.locator("#f3d-saved")).to_have_text("Saved")
    comment = "# a junction is set by a distance or by an angle"
    assert changed_lines(live.text) == [
        "-  reach: 455",
        f"+  reach: {tried:g}",
        f"-    end: {{on: head_tube, angle: 86}}          {comment}",
        f"+    end: {{on: head_tube, angle: 81.5}}        {comment}",
    ]
    assert text_of(page) == live.text

    there = head_tube(page)
    # What was kept is tried again: text, slider and bike go back together, and the page says so at once.
    assert slider.input_value() == f"{tried:g}"
    page.click("#f3d-undo")
    expect(page.locator('[data-path="geometry.reach"] .was')).to_have_text("was 455")
    expect(page.locator('[data-path="tubes.top_tube.end.angle"] .was')).to_have_text("was 86")
    assert slider.input_value() == f"{tried:g}"
    assert text_of(page) == ORIGINAL
    expect(page.locator("#f3d-saved")).to_have_text("Not saved")
    expect(figure(page, "reach")).to_have_text(f"{tried:.1f}mm")
    assert head_tube(page) == pytest.approx(there, abs=0.1)
    page.click("#f3d-undo")
    page.click("#f3d-undo")  # one step for the whole drag
    expect(figure(page, "reach")).to_have_text("455.0mm")
    expect(page.locator('[data-path="geometry.reach"] .was')).to_have_text("")
    assert slider.input_value() == "455"
    for _ in range(100):
        if head_tube(page) == pytest.approx(there - (tried - 455), abs=0.1):
            break
        page.wait_for_timeout(100)
    assert head_tube(page) == pytest.approx(there - (tried - 455), abs=0.1)
    page.click("#f3d-redo")
    page.click("#f3d-redo")
    page.click("#f3d-redo")  # and forward again, to what was kept
    expect(page.locator("#f3d-redo")).to_be_disabled()
    expect(page.locator('[data-path="geometry.reach"] .was')).to_have_text("")
    assert text_of(page) == live.text
    assert slider.input_value() == f"{tried:g}"
    expect(figure(page, "reach")).to_have_text(f"{tried:.1f}mm")
    for path in ("tubes.top_tube.end.angle", "geometry.reach"):
        page.click(f'[data-path="{path}"] .off')
    expect(page.locator("#f3d-tries li")).to_have_count(0)


def head_tube(page: Page) -> float:
    """How far forward the head tube reaches in the picture [mm]."""
    return float(
        page.evaluate(
            "document.querySelector('#f3d-view').viewer.model.parts.get('head_tube').box().max.x"
        )
    )


def test_the_line_that_is_typed_stays_in_view_beside_what_is_wrong(page: Page) -> None:
    """Told faults take room from the text: the last line that was in view is not behind them."""
    assert page.locator("[data-place=faults]").bounding_box() is None
    page.evaluate(
        """() => {
          const view = getElement(f3d.editor).editor;
          view.scrollDOM.scrollTop = 0;
          const { clientHeight } = view.scrollDOM;
          const { doc } = view.state;
          let line = 1;
          const below = (n) => view.lineBlockAt(doc.line(n).from).bottom + view.documentPadding.top;
          while (line < doc.lines && below(line + 1) <= clientHeight) line += 1;
          view.dispatch({ selection: { anchor: doc.line(line).to } });
          view.focus();
        }"""
    )
    page.keyboard.type(" [ wrong")
    expect(page.locator("[data-place=faults] [data-line]").first).to_be_visible()
    page.wait_for_timeout(300)
    line = page.locator(".cm-activeLine").bounding_box()
    room = page.locator(".cm-scroller").bounding_box()
    panel = page.locator("[data-place=faults]").bounding_box()
    assert line is not None
    assert room is not None
    assert panel is not None
    assert line["y"] >= room["y"]
    assert line["y"] + line["height"] <= min(room["y"] + room["height"], panel["y"])
    assert "wrong" in page.locator(".cm-activeLine").inner_text()


def test_the_ride_follows_the_text(page: Page) -> None:
    """A slacker head angle makes the trail longer, and so the lever at the ground."""
    page.click("#f3d-tab-ride")
    lever = page.locator("[data-place=ride] .of-steering tbody tr td").first
    expect(lever).to_have_text("110 mm")
    type_after(page, "head_tube_angle: 65.5", "0", back=1)
    expect(lever).to_have_text("113 mm")
    page.click("#f3d-tab-figures")


def test_another_version_is_laid_over_the_picture_and_compared(
    live: Live, page: Page, tmp_path: Path
) -> None:
    type_after(page, "chainstay_length: 432", "8", back=1)
    page.click("#f3d-tab-compare")
    table = page.locator("[data-place=compare]")
    expect(table.locator(".inputs tbody tr")).to_have_text(["geometry.chainstay_length432438+6.00"])
    expect(table.locator(".chart").first).to_contain_text("Wheelbase")
    expect(table.locator(".gaps")).to_contain_text(
        "Rear tyre to the frame"
    )  # once both are measured
    heads = table.locator("thead th:first-child").all_inner_texts()
    assert heads[:3] == ["Figure", "Figure at sag", "Smallest gap"]
    assert heads[-1] == "In the file"
    page.check("#f3d-overlay")
    expect(page.locator('#f3d-view[data-ghost="true"]')).to_be_attached()
    assert page.evaluate("document.querySelector('#f3d-view').viewer.ghost.all.length") > 5
    expect(page.locator("#f3d-pictured")).to_be_hidden()

    # Files beside the workspace's own are in the list, by name alone; nothing else can be asked for.
    beside = live.file.with_name("beside.yaml")
    beside.write_text(ORIGINAL.replace("reach: 455", "reach: 430"), encoding="utf-8")
    page.focus("#f3d-second")
    page.select_option("#f3d-second", "file beside.yaml")
    expect(table.locator(".inputs tbody tr").first).to_have_text("geometry.reach455430−25.00")
    expect(page.locator("#f3d-pictured")).to_have_text("In the picture: beside.yaml")
    page.evaluate("emitEvent('f3d', { what: 'sides', first: 'now', second: 'file ../out/x.yaml' })")
    page.evaluate("emitEvent('f3d', { what: 'sides', first: 'now', second: 'file beside.yaml' })")
    expect(table.locator(".inputs tbody tr")).to_have_count(2)
    page.select_option("#f3d-first", "last")
    expect(table.locator(".inputs tbody tr")).to_have_count(1)
    beside.unlink()

    page.fill("#f3d-swap", "build.fork.axle_to_crown=551")
    page.keyboard.press("Enter")
    expect(table.locator(".inputs tbody tr")).to_have_text(["build.fork.axle_to_crown535551+16.00"])
    expect(table.locator(".chart").first).to_contain_text("Head tube angle")
    expect(page.locator("#f3d-pictured")).to_contain_text("build.fork.axle_to_crown=551")

    other = tmp_path / "other.yaml"
    other.write_text(ORIGINAL.replace("reach: 455", "reach: 430"), encoding="utf-8")
    with page.expect_file_chooser() as chosen:
        page.click("#f3d-give")
    chosen.value.set_files(other)
    expect(table.locator(".inputs tbody tr").first).to_have_text("geometry.reach430455+25.00")
    expect(page.locator("#f3d-first option:checked")).to_have_text("other.yaml")

    broken = tmp_path / "broken.yaml"
    broken.write_text("format: 1\ngeometry: {reach: far}\n", encoding="utf-8")
    with page.expect_file_chooser() as chosen:
        page.click("#f3d-give")
    chosen.value.set_files(broken)
    expect(page.locator("#f3d-note")).to_contain_text("broken.yaml makes no bike")
    page.uncheck("#f3d-overlay")
    page.select_option("#f3d-first", "last")
    expect(page.locator('#f3d-view[data-ghost="false"]')).to_be_attached()
    page.click("#f3d-tab-figures")


def test_exact_solids_follow_and_outputs_go_to_their_folder_alone(live: Live, page: Page) -> None:
    expect(page.locator('#f3d-view[data-exact="true"]')).to_be_attached()
    expect(page.locator("#f3d-doing")).to_contain_text("g frame")
    page.click("#f3d-tab-write")
    page.click("[data-output=report]")
    expect(page.locator("[data-place=written]")).to_contain_text("report.html")
    written = (live.out / "report.html").read_bytes()
    assert written.startswith(b"<!doctype html>")
    link = page.locator("[data-place=written] a").first
    with page.expect_download() as download:
        link.click()
    assert download.value.suggested_filename == "report.html"
    assert Path(download.value.path()).read_bytes() == written
    target = link.get_attribute("href")
    assert target is not None
    assert answer(live, "GET", target) == 200
    assert answer(live, "GET", target, Origin="http://example.org") == 403
    assert answer(live, "GET", target, Sec_Fetch_Site="cross-site") == 403
    assert answer(live, "GET", "/f3d/written/999") == 404
    assert answer(live, "GET", "/f3d/written/..%2fbike.yaml") in (404, 422)
    assert sorted(p.name for p in live.file.parent.iterdir()) == ["bike.yaml", "out"]
    page.click("#f3d-tab-figures")


def test_figures_are_pinned_and_room_is_shared_as_the_user_likes(page: Page) -> None:
    """Both are remembered by the browser; on a tablet sliders stand beside the picture."""
    page.set_viewport_size({"width": 1000, "height": 900})
    page.click("th [data-pin=reach]")
    page.click("th [data-pin=trail]")
    pins = page.locator("#f3d-pins li")
    expect(pins.first).to_contain_text("455.0 mm")
    type_after(page, "reach: 455", "9", back=1)
    expect(pins.first).to_contain_text("459.0 mm")
    expect(pins.first).to_contain_text("+4.00")
    undo_to_original(page)
    expect(pins.first).to_contain_text("455.0 mm")
    pins.nth(1).locator("button").click()
    expect(pins).to_have_count(1)

    bar, field = page.locator("[data-divider=text]"), page.locator(".f3d-editor")
    held = bar.bounding_box()
    assert held is not None
    page.mouse.move(held["x"] + held["width"] / 2, 300)
    page.mouse.down()
    page.mouse.move(500, 300)
    page.mouse.up()
    assert width(field) == pytest.approx(500, abs=4)
    bar.focus()
    page.keyboard.press("ArrowLeft")
    assert width(field) == pytest.approx(480, abs=4)  # 2 % of 1000
    view, low = page.locator("#f3d-view"), page.locator("[data-divider=picture]")
    high = height(view)
    low.focus()
    for _ in range(4):
        page.keyboard.press("ArrowDown")
    assert height(view) > high + 20
    assert low.get_attribute("aria-valuenow") == "65"

    page.reload()
    page.wait_for_selector("#f3d-view[data-glb]")
    assert width(field) == pytest.approx(480, abs=4)
    expect(pins).to_have_count(1)
    bar.dblclick()
    assert width(field) == pytest.approx(370, abs=4)

    page.set_viewport_size({"width": 800, "height": 1100})
    sliders, picture = page.locator(".trying").bounding_box(), view.bounding_box()
    assert sliders is not None
    assert picture is not None
    assert sliders["x"] >= picture["x"] + picture["width"]
    assert sliders["y"] < picture["y"] + picture["height"]
    assert page.evaluate("document.documentElement.scrollWidth") <= 800
    page.set_viewport_size({"width": SIZE[0], "height": SIZE[1]})
    low.dblclick()
    pins.locator("button").click()
    expect(page.locator("#f3d-pins")).to_be_hidden()


def width(locator: Locator) -> float:
    box = locator.bounding_box()
    assert box is not None
    return float(box["width"])


def height(locator: Locator) -> float:
    box = locator.bounding_box()
    assert box is not None
    return float(box["height"])


def test_clearances_are_listed_and_flown_to(page: Page) -> None:
    expect(page.locator('#f3d-view[data-checks="11"]')).to_be_attached()
    expect(page.locator("[data-place=verdict]")).to_contain_text("11")
    page.click("#f3d-tab-clearances")
    first = page.locator("[data-place=clearances] button[data-check]").first
    first.click()
    check = first.get_attribute("data-check")
    assert page.evaluate("document.querySelector('#f3d-view').viewer.checks.chosen") == check
    first.click()
    assert page.evaluate("document.querySelector('#f3d-view').viewer.checks.chosen") is None
    page.click("#f3d-tab-figures")


def test_text_from_the_file_is_never_markup(live: Live, page: Page) -> None:
    name = """<img src=x onerror=window.bad=1> "quoted" 'too' &lt; é"""
    notes = """</ul></span><script>window.bad=1</script><svg onload="window.bad=1"> 🚲"""
    lines = [
        f"{k}: {json.dumps(v, ensure_ascii=False)}" for k, v in (("name", name), ("notes", notes))
    ]
    live.edit(ORIGINAL.replace("name: Small bike", "\n".join(lines)))
    expect(page.locator("h1")).to_have_text(name)
    assert page.title().startswith("<img src=x")
    page.click("#f3d-tab-messages")
    expect(page.locator("[data-place=messages]")).to_contain_text("<script>window.bad=1</script>")
    type_after(page, "reach: ", "'<img src=x onerror=window.bad=1>' #")
    expect(page.locator("[data-place=faults]")).to_contain_text("<img src=x onerror=window.bad=1>")
    live.edit(ORIGINAL)
    page.click("#f3d-theirs")
    expect(page.locator("[data-place=faults]")).to_be_empty()
    assert page.evaluate("window.bad") is None
    page.click("#f3d-tab-figures")


def answer(live: Live, method: str, path: str, **headers: str) -> int:
    connection = http.client.HTTPConnection("127.0.0.1", live.port, timeout=20)
    try:
        names = {"Host": f"127.0.0.1:{live.port}", **headers}
        connection.putrequest(method, path, skip_host=True)
        for name, value in names.items():
            connection.putheader(name.replace("_", "-"), value)
        connection.endheaders()
        return connection.getresponse().status
    finally:
        connection.close()


def test_foreign_pages_are_refused(live: Live, page: Page) -> None:
    socket = "/_nicegui_ws/socket.io/?EIO=4&transport=websocket"
    upgrade = {
        "Connection": "Upgrade",
        "Upgrade": "websocket",
        "Sec_WebSocket_Version": "13",
        "Sec_WebSocket_Key": "dGhlIHNhbXBsZSBub25jZQ==",  # the sample of RFC 6455, section 1.3
    }
    own = live.url.rstrip("/")
    assert answer(live, "GET", "/") == 200
    assert answer(live, "GET", "/", Host="rebound.example") == 403
    assert answer(live, "GET", "/", Origin="http://example.org") == 403
    assert answer(live, "GET", "/f3d/texts.json", Sec_Fetch_Site="cross-site") == 403
    assert answer(live, "POST", "/f3d/other?name=x", Origin="http://example.org") == 403
    assert answer(live, "GET", socket, **upgrade, Origin=own) == 101
    assert answer(live, "GET", socket, **upgrade, Origin="http://example.org") == 403
    assert answer(live, "GET", socket, **upgrade) == 403
    assert answer(live, "GET", "/f3d/page/..%2f..%2fcli.js") == 404
    # A page of another origin in the same browser: its socket never opens.
    stranger = page.context.new_page()
    stranger.route(
        "http://stranger.example/",
        lambda route: route.fulfill(body="<h1>hello</h1>", content_type="text/html"),
    )
    stranger.goto("http://stranger.example/")
    outcome = stranger.evaluate(
        """(url) => new Promise((done) => {
          const socket = new WebSocket(url);
          socket.onopen = () => done("open");
          socket.onerror = () => done("refused");
        })""",
        live.url.replace("http", "ws").rstrip("/") + socket,
    )
    stranger.close()
    assert outcome == "refused"


CONTRASTS = """() => {
  const light = (colour) => {
    const [r, g, b] = colour.match(/[\\d.]+/g).slice(0, 3).map((part) => {
      const c = part / 255;
      return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
    });
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const under = light(getComputedStyle(document.querySelector(".cm-editor")).backgroundColor);
  const shown = document.querySelectorAll(".cm-line, .cm-line span, .cm-gutters *");
  return [...shown].filter((e) => e.checkVisibility()).map((e) => {
    const over = light(getComputedStyle(e).color);
    return (Math.max(over, under) + 0.05) / (Math.min(over, under) + 0.05);
  });
}"""
"""Of the editor's text with its ground, as WCAG 2.2 defines contrast (value from memory)."""


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_text_stands_out_from_its_ground(browser: Browser, live: Live, scheme: str) -> None:
    with open_page(browser, live, color_scheme=scheme) as page:
        page.wait_for_selector(".cm-line span[class]")
        page.wait_for_timeout(300)
        found = page.evaluate(CONTRASTS)
    assert len(found) > 20
    assert min(found) >= 4.5  # WCAG 2.2, 1.4.3, level AA


def test_tabs_stand_side_by_side_on_a_phone(browser: Browser, live: Live) -> None:
    with open_page(browser, live) as page:
        page.set_viewport_size({"width": 390, "height": 844})
        cut = page.evaluate(
            "[...document.querySelectorAll('#f3d-tabs button')]"
            ".filter((tab) => tab.scrollWidth > tab.clientWidth).map((tab) => tab.id)"
        )
        assert cut == []
        assert page.evaluate("document.documentElement.scrollWidth") <= 390
