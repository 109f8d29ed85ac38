"""A built fork as solids, and in the files that hold them."""

from __future__ import annotations

import io
import json
import math
from pathlib import Path

import numpy as np
import pytest
import trimesh
from shapely import Polygon

from frame3d.bike.solve import solve
from frame3d.bodies.motion.pose import Pose
from frame3d.bodies.placement import Placement
from frame3d.formats import MANIFEST, write_all
from frame3d.geometry.vector import vector
from frame3d.solids import make
from frame3d.solids.model import FrameModel
from tests.built_forks import fork_bike

STEER = 30.0


@pytest.fixture(scope="module", params=["raked", "segmented"])
def fork(request: pytest.FixtureRequest) -> FrameModel:
    own = fork_bike(request.param).fork
    assert own is not None
    return make(own)


def test_each_part_weighs_what_was_worked_out(fork: FrameModel) -> None:
    grams = fork.bike.frame.masses.parts
    assert set(grams) == {part.name for part in fork.parts}
    for part in fork.parts:
        assert grams[part.name] == pytest.approx(part.mass, rel=2e-3), part.name
    assert fork.bike.frame.masses.total == pytest.approx(fork.mass, rel=2e-3)
    assert fork.notes == ()  # all of one piece


def test_dropouts_are_whole_plates_with_the_axles_hole(fork: FrameModel) -> None:
    for plate in fork.bike.plates:
        edge = Polygon(plate.outline.outer.points(0.001))
        closed = (edge.area - math.pi / 4 * 12**2) * plate.thickness
        assert fork.part(plate.name).volume == pytest.approx(closed, rel=1e-4)
        assert plate.volume == pytest.approx(closed, rel=1e-4)


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, FrameModel]:
    folder = tmp_path_factory.mktemp("built")
    spec = fork_bike("segmented").spec
    few = {key: tube for key, tube in spec.tubes.items() if key in ("head_tube", "seat_tube")}
    left_out = ("crank", "chainring", "pedal", "rider", "handlebar", "rear_brake")
    build = spec.build.model_copy(update=dict.fromkeys(left_out))
    model = make(solve(spec.model_copy(update={"tubes": few, "build": build})))
    write_all(model, folder, pose=Pose(steer=STEER))
    return folder, model


def test_the_fork_has_files_of_its_own(written: tuple[Path, FrameModel]) -> None:
    folder, model = written
    assert {"fork.step", "fork.stl", "fork.3mf", MANIFEST} <= {f.name for f in folder.iterdir()}
    assert model.fork is not None
    assert not any(part.name.startswith("fork") for part in model.parts)
    surface = trimesh.load(io.BytesIO((folder / "fork.stl").read_bytes()), file_type="stl")
    assert surface.is_watertight
    assert surface.volume == pytest.approx(model.fork.volume, rel=5e-3)
    frame = trimesh.load(io.BytesIO((folder / "frame.stl").read_bytes()), file_type="stl")
    assert frame.volume == pytest.approx(model.volume, rel=5e-3)


def test_it_stands_turned_about_the_steering_axis(written: tuple[Path, FrameModel]) -> None:
    folder, model = written
    surface = trimesh.load(io.BytesIO((folder / "fork.stl").read_bytes()), file_type="stl")
    place = Placement(model.bike)
    assert model.fork is not None
    race, up = place.node("crown_race"), place.up
    centre = np.array(model.fork.centre) - race
    turn = math.radians(STEER)  # Rodrigues' formula, to the left positive about the axis upward
    turned = centre * math.cos(turn) + np.cross(up, centre) * math.sin(turn)
    turned += up * float(up @ centre) * (1 - math.cos(turn))
    assert surface.center_mass == pytest.approx(race + turned, abs=0.3)


def test_step_and_glb_have_the_fork_as_a_part_that_steers(
    written: tuple[Path, FrameModel],
) -> None:
    folder, _ = written
    for name in ("fork.step", "assembly.step"):
        text = (folder / name).read_text("ascii")
        assert "'built fork'" in text
        assert "'fork_blade_left'" in text or "'fork_blade'" in text
    assert "'fork_steerer'" not in (folder / "frame.step").read_text("ascii")
    raw = (folder / "frame.glb").read_bytes()
    size = int.from_bytes(raw[12:16], "little")
    nodes = {n.get("name"): n for n in json.loads(raw[20 : 20 + size])["nodes"]}
    assert {"fork_steerer", "fork_blade_left", "fork_dropout_right"} <= set(nodes)
    assert nodes["fork_blade_left"]["rotation"] == pytest.approx(nodes["stem"]["rotation"])
    document = json.loads((folder / "geometry.json").read_text())
    assert document["fork"]["tubes"][0]["name"] == "fork_steerer"
    parts = document["fork"]["mass"]["parts_g"]
    assert sum(parts.values()) == pytest.approx(document["fork"]["mass"]["total_g"])
    assert vector(document["nodes"]["front_axle"])[1] == 0.0
