"""The frame under its loads in the 3D view: what is sent, and what the browser makes of it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from frame3d.bike.solve import solve
from frame3d.geometry.arrays import Array
from frame3d.parameters.reading.reader import load, loads
from frame3d.report.data import page_document
from frame3d.report.stiffness_sections.bending import APART, bending_document
from frame3d.report.stiffness_sections.case_picture import DRAWN
from frame3d.report.texts import texts
from frame3d.stiffness.load_cases import CASES
from frame3d.stiffness.of_bike import Stiffness, stiffness_of
from tests.report.browser import WIDE, quiet_page
from tests.report.samples import HARDTAIL, bare, hardtail_bike, hardtail_page, minimal_bike
from tests.stiffness.test_of_bike import result

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Browser, Page

VIEWER = "document.querySelector('#view').viewer"


@cache
def hardtail_stiffness() -> Stiffness:
    return stiffness_of(hardtail_bike())


@cache
def document() -> dict[str, Any]:
    return bending_document(hardtail_stiffness(), texts())


def drawn(case: str, name: str) -> tuple[Array, Array]:
    """Points of a part's axis, and where they are drawn under a load: (n, 3) each [mm]."""
    shapes = hardtail_stiffness().shape(case)
    most = max(float(np.linalg.norm(moved, axis=1).max()) for _, moved in shapes.values())
    at, moved = shapes[name]
    return at, at + DRAWN / most * moved


# What is sent


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.key)
def test_a_motion_for_each_place_of_each_strand(case: Any) -> None:
    sent = document()
    one = next(each for each in sent["cases"] if each["key"] == case.key)
    assert set(one["moved"]) == set(sent["strands"])
    for name, strands in sent["strands"].items():
        for at, moved in zip(strands, one["moved"][name], strict=True):
            assert 2 * len(at) == len(moved)
    assert set(one["steps"]) < set(sent["strands"])
    assert one["steps"].keys() & {"bottom_bracket"} == set()
    assert case.title in one["said"][0]
    assert "Drawn" in one["said"][2]
    assert "stress" not in json.dumps(one)
    assert one["held"]
    assert one["loads"]


def test_places_are_near_enough_and_end_where_tubes_do() -> None:
    at, _ = hardtail_stiffness().shape("head_sideways")["down_tube"]
    (sent,) = document()["strands"]["down_tube"]
    places = np.array(sent).reshape(-1, 3)
    assert places[0] == pytest.approx(at[0], abs=0.01)
    assert places[-1] == pytest.approx(at[-1], abs=0.01)
    assert np.linalg.norm(np.diff(places, axis=0), axis=1).max() < 1.3 * APART


def test_links_plates_and_lugs_are_carried_as_rigid_parts() -> None:
    sent = bending_document(
        stiffness_of(solve(load(HARDTAIL.parent / "trail_full_140.yaml"))), texts()
    )
    for name in ("plate_rocker_left", "housing_main_pivot", "bottom_bracket"):
        assert [len(at) for at in sent["strands"][name]] == [3]
    plates = [
        {name: one["moved"][name] for name in ("plate_rocker_left", "plate_rocker_right")}
        for one in sent["cases"]
    ]
    assert all(each["plate_rocker_left"] == each["plate_rocker_right"] for each in plates)


def test_rigid_fork_and_post_reach_to_where_the_load_case_holds_them() -> None:
    sent = {one["key"]: one for one in document()["cases"]}
    assert [len(sent[key]["struts"]) for key in ("head_twist", "front_fore_aft")] == [0, 1]
    fork, post = sent["saddle_down"]["struts"]
    nodes = hardtail_bike().nodes
    long = np.linalg.norm(np.subtract(nodes["front_axle"], nodes["head_tube_bottom"]))
    assert np.linalg.norm(np.subtract(fork[3:], fork[:3])) == pytest.approx(long, rel=0.05)
    assert post[3:] == pytest.approx(sent["saddle_down"]["loads"][0][:3], abs=0.2)
    assert sent["saddle_down"]["held"][1] == pytest.approx(fork[3:], abs=0.2)


