"""The viewer in a browser: poses, parts, sections, measuring, checks, keys, themes."""

from __future__ import annotations

import base64
import math
import struct
from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from frame3d.bodies.motion.pose import Pose, matrix
from tests.report.browser import quiet_page
from tests.viewer.viewer_page import write_page
from tests.viewer.viewer_scene import INNER, OUTER, TRAVEL, arm, model, mounts, parts, scene

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

SIZE = (480, 360)

HELPERS = """
window.pixels = (test) => {
  viewer.stage.draw(performance.now());
  const gl = viewer.stage.renderer.getContext();
  const [width, height] = [gl.drawingBufferWidth, gl.drawingBufferHeight];
  const data = new Uint8Array(4 * width * height);
  gl.readPixels(0, 0, width, height, gl.RGBA, gl.UNSIGNED_BYTE, data);
  let count = 0;
  for (let i = 0; i < data.length; i += 4) {
    if (test(data[i], data[i + 1], data[i + 2], data[i + 3])) count += 1;
  }
  return count;
};
window.place = (x, y, z) => {
  viewer.eye.settle();
  const seen = new viewer.kit.THREE.Vector3(x, y, z).project(viewer.eye.camera);
  const box = viewer.stage.canvas.getBoundingClientRect();
  return [box.left + (seen.x + 1) / 2 * box.width, box.top + (1 - seen.y) / 2 * box.height];
};
window.fresh = async () => {
  window.seen = {};
  viewer.nothing();
  viewer.measure(null);
  viewer.showChecks(null);
  viewer.isolate(null);
  for (const part of viewer.model.all) viewer.show(part.name, true);
  viewer.section(null);
  viewer.level(false);
  viewer.theme("light");
  viewer.projection("perspective");
  viewer.setPose({ rear: 0, fork: 0, steer: 0, crank: 0, heel: 0 });
  viewer.view("iso", true);
  await viewer.drawn();
  window.seen = {};
};
"""


