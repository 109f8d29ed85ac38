"""The rider in the viewer: hidden at first, no part of the bike, moves with pedals and bar."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from frame3d.looks.rider import figure_of
from frame3d.report.figure import figure_document
from frame3d.report.scene import Mounts
from frame3d.report.texts import texts
from tests.report.browser import quiet_page
from tests.report.samples import hardtail_bike
from tests.viewer.test_viewer import HELPERS, SIZE
from tests.viewer.viewer_page import write_page
from tests.viewer.viewer_scene import model, scene

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

PLACES = """
() => viewer.rider.bones(viewer.rider.posture, viewer.model).map(({ shape, matrix }) =>
  [shape, matrix.elements.slice(12, 15), matrix.elements.slice(8, 11)])
"""
"""Each segment's shape, where it starts, and along its axis."""


def with_rider() -> dict[str, Any]:
    made = scene()
    mounts = Mounts()
    made["rider"] = figure_document(hardtail_bike(), mounts.key, texts())
    made["mounts"] |= mounts.steps
    return made


@pytest.fixture(scope="module")
def opened(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    file = tmp_path_factory.mktemp("rider") / "page.html"
    write_page(file, model(), with_rider(), still=True)
    with quiet_page(browser, SIZE) as page:
        page.goto(file.as_uri())
        page.wait_for_selector("[data-ready]", timeout=60_000)
        page.evaluate(f"() => {{ {HELPERS} }}")
        yield page


@pytest.fixture
def page(opened: Page) -> Page:
    opened.evaluate("viewer.rider.show(null)")
    opened.evaluate("fresh()")
    return opened


def covered(page: Page) -> int:
    return int(page.evaluate("pixels((r, g, b, a) => a > 100)"))


def calls(page: Page) -> int:
    page.evaluate("viewer.drawn()")
    return int(page.evaluate("viewer.stage.renderer.info.render.calls"))


def test_hidden_it_costs_nothing_and_shown_it_is_seen(page: Page) -> None:
    assert page.evaluate("viewer.rider.shown") is None
    page.evaluate("viewer.view('side', true)")
    before, drawn = covered(page), calls(page)
    page.evaluate("viewer.rider.show('seated')")
    assert calls(page) > drawn
    # The picture makes room for the head, so all else gets smaller.
    assert covered(page) != before
    top = page.evaluate("Math.max(...viewer.rider.points().map((p) => p.z))")
    pixel = page.evaluate(f"place(0, 0, {top})")
    assert 0 <= pixel[1] < SIZE[1]
    page.evaluate("viewer.rider.show(null)")
    page.evaluate("viewer.view('side', true)")
    assert calls(page) == drawn
    assert covered(page) == pytest.approx(before, rel=0.01)


def test_before_it_is_first_shown_nothing_is_made(browser: Browser, tmp_path: Any) -> None:
    file = write_page(tmp_path / "page.html", model(), with_rider(), still=True)
    with quiet_page(browser, SIZE) as page:
        page.goto(file.as_uri())
        page.wait_for_selector("[data-ready]", timeout=60_000)
        assert page.evaluate("viewer.rider.surfaces.size + viewer.rider.materials.length") == 0
        assert page.evaluate("viewer.rider.object.visible") is False


def test_what_shows_through_is_the_bike_and_the_figure_is_one_skin(page: Page) -> None:
    """Where several segments overlap, the cover is that of one."""
    page.evaluate("viewer.isolate([])")
    page.evaluate("viewer.rider.show('seated')")
    page.evaluate("viewer.view('side', true)")
    covers = page.evaluate(
        "[1, 2].map((k) => pixels((r, g, b, a) => a > 0.8 * 255 && k === 1 || a > 140 && k === 2))"
    )
    assert covers[0] < 0.02 * covers[1]
    page.evaluate("viewer.isolate(null)")


def test_segments_are_where_the_figure_has_them(page: Page) -> None:
    """The page's limbs against Python's, which the drawings are made of."""
    figure = figure_of(hardtail_bike())
    assert figure is not None
    for pose in figure.poses:
        page.evaluate(f"viewer.rider.show({pose.name!r})")
        found = page.evaluate(PLACES)
        bones = list(pose.bones())
        assert len(found) == len(bones)
        left = [(bone.shape, np.array(bone.start)) for bone in bones]
        for shape, start, _ in found:
            near = [b for b in left if b[0] == shape and np.linalg.norm(b[1] - start) < 0.1]
            assert near, (shape, start)


def test_feet_go_round_with_the_pedals_and_hands_turn_with_the_bar(page: Page) -> None:
    page.evaluate("viewer.rider.show('seated')")
    drawn = page.evaluate(PLACES)
    page.evaluate("viewer.setPose({ crank: 90, steer: 20 })")
    turned = page.evaluate(PLACES)
    crank = hardtail_bike().spec.build.crank
    assert crank is not None
    moves = []
    for (shape, was, _), (_, now, _) in zip(drawn, turned, strict=True):
        step = np.array(now) - was
        if shape == "shoe":
            moves.append((was[1] > 0, step))
        if shape in ("trunk", "neck", "head"):
            assert np.linalg.norm(step) < 1e-6
    # A quarter turn forward: the left pedal from ahead to below, the right one up.
    for left, step in moves:
        sign = -1 if left else 1
        assert step == pytest.approx([sign * crank.length, 0, sign * crank.length], abs=0.1)
    legs = [one for one in turned if one[0] in ("thigh", "shank")]
    for _, _, axis in legs:
        assert math.hypot(*axis) == pytest.approx(1.0, abs=0.081)
    hands = [(w, n) for (s, w, _), (_, n, _) in zip(drawn, turned, strict=True) if s == "hand"]
    for was, now in hands:
        ahead = now[0] - was[0]
        assert ahead < -20 if was[1] > 0 else ahead > 20


def test_it_is_no_part(page: Page) -> None:
    parts = page.evaluate("viewer.visible()")
    page.evaluate("viewer.rider.show('seated')")
    page.evaluate("viewer.view('side', true)")
    assert page.evaluate("viewer.visible()") == parts
    x, y = page.evaluate(
        """() => {
          const bones = viewer.rider.bones(viewer.rider.posture, viewer.model);
          const { matrix } = bones.find(({ shape }) => shape === "head");
          return place(matrix.elements[12], matrix.elements[13], matrix.elements[14] + 120);
        }"""
    )
    seen = page.evaluate(
        "([x, y]) => viewer.picker.at(viewer.model, { clientX: x, clientY: y })", [x, y]
    )
    assert seen is None
    assert page.evaluate("viewer.measure(null, ['tube', 'block_a']).distance") > 0
    page.evaluate("viewer.measure(null)")


def test_it_casts_no_shadow(page: Page) -> None:
    page.evaluate("viewer.rider.show('seated')")
    layers = page.evaluate("viewer.rider.object.children.map((c) => c.layers.isEnabled(1))")
    assert layers
    assert not any(layers)


def test_its_key_goes_through_the_postures_and_hides_it(page: Page) -> None:
    page.evaluate("viewer.stage.canvas.focus()")
    names = page.evaluate("viewer.rider.postures.map(({ name }) => name)")
    shown = []
    for _ in range(len(names) + 1):
        page.keyboard.press("r")
        shown.append(page.evaluate("viewer.rider.shown"))
    assert shown == [*names, None]


def test_it_stays_with_another_model_and_goes_where_that_has_none(page: Page) -> None:
    page.evaluate("viewer.rider.show('seated')")
    page.evaluate(
        """async () => {
          const scene = structuredClone(data.scene);
          for (const ring of scene.rider.shapes.trunk.rings) ring[1] *= 2;
          await viewer.update({ glb: bytes(data.glb).buffer, scene });
        }"""
    )
    assert page.evaluate("viewer.rider.shown") == "seated"
    box = page.evaluate(
        "(viewer.rider.surfaces.get('trunk').computeBoundingBox(),"
        " viewer.rider.surfaces.get('trunk').boundingBox.max.y)"
    )
    assert box > 250
    said = page.evaluate(
        """async () => {
          const heard = [];
          viewer.on("rider", (news) => heard.push(news));
          await viewer.update({ glb: bytes(data.glb).buffer, scene: { ...data.scene, rider: null } });
          return heard;
        }"""
    )
    assert said == [{"shown": None, "postures": []}]
    assert page.evaluate("viewer.rider.object.visible") is False
    page.evaluate("viewer.update({ glb: bytes(data.glb).buffer, scene: data.scene })")


def test_it_makes_way_for_a_section_and_steps_back_for_a_check(page: Page) -> None:
    page.evaluate("viewer.rider.show('seated')")
    cover = "viewer.rider.materials[1].uniforms.cover.value"
    whole = page.evaluate(cover)
    page.evaluate("viewer.section({ axis: 'y', at: 0 })")
    assert page.evaluate("viewer.rider.object.visible") is False
    page.evaluate("viewer.section(null)")
    assert page.evaluate("viewer.rider.object.visible") is True
    check = page.evaluate("data.scene.checks.find(({ between }) => between !== null).id")
    page.evaluate(f"viewer.showCheck({check!r})")
    assert page.evaluate(cover) < 0.3 * whole
    page.evaluate("viewer.showCheck(null)")
    assert page.evaluate(cover) == whole


def test_both_themes_have_a_colour_for_it(page: Page) -> None:
    page.evaluate("viewer.rider.show('seated')")
    seen = []
    for theme in ("light", "dark"):
        page.evaluate(f"viewer.theme({theme!r})")
        seen.append(page.evaluate("viewer.rider.materials[1].uniforms.ball.value.id"))
    assert seen[0] != seen[1]
