"""One bike with a D down tube and rectangular chainstays that bend and taper, asked by every verb."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest
import shapely
import trimesh

from frame3d import check, exchange, solve
from frame3d.bike.bike import Bike
from frame3d.clearance.result import Report
from frame3d.clearance.scene import scene_of
from frame3d.fabrication.bends import bends_of
from frame3d.fabrication.cut_list import cut_list_csv
from frame3d.fabrication.tube_facts import facts_of, section_text
from frame3d.formats.geometry_json import geometry_document
from frame3d.live.preview import surfaces_of
from frame3d.parameters.reading.reader import loads
from frame3d.report.outline import outlines
from frame3d.solids import FrameModel, make, occ
from frame3d.solids.bodies import bodies
from frame3d.solids.body_meshes import frame_mesh
from frame3d.solids.mating import solids_of
from frame3d.stiffness.of_bike import stiffness_of
from frame3d.tubes.cuts.edge import Cutting, bodies_of
from tests.reference import occt

CONFIGS = Path(__file__).parents[1] / "configs"
CHANGES = {
    "    od: {start: {height: 26, width: 11.5}, end: 16}\n": "    od: {start: {height: 26, "
    "width: 11.5, corner: 3}, end: {height: 16, width: 16, corner: 6}}\n",
    "    od: 38.1\n": "    od: {start: {height: 40, width: 44, corner: 6, flat: below}, "
    "end: {height: 42, width: 38, corner: 6, flat: below}}\n",
}
"""Of the hardtail demo: what its file says, and what it says here."""


def text() -> str:
    said = (CONFIGS / "trail_hardtail_29.yaml").read_text(encoding="utf-8")
    for old, new in CHANGES.items():
        assert said.count(old) == 1
        said = said.replace(old, new)
    return said


@cache
def bike() -> Bike:
    return solve(loads(text(), "rounded.yaml"))


@cache
def checked() -> Report:
    return check(bike())


@cache
def model() -> FrameModel:
    return make(bike())


@pytest.mark.parametrize("part", ["rear_caliper", "rear_rotor", "chainring"])
def test_gaps_are_those_of_the_solids(part: str) -> None:
    """What stands beside the stays at rest, within 0.01 mm of OCCT."""
    stay = "chainstay_right" if part == "chainring" else "chainstay_left"
    result = next(r for r in checked().results if r.between == (part, stay))
    assert not result.at
    shape = next(p.shape for p in model().parts if p.name == stay)
    body = scene_of(bike()).body(part)
    assert body is not None
    theirs = occt.distance([shape], occ.compound(solids_of(body)))
    assert theirs - 0.01 <= result.gap - result.error <= theirs + 0.01


def test_another_fork_moves_no_stay() -> None:
    """An exchange turns the frame; what the stay's gap to the tyre is stays, and what it weighs."""
    other = exchange(bike(), {"build.fork.offset": 51})
    assert other.frame.masses.parts == pytest.approx(bike().frame.masses.parts, rel=1e-4)
    gaps = [
        next(r.gap for r in found.results if r.between == ("rear_tyre", "chainstay_left"))
        for found in (checked(), check(other))
    ]
    assert gaps[0] == pytest.approx(gaps[1], abs=0.01)
    assert all(result.ok for result in checked().results)


def test_what_the_workshop_reads() -> None:
    """Cut list, bends and geometry.json say the sizes at both ends; masses are those of solids."""
    known = bodies_of(bike().frame)
    cuttings = {tube.name: Cutting(tube, known) for tube in bike().tubes}
    facts = [facts_of(tube, known, cuttings[tube.name]) for tube in bike().tubes]
    grams = {part.name: part.mass for part in model().parts}
    rows = cut_list_csv(facts, cuttings, grams).decode()
    assert "40 x 44 to 42 x 38 D R6" in rows
    assert "26 x 11.5 R3 to 16 x 16 R6 rect." in rows
    stay = next(one for one in facts if one.tube.name == "chainstay_left")
    assert [bend.radius for bend in bends_of(stay)] == [150.0, 180.0]
    assert section_text(stay.tube) == "26 × 11.5 R3 to 16 × 16 R6 rect."
    for part in model().parts:
        known_mass = bike().frame.masses.parts.get(part.name)
        if known_mass is not None:
            assert known_mass == pytest.approx(part.mass, rel=2e-3), part.name
    document = geometry_document(bike(), model())
    told = next(t for t in document["tubes"] if t["name"] == "chainstay_left")["section"]
    assert told["corner_radii"][0] == (3.0,) * 4
    assert told["corner_radii"][-1] == (6.0,) * 4
    assert len(told["corner_radii"]) == len(told["height"])


def test_what_is_seen() -> None:
    """Mesh and quick surfaces are closed and as large as the solids; the side view holds the tube."""
    mesh = frame_mesh(bodies(bike()))
    whole = trimesh.Trimesh(mesh.vertices, mesh.triangles, process=False)
    assert whole.is_watertight
    assert mesh.volume == pytest.approx(sum(p.volume for p in model().parts), rel=2e-3)
    scene = scene_of(bike())
    light = dict(surfaces_of(scene, bodies(bike())))
    (tube,) = scene.body("down_tube").tubes  # type: ignore[union-attr]
    (outline,) = (one for one in outlines(scene) if one.name == "down_tube")
    seen = shapely.Polygon(outline.pieces[0][0]).buffer(0.3)
    s = np.linspace(5.0, tube.axis.length - 5.0, 60)
    y, x = tube.section.place(np.linspace(0.0, 3600.0, 60), s)
    centre, up, across = tube.axis.frames(s)
    points = centre + y[:, None] * up + x[:, None] * across
    assert shapely.contains(seen, shapely.points(points[:, [0, 2]])).all()
    surface = light["chainstay_left"]
    closed = trimesh.Trimesh(surface.points.round(4), surface.corners, process=True)
    assert closed.is_watertight


def test_how_stiff_it_is() -> None:
    """A down tube of the same metal that is deeper and wider holds its head tube better."""
    plain = solve(loads((CONFIGS / "trail_hardtail_29.yaml").read_text(encoding="utf-8"), "x.yaml"))
    mine, theirs = (
        {one.case.title: one.stiffness for one in stiffness_of(of).cases} for of in (bike(), plain)
    )
    assert set(mine) == set(theirs)
    assert mine["Head tube, sideways"] > 1.1 * theirs["Head tube, sideways"]