@pytest.fixture(scope="module")
def opened(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    """One page for all tests of this file."""
    file = write_page(tmp_path_factory.mktemp("viewer") / "page.html", model(), scene(), still=True)
    with quiet_page(browser, SIZE) as page:
        page.goto(file.as_uri())
        page.wait_for_selector("[data-ready]", timeout=60_000)
        page.evaluate(f"() => {{ {HELPERS} }}")
        yield page


@pytest.fixture
def page(opened: Page) -> Page:
    """The page, with the viewer as it started."""
    opened.evaluate("fresh()")
    return opened


def labels(page: Page) -> list[tuple[str, str]]:
    """Kind and text of every label that is seen."""
    found = page.evaluate(
        """async () => {
          await viewer.drawn();
          return [...document.querySelectorAll(".f3d-label")]
            .filter((e) => e.style.visibility === "visible")
            .map((e) => [e.dataset.kind, [...e.children].map((c) => c.textContent).join("|")]);
        }"""
    )
    return [(kind, text) for kind, text in found]


def world(page: Page, name: str) -> np.ndarray[Any, Any]:
    return np.array(page.evaluate(f"viewer.world({name!r})")).reshape(4, 4)


# Drawing


def test_the_canvas_shows_the_model(page: Page) -> None:
    covered = page.evaluate("pixels((r, g, b, a) => a > 250)")
    assert 0.02 < covered / (SIZE[0] * SIZE[1]) < 0.9
    # Shades of the orange block, which is the only red thing.
    assert page.evaluate("pixels((r, g, b, a) => a > 250 && r > 1.4 * g && r > 1.6 * b)") > 100


def test_nothing_is_drawn_while_nothing_changes(page: Page) -> None:
    drawn = page.evaluate(
        """async () => {
          await viewer.drawn();
          let count = 0;
          const stop = viewer.on("frame", () => { count += 1; });
          for (let i = 0; i < 10; i += 1) await new Promise(requestAnimationFrame);
          stop();
          return count;
        }"""
    )
    assert drawn <= 1


def test_the_picture_fits_in_every_view(page: Page) -> None:
    """Every corner of the model is in the picture, and it fills the picture in one direction."""
    for view in ("side", "left", "front", "rear", "top", "bottom", "iso"):
        for projection in ("perspective", "orthographic"):
            reach = page.evaluate(
                f"""async () => {{
                  viewer.projection("{projection}");
                  viewer.view("{view}", true);
                  await viewer.drawn();
                  return viewer.model.all.flatMap((part) => {{
                    const out = [];
                    for (let i = 0; i < part.positions.length; i += 3) {{
                      const v = new viewer.kit.THREE.Vector3().fromArray(part.positions, i);
                      v.applyMatrix4(part.object.matrixWorld).project(viewer.eye.camera);
                      out.push(Math.abs(v.x), Math.abs(v.y));
                    }}
                    return [out.filter((_, i) => i % 2 === 0), out.filter((_, i) => i % 2)]
                      .map((each) => Math.max(...each));
                  }});
                }}"""
            )
            assert 0.8 < max(reach) < 0.99, (view, projection)


def test_which_way_the_views_look(page: Page) -> None:
    """Forward is to the right from the drive side and from above; up is up."""
    right = {
        "side": (1, 0, 0),
        "left": (-1, 0, 0),
        "front": (0, 1, 0),
        "rear": (0, -1, 0),
        "top": (1, 0, 0),
    }
    for view, (x, y, z) in right.items():
        start, end, above = page.evaluate(
            f"""async () => {{
              viewer.view("{view}", true);
              await viewer.drawn();
              const up = "{view}" === "top" ? [0, 50, 0] : [0, 0, 50];
              return [place(0, 0, 0), place({50 * x}, {50 * y}, {50 * z}), place(...up)];
            }}"""
        )
        assert end[0] > start[0] + 5
        assert abs(end[1] - start[1]) < 5
        assert above[1] < start[1] - 5


def test_both_projections_show_the_same_at_the_target(page: Page) -> None:
    heights = page.evaluate(
        """() => ["orthographic", "perspective"].map((each) => {
          viewer.projection(each);
          return [viewer.eye.height, viewer.eye.camera.isOrthographicCamera === true];
        })"""
    )
    assert heights[0][0] == pytest.approx(heights[1][0], rel=1e-9)
    assert [orthographic for _, orthographic in heights] == [True, False]


# Poses

POSES = [
    Pose(),
    Pose(rear=TRAVEL, fork=130, steer=60, crank=123, heel=7),
    Pose(rear=17.3, fork=41.7, steer=-33.3, crank=271, heel=-4),
    Pose(rear=TRAVEL / 3, steer=0.01),
]


@pytest.mark.parametrize("pose", POSES, ids=range(len(POSES)))
def test_parts_stand_where_the_solver_puts_them(page: Page, pose: Pose) -> None:
    """Read back from the viewer's scene; the reference is `frame3d.bodies.motion.pose.matrix`."""
    moved = {m: getattr(pose, m) for m in ("rear", "fork", "steer", "crank", "heel")}
    page.evaluate("(pose) => viewer.setPose(pose)", moved)
    for name, (_, mount, _, mesh) in parts().items():
        expected = matrix(mounts()[mount], pose)
        found = world(page, name)
        assert found == pytest.approx(expected, abs=1e-9)
        points = np.column_stack([mesh.vertices, np.ones(len(mesh.vertices))])
        assert np.abs(points @ (found - expected).T).max() < 1e-3
    assert page.evaluate("viewer.pose()") == moved


def test_the_swing_follows_the_arm_it_was_made_of(page: Page) -> None:
    """Against the closed form of an arm about a fixed pivot: its end rises by the travel."""
    for travel in (1.0, 61.803, 119.0):
        page.evaluate(f"viewer.setPose({{ rear: {travel} }})")
        end = world(page, "carrier") @ (-470.0, 0.0, 30.0, 1.0)
        assert end[2] - 30.0 == pytest.approx(travel, abs=1e-3)
        assert math.hypot(end[0] + 40, end[2] - 30) == pytest.approx(430.0, abs=1e-3)
        x, z, turn = arm(np.array([travel]))[0, :3]
        assert world(page, "carrier")[:3, 3] == pytest.approx((x, 0, z), abs=1e-3)
        assert turn < 0


def test_poses_stay_within_the_motions(page: Page) -> None:
    page.evaluate("viewer.setPose({ rear: 1e6, fork: -5, steer: NaN, crank: 90 })")
    assert page.evaluate("viewer.pose()") == {
        "rear": 120,
        "fork": 0,
        "steer": 0,
        "crank": 90,
        "heel": 0,
    }
    assert page.evaluate("seen.pose.length") == 1


def test_level_puts_both_wheels_on_the_ground(page: Page) -> None:
    """Lowest points of both tyres are at the drawn ground; the frame's own axes see the same poses."""
    page.evaluate("viewer.setPose({ rear: 40, fork: 100 }); viewer.level(true)")
    lowest = page.evaluate(
        """() => ["rear_tyre", "front_tyre"].map((name) => {
          const part = viewer.model.parts.get(name);
          let low = Infinity;
          for (let i = 0; i < part.positions.length; i += 3) {
            const v = new viewer.kit.THREE.Vector3().fromArray(part.positions, i);
            low = Math.min(low, v.applyMatrix4(part.object.matrixWorld).z);
          }
          return low;
        })"""
    )
    # The made-up tyres are polygons of 96 sides: up to r (1 - cos(pi / 96)) = 0.2 mm off.
    assert lowest == pytest.approx([-300.0, -300.0], abs=0.25)
    expected = matrix(mounts()["arm"], Pose(rear=40))
    assert world(page, "rear_tyre") == pytest.approx(expected, abs=1e-9)
    assert world(page, "tube") == pytest.approx(np.eye(4), abs=1e-12)


# Parts


def test_isolate_hide_and_show(page: Page) -> None:
    everything = list(parts())
    assert page.evaluate("viewer.visible()") == everything
    before = page.evaluate("pixels((r, g, b, a) => a > 250)")
    page.evaluate("viewer.isolate(['block_a', 'tube'])")
    assert page.evaluate("viewer.visible()") == ["tube", "block_a"]
    assert 0 < page.evaluate("pixels((r, g, b, a) => a > 250)") < before / 4
    page.evaluate("viewer.isolate(null); viewer.show('crank', false); viewer.show('tube', false)")
    assert page.evaluate("viewer.visible()") == [
        name for name in everything if name not in ("pedal", "shoe", "tube")
    ]


def test_a_click_picks_the_part_in_front(page: Page) -> None:
    page.evaluate("viewer.isolate(['block_a', 'block_b', 'tube']); viewer.view('side', true)")
    page.evaluate("viewer.drawn()")
    page.mouse.click(*page.evaluate("place(200, -20, 300)"))
    assert page.evaluate("seen.pick.at(-1)")["name"] == "block_a"
    assert page.evaluate("seen.select") == ["block_a"]
    assert labels(page) == [("accent", "block a")]
    # It looks different: that is not said by its label alone.
    assert page.evaluate("viewer.model.parts.get('block_a').look") == "chosen"
    page.mouse.click(5, 5)
    assert page.evaluate("seen.pick.at(-1)") is None
    assert labels(page) == []


def test_a_drag_turns_and_picks_nothing(page: Page) -> None:
    before = page.evaluate("viewer.eye.camera.position.toArray()")
    x, y = page.evaluate("place(200, -20, 300)")
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 80, y + 10, steps=4)
    page.mouse.up()
    page.evaluate("viewer.drawn()")
    assert page.evaluate("viewer.eye.camera.position.toArray()") != pytest.approx(before, abs=10)
    assert page.evaluate("seen.pick") is None


