"""Looks in the viewer: drawn in place of outlines, which measure, and show themselves when asked to."""

from __future__ import annotations

import base64
from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from frame3d.clearance.result import Report
from frame3d.clearance.scene import scene_of
from frame3d.live.preview import light_glb
from frame3d.report.meshes import meshes_of
from frame3d.report.scene import scene_document
from frame3d.report.texts import texts
from frame3d.solids.bodies import outsides
from tests.looks.demos import DROPS, bike
from tests.report.browser import quiet_page
from tests.viewer.viewer_page import write_page


@pytest.fixture(scope="module")
def opened(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    """The rigid demo, and a way to look at its parts; `light` is its quick model without looks."""
    solved, _ = bike(DROPS)
    scene = scene_of(solved)
    meshes = meshes_of(solved, scene.parts)
    document: dict[str, Any] = scene_document(scene, Report((), ()), meshes, {}, texts("en"))
    file = write_page(tmp_path_factory.mktemp("pieces") / "page.html", meshes.glb, document)
    with quiet_page(browser, (700, 450)) as page:
        page.goto(f"file://{file}")
        page.wait_for_selector("[data-ready]")
        light = base64.b64encode(light_glb(scene, outsides(solved), {})).decode()
        page.evaluate("(text) => { window.light = text; }", light)
        yield page


@pytest.fixture
def page(opened: Page) -> Page:
    opened.evaluate(
        "viewer.nothing(); viewer.measure(null); viewer.outlines(false); viewer.section(null)"
    )
    return opened


PART = """(name) => { const part = viewer.model.parts.get(name); return {
  outline: part.mesh.visible, glass: part.material.transparent,
  pieces: part.pieces?.meshes.length ?? 0, look: part.look }; }"""


def test_parts_are_drawn_as_what_they_are(page: Page) -> None:
    rim = page.evaluate(PART, "front_rim")
    assert (rim["outline"], rim["pieces"]) == (False, 2), "its section and the spokes"
    assert page.evaluate(PART, "down_tube") == {
        "outline": True, "glass": False, "pieces": 0, "look": "plain",
    }  # fmt: skip


def test_outlines_are_shown_when_asked_for_and_where_something_is_measured(page: Page) -> None:
    page.evaluate("viewer.outlines()")
    shown = page.evaluate(PART, "front_tyre")
    assert (shown["outline"], shown["glass"]) == (True, True)
    page.evaluate("viewer.stage.canvas.focus()")
    page.keyboard.press("o")
    assert not page.evaluate(PART, "front_tyre")["outline"]
    measured = page.evaluate("viewer.measure('part', ['front_tyre', 'rear_tyre'])")
    assert page.evaluate(PART, "front_tyre")["outline"]
    solved, carried = bike(DROPS)
    # Two round sections in one plane: the axles' distance less both outside radii.
    (front, rear) = (carried.body(f"{end}_tyre").shapes[0] for end in ("front", "rear"))
    radii = sum(s.shape.centre_radius + s.shape.tube_radius for s in (front, rear))  # type: ignore[union-attr]
    nodes = solved.nodes
    between = sum(
        (a - b) ** 2 for a, b in zip(nodes["front_axle"], nodes["rear_axle"], strict=True)
    )
    assert measured["distance"] == pytest.approx(between**0.5 - radii, abs=1.0)


def test_looks_stand_and_move_with_their_parts(page: Page) -> None:
    """The pedal's middle, cranks level and turned: at the end of its arm, 172.5 mm from the axle."""
    at = """(crank) => { viewer.setPose({ crank });
      const box = new viewer.kit.THREE.Box3();
      viewer.stage.scene.updateMatrixWorld();
      for (const mesh of viewer.model.parts.get("pedal_left").pieces.meshes) box.expandByObject(mesh);
      const middle = box.getCenter(box.min.clone()); return [middle.x, middle.z]; }"""
    assert page.evaluate(at, 0) == pytest.approx([172.5, 0.0], abs=0.6)
    assert page.evaluate(at, 90) == pytest.approx([0.0, -172.5], abs=0.6)
    page.evaluate("viewer.setPose({ crank: 0 })")


def test_a_click_hits_what_is_seen(page: Page) -> None:
    """Between rim and hub the outlines have nothing; a spoke can be picked all the same."""
    hit = page.evaluate(
        """() => { const { THREE } = viewer.kit;
        const mesh = viewer.model.parts.get("front_rim").pieces.meshes[1];
        const index = mesh.geometry.index.array, { array } = mesh.geometry.attributes.position;
        const corner = (k) => new THREE.Vector3().fromArray(array, 3 * index[k]).applyMatrix4(mesh.matrixWorld);
        const middle = corner(0).add(corner(1)).add(corner(2)).divideScalar(3);
        const seen = middle.clone().project(viewer.eye.camera);
        const frame = viewer.stage.canvas.getBoundingClientRect();
        const hit = viewer.picker.at(viewer.model, {
          clientX: frame.left + (seen.x + 1) / 2 * frame.width,
          clientY: frame.top + (1 - seen.y) / 2 * frame.height });
        return hit === null ? null : hit.point.distanceTo(middle); }"""
    )
    assert hit is not None


def test_a_section_goes_through_the_hollow_tyre(page: Page) -> None:
    """At the axle's height, level: two walls of the tyre ahead, not one disc of rubber."""
    cut = page.evaluate(
        """() => { const tyre = viewer.model.parts.get("front_tyre");
        const at = tyre.box().getCenter(tyre.box().min).z;
        viewer.section({ axis: "z", at });
        const lines = viewer.cutter.linesOf(tyre); let length = 0;
        for (let i = 0; i < lines.length; i += 6) length += Math.hypot(
          lines[i] - lines[i + 3], lines[i + 1] - lines[i + 4], lines[i + 2] - lines[i + 5]);
        return length; }"""
    )
    _, carried = bike(DROPS)
    radius = carried.body("front_tyre").shapes[0].shape.tube_radius  # type: ignore[union-attr]
    assert cut > 1.5 * 2 * 2 * 3.14159 * radius, "outside and inside, front and rear"


def test_a_model_without_looks_keeps_those_that_are_known(page: Page) -> None:
    """The quick model while typing: what has not changed stays as it is, the rest shows its outline."""
    update = """async (rename) => {
      const scene = JSON.parse(JSON.stringify(data.scene));
      for (const part of scene.parts) {
        if (part.name === rename) part.looks[0].node += " of other sizes";
        // Quick pictures do without knobs.
        if (part.name === "front_tyre") part.looks.length = 1;
      }
      await viewer.update({ glb: bytes(window.light).buffer, scene }); }"""
    page.evaluate(update, "stem")
    assert page.evaluate(PART, "front_rim")["pieces"] == 2
    tyre = "viewer.model.parts.get('front_tyre').pieces"
    assert page.evaluate(f"{tyre}.materials.length") == 1
    for model in ("front_tyre", "stem", "handlebar"):
        piece = f"viewer.model.parts.get('{model}')?.pieces"
        bare = page.evaluate(
            f"({piece}?.materials ?? []).filter((m) => m.uniforms.ball.value === null).length"
        )
        assert bare == 0, f"{model} has its colour"
    stem = page.evaluate(PART, "stem")
    assert (stem["outline"], stem["glass"], stem["pieces"]) == (True, False, 0)
    page.evaluate(update, "")
    assert page.evaluate(PART, "stem")["pieces"] == 3


VIEW = """() => { const { camera, target } = viewer.eye;
  return [...camera.position.toArray(), ...camera.quaternion.toArray(), ...target.toArray(), camera.zoom]; }"""


def test_nothing_that_is_chosen_moves_the_picture(page: Page) -> None:
    """Camera and target to 1e-9 mm, frames later: a section, a part, a gap, measuring; until asked."""
    page.evaluate(
        """() => { viewer.model.data.checks = [{ id: "gap", title: "Gap", gap: 10, least: 10, error: 0,
        decimals: 1, required: 6, ok: true, unit: "mm", between: ["front_tyre", "down_tube"], note: "",
        at: { steer: 20 }, points: [[400, 0, 200], [380, 0, 190]], mend: [], track: null }]; }"""
    )
    page.evaluate("viewer.view('iso', true)")
    before = page.evaluate(VIEW)
    for step in (
        "viewer.section({ axis: 'y', at: 0 })",
        "viewer.section({ axis: 'x', at: 100, flip: true })",
        "viewer.section(null)",
        "viewer.select('saddle')",
        "viewer.select('front_tyre')",
        "viewer.select(null)",
        "viewer.measure('point')",
        "viewer.measure('part', ['front_hub', 'rear_hub'])",
        "viewer.measure(null)",
        "viewer.showCheck('gap')",
        "viewer.showCheck(null)",
        "viewer.outlines()",
    ):
        page.evaluate(step)
        page.evaluate("viewer.drawn().then(() => viewer.drawn())")
        assert page.evaluate(VIEW) == pytest.approx(before, abs=1e-9, rel=0), step
    page.evaluate("viewer.eye.still = true; viewer.showCheck('gap', true)")
    page.evaluate("viewer.drawn()")
    assert page.evaluate(VIEW) != pytest.approx(before, abs=1.0, rel=0), "asked to go near"
    page.evaluate("viewer.showCheck(null)")