def test_the_rider_s_page_and_a_frame_without_stiffness_have_none() -> None:
    data = bare(hardtail_bike())
    assert "bending" in page_document(data, texts())["scene"]
    assert "bending" not in page_document(data, texts(), "rider")["scene"]
    text = HARDTAIL.read_text("utf-8")
    own = text.replace("material: 4130", "material: {name: Own, density_g_cm3: 2.7}", 1)
    unknown = bare(solve(loads(own, "own.yaml")))
    assert "bending" not in page_document(unknown, texts())["scene"]


def test_a_frame_without_tubes_has_none() -> None:
    assert bare(minimal_bike()).stiffness is None


# What the browser makes of it


@pytest.fixture(scope="module")
def opened(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    file: Path = tmp_path_factory.mktemp("bending") / "report.html"
    file.write_bytes(hardtail_page())
    with quiet_page(browser, WIDE, reduced_motion="reduce") as page:
        page.goto(file.as_uri())
        page.wait_for_selector("[data-ready]", timeout=60_000)
        yield page


@pytest.fixture
def page(opened: Page) -> Page:
    opened.evaluate(f"{VIEWER}.bending.show(null)")
    return opened


def seen(page: Page) -> set[str]:
    return set(page.evaluate(f"{VIEWER}.visible()"))


@pytest.mark.parametrize("case", ["saddle_down", "front_twist", "rear_sideways"])
def test_points_go_where_the_model_puts_them(page: Page, case: str) -> None:
    """All of the model's points along the tubes, most of which were never sent; of 70 mm."""
    page.evaluate(f"(key) => {VIEWER}.bending.show(key)", case)
    for name in hardtail_stiffness().shape(case):
        at, expected = drawn(case, name)
        found = page.evaluate(
            f"([name, points]) => points.map((p) => {VIEWER}.bending.carried(name, p))",
            [name, at.tolist()],
        )
        assert np.abs(np.array(found) - expected).max() < 0.4, name


def test_tubes_stay_round_about_their_bent_axes(page: Page) -> None:
    """Each corner of the drawn mesh lies within the tube's radius of the model's axis."""
    page.evaluate(f"{VIEWER}.bending.show('saddle_down')")
    _, axis = drawn("saddle_down", "top_tube")
    flat, corners = page.evaluate(
        f"""() => {{
          const {{ geometry }} = {VIEWER}.bending.bent.get("top_tube").children[0];
          return [[...geometry.attributes.position.array], [...geometry.index.array]];
        }}"""
    )
    points = np.array(flat).reshape(-1, 3)
    a, way = axis[:-1], np.diff(axis, axis=0)
    long = np.maximum((way**2).sum(axis=1), 1e-12)
    share = np.clip(((points[:, None] - a) * way).sum(axis=2) / long, 0, 1)
    off = np.linalg.norm(points[:, None] - a - share[..., None] * way, axis=2).min(axis=1)
    tube = next(tube for tube in hardtail_bike().tubes if tube.name == "top_tube")
    radius = max(tube.section.height) / 2
    assert radius - 0.6 < off.max() < radius + 0.6
    # Fine enough to bend: the tube's own mesh has corners at its ends only.
    edges = points[np.array(corners).reshape(-1, 3)]
    assert np.linalg.norm(edges - np.roll(edges, 1, axis=1), axis=2).max() < 100


def test_the_reader_chooses_a_load_and_goes_back(page: Page) -> None:
    before = seen(page)
    assert "front_tyre" in before
    choice = page.get_by_label("Load", exact=True)
    choice.select_option("head_sideways")
    assert {"down_tube", "rear_dropout_left"} < seen(page)
    assert "front_tyre" not in seen(page)
    told = page.locator(".bending")
    said = told.inner_text()
    one = hardtail_stiffness().of("head_sideways")
    assert f"{one.stiffness:.1f}" in said
    assert "Drawn 22 times as large" in said
    assert "no claim about strength" in said
    assert "50 % and more" in said
    page.evaluate(f"{VIEWER}.drawn()")
    labels = page.locator(".f3d-label[data-kind=name]:visible").all_inner_texts()
    assert any(label.startswith("Down tube") for label in labels)
    told.get_by_role("button").click()
    assert not told.is_visible()
    assert choice.input_value() == ""
    assert seen(page) == before


def test_colours_are_those_of_the_shares_and_of_the_drawings(page: Page) -> None:
    page.evaluate(f"{VIEWER}.bending.show('head_sideways')")
    found = page.evaluate(
        f"""() => {{
          const {{ bending, shades, colours }} = {VIEWER};
          const shown = (name) => bending.bent.get(name).children[0].material.uniforms.ball.value;
          return ["share0", "share1", "share2", "share3", "share4", "rigid"].map((step) =>
            [...bending.bent.keys()].filter((name) => shown(name) === shades.of("soft", colours[step])));
        }}"""
    )
    one = hardtail_stiffness().of("head_sideways").energy
    assert one["down_tube"] > 0.5
    assert found[4] == ["down_tube"]
    assert "bottom_bracket" in found[5]
    palette = json.loads(
        (files("frame3d.report") / "page_files" / "palette.json").read_text("utf-8")
    )
    for theme in ("light", "dark"):
        page.evaluate(f"{VIEWER}.theme('{theme}')")
        colours = page.evaluate(f"{VIEWER}.colours")
        own = palette[theme]
        mixed = [mix(own["accent"], own["surface"], share) for share in (0.25, 0.45, 0.65, 0.85)]
        mixed.append(mix(own["accent"], own["ink"], 0.75))
        for step, expected in enumerate(mixed):
            assert rgb(colours[f"share{step}"]) == pytest.approx(expected, abs=1)
    page.evaluate(f"{VIEWER}.theme('light')")


def rgb(colour: str) -> list[int]:
    return [int(colour[i : i + 2], 16) for i in (1, 3, 5)]


def mix(a: str, b: str, share: float) -> list[float]:
    return [share * x + (1 - share) * y for x, y in zip(rgb(a), rgb(b), strict=True)]


@pytest.mark.parametrize(
    "act",
    [
        "setPose({ steer: 20 })",
        "section({ axis: 'y', at: 0, flip: false })",
        "measure('part')",
        "nothing()",
        "showCheck('check-0')",
    ],
)
def test_what_moves_cuts_or_measures_the_bike_shows_it_plain(page: Page, act: str) -> None:
    page.evaluate(f"{VIEWER}.bending.show('rear_twist')")
    assert page.evaluate(f"{VIEWER}.bending.news.shown") == "rear_twist"
    page.evaluate(f"{VIEWER}.{act}")
    assert page.evaluate(f"{VIEWER}.bending.news.shown") is None
    assert not page.locator(".bending").is_visible()
    assert "front_tyre" in seen(page)
    page.evaluate(f"{VIEWER}.setPose({{ steer: 0 }})")
    page.evaluate(f"{VIEWER}.nothing()")
    page.evaluate(f"{VIEWER}.measure(null)")
    page.evaluate(f"{VIEWER}.section(null)")


def test_a_hidden_tube_is_hidden_under_a_load_too(page: Page) -> None:
    page.evaluate(f"{VIEWER}.bending.show('rear_twist')")
    page.evaluate(f"{VIEWER}.show('down_tube', false)")
    shown = page.evaluate(f"{VIEWER}.bending.bent.get('down_tube').visible")
    page.evaluate(f"{VIEWER}.show('down_tube', true)")
    assert shown is False
    assert page.evaluate(f"{VIEWER}.bending.bent.get('down_tube').visible") is True


def test_parts_without_an_axis_of_their_own_go_with_the_nearest_tube(page: Page) -> None:
    """A boss on the down tube, as it were: carried with the tubes of its mount."""
    page.evaluate(f"{VIEWER}.bending.show('head_sideways')")
    at, expected = drawn("head_sideways", "down_tube")
    middle = len(at) // 2
    found = page.evaluate(
        f"(p) => {VIEWER}.bending.carried('seat_tube', p) && {VIEWER}.bending.carried('unknown', p)",
        at[middle].tolist(),
    )
    assert found is None
    page.evaluate(f"{VIEWER}.model.parts.set('boss', {VIEWER}.model.parts.get('down_tube'))")
    found = page.evaluate(f"(p) => {VIEWER}.bending.carried('boss', p)", at[middle].tolist())
    page.evaluate(f"{VIEWER}.model.parts.delete('boss')")
    assert found == pytest.approx(expected[middle], abs=0.3)


def test_the_adventure_frame_sends_no_more_than_it_needs() -> None:
    sent = bending_document(result("adventure"), texts())
    assert len(json.dumps(sent, separators=(",", ":"))) < 60_000