def test_a_click_goes_through_what_is_hidden_or_cut_away(page: Page) -> None:
    """From above: the upper block hidden, the lower one is picked; cut above it, likewise."""
    page.evaluate("viewer.view('top', true); viewer.drawn()")
    at = page.evaluate("place(200, 0, 420)")
    page.mouse.click(*at)
    page.evaluate("viewer.show('block_b', false)")
    page.mouse.click(*at)
    page.evaluate("viewer.show('block_b', true); viewer.section({ axis: 'z', at: 350 })")
    page.mouse.click(*at)
    # Where the cut runs through a block, its cut face is hit.
    page.evaluate("viewer.section({ axis: 'z', at: 410 })")
    page.mouse.click(*at)
    picked = page.evaluate("seen.pick.map((part) => part?.name)")
    assert picked == ["block_b", "block_a", "block_a", "block_b"]


# Section


def test_the_cut_face_of_a_tube_has_the_area_of_its_section(page: Page) -> None:
    """From above, all that is seen of an upright tube is its cut face: a ring of known area."""
    count, pixel = page.evaluate(
        """async () => {
          viewer.isolate(["tube"]);
          viewer.projection("orthographic");
          viewer.section({ axis: "z", at: 12.5 });
          viewer.view("top", true);
          viewer.stage.ground.mesh.visible = false;
          await viewer.drawn();
          const count = pixels((r, g, b, a) => a > 128);
          viewer.stage.ground.mesh.visible = true;
          return [count, viewer.eye.height / viewer.stage.height];
        }"""
    )
    area = math.pi / 4 * (OUTER**2 - INNER**2)
    # Outlines are a pixel wide: half of it, on both edges, lies outside the face.
    outlines = math.pi * (OUTER + INNER) * pixel / 2
    assert count * pixel**2 == pytest.approx(area + outlines, rel=0.04)


def test_a_cut_closes_and_shows_its_hatching(page: Page) -> None:
    """Cap pixels, pale and hatched, appear where the plane runs through a block, and go again."""
    page.evaluate("viewer.isolate(['block_b']); viewer.view('front', true); viewer.drawn()")
    pale = "pixels((r, g, b, a) => a > 250 && r > 130 && r < 190 && b > 200)"
    assert page.evaluate(pale) == 0
    page.evaluate("viewer.section({ axis: 'x', at: 200 })")
    cut = page.evaluate(pale)
    assert cut > 500
    page.evaluate("viewer.section({ axis: 'x', at: 230 })")
    assert page.evaluate(pale) == 0
    page.evaluate("viewer.section({ axis: 'x', at: 200, flip: true }); viewer.view('rear', true)")
    assert page.evaluate(pale) > 0.5 * cut
    assert page.evaluate("seen.section.at(-1)") == {"axis": "x", "at": 200, "flip": True}


def test_a_section_ranges_over_the_model(page: Page) -> None:
    assert page.evaluate("viewer.model.range('y')") == pytest.approx([-30, 140], abs=0.01)


# Measuring


def test_measure_between_parts(page: Page) -> None:
    """Blocks of 40 mm with their centres 100 mm apart."""
    found = page.evaluate("viewer.measure('part', ['block_a', 'block_b'])")
    assert found["distance"] == pytest.approx(60.0, abs=1e-3)
    assert [found[d] for d in ("dx", "dy", "dz")] == pytest.approx([0, 0, 60], abs=1e-3)
    assert found["points"][0][2] == pytest.approx(320, abs=1e-3)
    assert ("accent", "60.0 mm|forward 0.0 · left 0.0 · up 60.0") in labels(page)


def test_measure_follows_the_pose(page: Page) -> None:
    """A cube below the steering axis, raised along it by the fork, against a cube that stands still."""
    page.evaluate("viewer.measure('part', ['crown', 'block_a'])")
    page.evaluate("viewer.setPose({ fork: 50 }); viewer.drawn()")
    found = page.evaluate("seen.measure.at(-1)")
    # The crown's near corner is at (590, 460) drawn and moves by 50 (-0.4, sqrt(0.84)).
    x, z = 590 - 50 * 0.4 - 220, 460 + 50 * math.sqrt(0.84) - 320
    assert found["distance"] == pytest.approx(math.hypot(x, z), abs=1e-3)
    assert found["dx"] == pytest.approx(-x, abs=1e-3)


def test_measure_corners_and_edges(page: Page) -> None:
    """Clicks near corners snap to them; edges are taken whole."""
    page.evaluate(
        "viewer.isolate(['block_a', 'block_b']); viewer.view('iso', true); viewer.drawn()"
    )
    near_a, near_b = page.evaluate("[place(218.5, -20, 318.5), place(218.5, -20, 418.5)]")
    page.evaluate("viewer.measure('point')")
    page.mouse.click(*near_a)
    assert page.evaluate("viewer.ruler.result") is None
    page.mouse.click(*near_b)
    found = page.evaluate("(viewer.freshen(), viewer.ruler.result)")
    assert found["points"] == [
        pytest.approx([220, -20, 320], abs=1e-3),
        pytest.approx([220, -20, 420], abs=1e-3),
    ]
    # An upright edge of one block, a level one of the other: 60 mm from end to line.
    page.evaluate("viewer.nothing(); viewer.measure('edge')")
    page.mouse.click(*page.evaluate("place(219.5, -20, 300)"))
    page.mouse.click(*page.evaluate("place(200, -20, 380.5)"))
    found = page.evaluate("(viewer.freshen(), viewer.ruler.result)")
    assert found["kinds"] == ["edge", "edge"]
    assert found["distance"] == pytest.approx(60, abs=1e-3)
    # Picks of a measurement choose no part.
    assert page.evaluate("seen.pick") is None


def test_parts_that_meet_are_zero_apart(page: Page) -> None:
    page.evaluate("viewer.setPose({ rear: 60 })")
    found = page.evaluate("viewer.measure('part', ['carrier', 'rear_tyre'])")
    x = [-320, -280]
    assert found["distance"] == pytest.approx(0 if x[0] < -430 + 300 < x[1] else found["distance"])


# Checks


def test_a_failing_check_says_so_without_colour(page: Page) -> None:
    page.evaluate("viewer.showCheck('short')")
    assert labels(page) == [("short", "▲ 160.0 mm|170 mm required")]
    assert page.evaluate("viewer.checks.dimensions[0].strokes.marks[0].shape") == "diamond"
    page.evaluate("viewer.showCheck('holds')")
    assert labels(page) == [("holds", "✓ 60.0 mm|6 mm required")]
    assert page.evaluate("viewer.checks.dimensions[0].strokes.marks[0].shape") == "dot"
    looks = page.evaluate("viewer.model.all.map((part) => [part.name, part.look])")
    assert {name for name, look in looks if look == "plain"} == {"block_a", "block_b"}
    assert {look for name, look in looks if name not in ("block_a", "block_b")} == {"faded"}


def test_a_check_is_shown_in_its_tightest_pose_and_followed_from_there(page: Page) -> None:
    page.evaluate("viewer.showCheck('steered', true)")
    assert page.evaluate("viewer.pose()") == {
        "rear": 0,
        "fork": 130,
        "steer": 30,
        "crank": 0,
        "heel": 0,
    }
    assert labels(page) == [("short", "▲ 1.0 mm|8 mm required")]
    # Both points are in the picture.
    for point in scene()["checks"][3]["points"]:
        x, y = page.evaluate(f"place({point[0]}, {point[1]}, {point[2]})")
        assert 0 < x < SIZE[0]
        assert 0 < y < SIZE[1]
    page.evaluate("viewer.setPose({ fork: 0, steer: 0 }); viewer.drawn()")
    shown = page.evaluate("seen.check.at(-1)")
    # From the nearest edges of two cubes as drawn.
    assert shown["from"] == "measured"
    assert shown["gap"] == pytest.approx(math.hypot(590 - 220, 460 - 320), abs=1e-3)
    assert labels(page) == [("holds", "✓ about 395.6 mm|8 mm required|tightest: 1.0 mm")]


def test_a_track_gives_the_gap_along_its_motion(page: Page) -> None:
    page.evaluate("viewer.showCheck('moving')")
    assert labels(page) == [("holds", "✓ 200.0 mm|5.5 mm required")]
    page.evaluate("viewer.setPose({ rear: 25 }); viewer.drawn()")
    shown = page.evaluate("seen.check.at(-1)")
    assert (shown["from"], shown["gap"]) == ("track", pytest.approx(245.0))


def test_what_only_a_check_moves_goes_back_after_it(page: Page) -> None:
    """No slider swings the shoes: another check, or none, has them as drawn."""
    page.evaluate("viewer.setPose({ heel: 4, crank: 90 }); viewer.showCheck('holds')")
    assert page.evaluate("viewer.pose().heel") == 0
    page.evaluate("viewer.setPose({ heel: 4 }); viewer.showCheck(null)")
    assert (page.evaluate("viewer.pose().heel"), page.evaluate("viewer.pose().crank")) == (0, 90)


def test_checks_can_be_seen_together(page: Page) -> None:
    page.evaluate("viewer.showChecks('short')")
    assert [text.split("|")[0] for _, text in labels(page)] == ["▲ 160.0 mm"]
    page.evaluate("viewer.showChecks('all')")
    assert [text.split("|")[0] for _, text in labels(page)] == ["✓ 60.0 mm", "▲ 160.0 mm"]
    # Only those that hold as the bike stands.
    page.evaluate("viewer.setPose({ fork: 130, steer: 30 })")
    assert [text.split("|")[0] for _, text in labels(page)] == [
        "✓ 60.0 mm", "▲ 160.0 mm", "▲ 1.0 mm",
    ]  # fmt: skip


def test_labels_do_not_cover_each_other(page: Page) -> None:
    boxes = page.evaluate(
        """async () => {
          viewer.showChecks("all");
          viewer.select("block_a");
          for (const view of ["top"]) viewer.view(view, true);
          await viewer.drawn();
          return [...document.querySelectorAll(".f3d-label")]
            .filter((e) => e.style.visibility === "visible")
            .map((e) => e.getBoundingClientRect().toJSON());
        }"""
    )
    assert len(boxes) == 3
    for i, a in enumerate(boxes):
        assert a["left"] >= 0
        assert a["right"] <= SIZE[0]
        for b in boxes[i + 1 :]:
            apart = (
                a["right"] <= b["left"]
                or b["right"] <= a["left"]
                or a["bottom"] <= b["top"]
                or b["bottom"] <= a["top"]
            )
            assert apart


# Keys, themes, size


def test_the_keyboard_reaches_everything(page: Page) -> None:
    page.evaluate("document.activeElement.blur()")
    reached = []
    for _ in range(3):
        page.keyboard.press("Tab")
        reached.append(page.evaluate("document.activeElement === viewer.stage.canvas"))
    assert any(reached)
    page.evaluate("viewer.stage.canvas.focus()")
    ways = {"1": (0, -1, 0), "2": (1, 0, 0), "3": (0, 0, 1), "4": (-1, 0, 0), "5": (0, 1, 0)}
    look = "viewer.eye.camera.position.clone().sub(viewer.eye.target).normalize().toArray()"
    for key, way in ways.items():
        page.keyboard.press(key)
        page.evaluate("viewer.drawn()")
        assert page.evaluate(look) == pytest.approx(way, abs=1e-3)
    page.keyboard.press("1")
    page.keyboard.press("ArrowRight")
    page.evaluate("viewer.drawn()")
    assert page.evaluate(look)[0] > 0.1
    height = page.evaluate("viewer.eye.height")
    page.keyboard.press("+")
    assert page.evaluate("viewer.eye.height") == pytest.approx(height / 1.2)
    page.keyboard.press("p")
    assert page.evaluate("viewer.eye.projection") == "orthographic"
    page.evaluate("viewer.select('tube')")
    page.keyboard.press("Escape")
    assert page.evaluate("viewer.chosen") is None


def test_the_help_names_every_key(page: Page) -> None:
    page.evaluate("viewer.stage.canvas.focus()")
    page.keyboard.press("h")
    box = page.locator(".f3d-help")
    assert box.is_visible()
    text = box.inner_text()
    commands = page.evaluate("document.querySelectorAll('.f3d-help dt').length")
    assert commands == 15
    assert "keys." not in text
    for words in ("Arrows", "from the drive side", "let go of everything"):
        assert words in text
    page.keyboard.press("h")
    assert not box.is_visible()


def test_the_wheel_is_the_pages_until_the_canvas_is_chosen(page: Page) -> None:
    page.evaluate("document.activeElement.blur()")
    page.mouse.move(300, 300)
    before = page.evaluate("viewer.eye.height")
    page.mouse.wheel(0, -200)
    page.evaluate("viewer.drawn()")
    assert page.evaluate("viewer.eye.height") == pytest.approx(before, rel=1e-9)
    page.evaluate("viewer.stage.canvas.focus()")
    page.mouse.wheel(0, -200)
    page.wait_for_timeout(50)
    page.evaluate("viewer.drawn()")
    assert page.evaluate("viewer.eye.height") < 0.99 * before


def luminance(colour: str) -> float:
    """Relative luminance (WCAG 2.2, definition of "relative luminance"; from memory)."""
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    r, g, b = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def contrast(a: str, b: str) -> float:
    """Contrast ratio (WCAG 2.2, definition of "contrast ratio"; from memory)."""
    high, low = sorted((luminance(a), luminance(b)), reverse=True)
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_labels_have_enough_contrast(page: Page, theme: str) -> None:
    """4.5:1 for text (WCAG 2.2, 1.4.3 AA), 3:1 for lines (1.4.11)."""
    page.evaluate(f"viewer.theme('{theme}')")
    colours = page.evaluate("viewer.colours")
    for ink in ("ink", "accent", "holds", "short"):
        assert contrast(colours[ink], colours["surface"]) >= 4.5, ink
    for line in ("accent", "holds", "short", "cut"):
        for ground in ("middle", "rim"):
            assert contrast(colours[line], colours[ground]) >= 3, line
    page.evaluate("viewer.select('tube')")
    assert labels(page) == [("accent", "tube")]
    drawn = page.evaluate("getComputedStyle(document.querySelector('.f3d-label')).backgroundColor")
    assert drawn == "rgb({}, {}, {})".format(
        *(int(colours["surface"][i : i + 2], 16) for i in (1, 3, 5))
    )


def test_the_picture_follows_the_window(page: Page) -> None:
    try:
        page.set_viewport_size({"width": 390, "height": 700})
        page.wait_for_function("() => viewer.stage.canvas.clientWidth === 390")
        page.evaluate("viewer.drawn()")
        assert page.evaluate("[viewer.stage.canvas.width, viewer.stage.canvas.height]") == [
            390,
            700,
        ]
        # What was in view still is, whole.
        for x in (-790, 1080):
            across, _ = page.evaluate(f"place({x}, 0, 60)")
            assert 0 < across < 390
    finally:
        page.set_viewport_size({"width": SIZE[0], "height": SIZE[1]})
        page.evaluate("viewer.drawn()")


# Other models


def test_another_model_takes_over_and_the_rest_stays(page: Page) -> None:
    page.evaluate(
        "viewer.select('block_a'); viewer.show('shoe', false); viewer.setPose({ rear: 33 })"
    )
    page.evaluate("viewer.measure('part', ['block_a', 'block_b'])")
    before = page.evaluate("viewer.eye.camera.position.toArray()")
    page.evaluate(
        """async () => {
          const scene = structuredClone(data.scene);
          scene.parts.find((part) => part.name === "block_a").title = "another block";
          scene.motions[0].high = 30;
          await viewer.update({ glb: bytes(data.glb).buffer, scene });
        }"""
    )
    assert page.evaluate("viewer.eye.camera.position.toArray()") == pytest.approx(before)
    assert page.evaluate("viewer.chosen.name") == "block_a"
    assert page.evaluate("viewer.ruler.result.distance") == pytest.approx(60, abs=1e-3)
    assert "shoe" not in page.evaluate("viewer.visible()")
    assert ("accent", "another block") in labels(page)
    # The pose stays as far as the new bike can take it.
    assert page.evaluate("viewer.pose().rear") == 30
    expected = matrix(mounts()["arm"], Pose(rear=30))
    assert world(page, "carrier") == pytest.approx(expected, abs=1e-9)
    page.evaluate("viewer.update({ glb: bytes(data.glb).buffer, scene: data.scene })")


def test_the_newest_of_two_models_wins(page: Page) -> None:
    titles = page.evaluate(
        """async () => {
          const scenes = ["first", "second"].map((title) => {
            const scene = structuredClone(data.scene);
            scene.parts[0].title = title;
            return scene;
          });
          await Promise.all(
            scenes.map((scene) => viewer.update({ glb: bytes(data.glb).buffer, scene })),
          );
          const out = [viewer.model.parts.get("tube").data.title, viewer.stage.bike.children
            .filter((child) => child.children.length > 5).length];
          await viewer.update({ glb: bytes(data.glb).buffer, scene: data.scene });
          return out;
        }"""
    )
    assert titles == ["second", 1]


def test_a_ghost_lies_over_the_model_and_moves_with_it(page: Page) -> None:
    found = page.evaluate(
        """async () => {
          viewer.isolate(["block_a"]);
          viewer.view("side", true);
          viewer.stage.ground.mesh.visible = false;
          await viewer.drawn();
          const alone = pixels((r, g, b, a) => a > 20);
          let blue = 0;
          const tint = (r, g, b, a) => { blue += a > 20 ? b - r : 0; };
          pixels(tint);
          const before = blue;
          const scene = structuredClone(data.scene);
          scene.mounts.frame = [{ kind: "shift", motion: "rear", axis: [0, 0, 1] }];
          await viewer.update({ ghost: { glb: bytes(data.glb).buffer, scene } });
          const same = pixels((r, g, b, a) => a > 20);
          blue = 0;
          pixels(tint);
          const tinted = (blue - before) / same;
          viewer.setPose({ rear: 60 });
          viewer.eye.zoom(0.25);
          const apart = pixels((r, g, b, a) => a > 20);
          await viewer.update({ ghost: null });
          viewer.setPose({ rear: 0 });
          const gone = pixels((r, g, b, a) => a > 20);
          viewer.stage.ground.mesh.visible = true;
          return [alone, same, apart, gone, viewer.ghost, tinted];
        }"""
    )
    alone, same, apart, gone, ghost, tinted = found
    assert same == pytest.approx(alone, rel=0.02)
    assert abs(tinted) < 2  # of 255: where both are the same, the model keeps its colours
    assert apart == pytest.approx(2 * gone, rel=0.1)
    assert ghost is None


# Names

HOSTILE = (
    "<script>window.hacked = 1</script><img src=x onerror='window.hacked = 1'>",
    "\"' onmouseover=window.hacked=1 x='",
    "Ünïcode 🚲 \u202e backwards {gap} __proto__",
    "x" * 5000,
)


def test_hostile_names_are_only_text(browser: Browser, tmp_path: Any) -> None:
    hostile = scene()
    for i, name in enumerate(HOSTILE):
        hostile["parts"][i] |= {"title": name, "group": name, "facts": [[name, name]]}
    hostile["checks"] = [hostile["checks"][0] | {"id": name, "title": name} for name in HOSTILE]
    file = write_page(tmp_path / "page.html", model(), hostile, still=True)
    with quiet_page(browser, (390, 150)) as page:
        page.goto(file.as_uri())
        page.wait_for_selector("[data-ready]", timeout=60_000)
        for i, name in enumerate(HOSTILE):
            page.evaluate("(name) => viewer.select(name)", hostile["parts"][i]["name"])
            assert labels(page) == [("accent", name)]
            width = "document.querySelector('.f3d-label').getBoundingClientRect().width"
            assert page.evaluate(width) <= 390
        page.evaluate("(id) => viewer.showCheck(id)", HOSTILE[0])
        assert labels(page) == [("holds", "✓ 60.0 mm|6 mm required")]
        assert page.evaluate("document.querySelectorAll('.f3d img, .f3d script').length") == 0
        assert page.evaluate("window.hacked") is None


# Life


def test_moves_take_a_moment_unless_the_device_asks_for_none(
    browser: Browser, tmp_path: Any
) -> None:
    """Right after asking for another view: not there yet, or there where motion is to be reduced."""
    file = write_page(tmp_path / "page.html", model(), scene())
    aside = """async () => {
      const aside = () => viewer.eye.camera.position.clone().sub(viewer.eye.target).normalize().x;
      viewer.view("side");
      const soon = aside();
      while (viewer.stage.moves.length > 0) await new Promise(requestAnimationFrame);
      return [soon, aside()];
    }"""
    for motion in ("reduce", "no-preference"):
        with quiet_page(browser, (300, 200), reduced_motion=motion) as page:
            page.goto(file.as_uri())
            page.wait_for_selector("[data-ready]", timeout=60_000)
            soon, end = page.evaluate(aside)
            assert end == pytest.approx(0, abs=1e-6)
            assert (abs(soon) < 1e-6) == (motion == "reduce")


def test_the_picture_can_be_kept(page: Page) -> None:
    """A PNG (ISO/IEC 15948: its signature) of the canvas's size, for print."""
    data = page.evaluate("viewer.picture()")
    head, _, body = data.partition(",")
    assert head == "data:image/png;base64"
    image = base64.b64decode(body)
    assert image[:8] == b"\x89PNG\r\n\x1a\n"
    assert struct.unpack(">II", image[16:24]) == SIZE


def test_a_viewer_leaves_nothing_behind(browser: Browser, tmp_path: Any) -> None:
    file = write_page(tmp_path / "page.html", model(), scene(), still=True)
    with quiet_page(browser, (300, 200)) as page:
        page.goto(file.as_uri())
        page.wait_for_selector("[data-ready]", timeout=60_000)
        left = page.evaluate(
            """async () => {
              viewer.showCheck("short");
              viewer.section({ axis: "y", at: 0 });
              viewer.dispose();
              await new Promise(requestAnimationFrame);
              const stage = document.getElementById("stage");
              return [stage.childElementCount, stage.className, document.adoptedStyleSheets.length];
            }"""
        )
        assert left == [0, "", 0]


def test_a_hidden_viewer_starts_and_fills_its_place_once_shown(
    browser: Browser, tmp_path: Any
) -> None:
    file = write_page(tmp_path / "page.html", model(), scene(), still=True)
    text = file.read_text(encoding="utf-8").replace(
        "#stage { height", "#stage { display: none; height"
    )
    file.write_text(text, encoding="utf-8")
    with quiet_page(browser, (400, 300)) as page:
        page.goto(file.as_uri())
        page.wait_for_selector("[data-ready]", state="attached", timeout=60_000)
        page.evaluate(
            f"() => {{ {HELPERS} document.getElementById('stage').style.display = 'block'; }}"
        )
        page.wait_for_selector(".f3d canvas", state="visible")
        page.evaluate("viewer.drawn()")
        page.evaluate("viewer.drawn()")
        across = [page.evaluate(f"place({x}, 0, 60)[0]") for x in (-790, 0, 1080)]
        assert all(0 < x < 400 for x in across)
        assert all(a < b for a, b in pairwise(across))
        assert across[2] - across[0] > 250


def test_what_is_no_three_bundle_is_refused_with_a_clear_message(page: Page) -> None:
    messages = page.evaluate(
        """async () => {
          const { adapt } = await import(URL.createObjectURL(
            new Blob([bytes(data.viewer)], { type: "text/javascript" })));
          const said = (bundle) => { try { adapt(bundle); return ""; } catch (e) { return e.message; } };
          const good = { THREE: viewer.kit.THREE, GLTFLoader: class {}, OrbitControls: class {} };
          return [said(good), said({ default: good }), said({}), said({ ...good, GLTFLoader: undefined })];
        }"""
    )
    assert messages == [
        "", "", "the three.js bundle exports no THREE, by name or by default",
        "the three.js bundle lacks GLTFLoader",
    ]  # fmt: skip
