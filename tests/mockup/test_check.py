from __future__ import annotations

import numpy as np
import pytest
import trimesh

from frame3d.bike.exchange import exchange
from frame3d.errors import MockupError
from frame3d.mockup.drawing import Drawing
from frame3d.mockup.model import assembled
from frame3d.mockup.options import KITS, Options
from frame3d.mockup.part import ModelPart
from frame3d.mockup.printing.check import GRID, SLIVER, meshed, passed, problems, shells, snapped
from frame3d.mockup.solid import block, minus, rod, together
from frame3d.parameters.reading.reader import load
from frame3d.solids.mesh import Mesh
from tests.mockup.samples import HARDTAIL, RIGID, laid, layout


def box(size: float = 2.0, at: float = 0.0) -> Mesh:
    made = trimesh.creation.box((size, size, size))
    return Mesh(made.vertices + at, made.faces.astype(np.int64))


def both(a: Mesh, b: Mesh) -> Mesh:
    return Mesh(
        np.vstack([a.vertices, b.vertices]), np.vstack([a.triangles, b.triangles + len(a.vertices)])
    )


def test_a_good_part() -> None:
    assert problems(box()) == []
    assert shells(box()) == 1


BAD = {
    "it is not closed": Mesh(box().vertices, box().triangles[:-1]),
    "its faces do not all turn the same way": Mesh(
        box().vertices, np.vstack([box().triangles[:-1], box().triangles[-1:, ::-1]])
    ),
    "its faces look inward": Mesh(box().vertices, box().triangles[:, ::-1]),
    "it is 2 shells, not one": both(box(), box(at=5.0)),
    "it has a face of": Mesh(box().vertices * (1.0, 1.0, 1e-7), box().triangles),
}


@pytest.mark.parametrize("what", BAD)
def test_bad_parts_are_refused_by_name(what: str) -> None:
    assert any(found.startswith(what) for found in problems(BAD[what]))
    with pytest.raises(MockupError) as caught:
        passed({"good": box(), "spoke": BAD[what], "hub": BAD[what]})
    assert [fault.path for fault in caught.value.faults] == ["spoke", "hub"]
    assert all(what in fault.message for fault in caught.value.faults)


def test_a_void_that_no_one_sees_is_filled() -> None:
    solid = minus(block((0, 0, 0), (10, 10, 10)), [block((3, 3, 3), (6, 6, 6))])
    mesh = meshed(solid)
    assert problems(mesh) == []
    assert mesh.volume == pytest.approx(1000.0)


def test_crumbs_are_dropped_and_loose_pieces_are_not() -> None:
    body = block((0, 0, 0), (10, 10, 10))
    assert problems(meshed(together([body, block((12, 0, 0), (12.2, 0.2, 0.2))]))) == []
    loose = meshed(together([body, block((12, 0, 0), (13, 1, 1))]))
    assert problems(loose) == ["it is 2 shells, not one"]


def test_corners_are_on_the_grid_and_apart() -> None:
    x, y = np.eye(3)[:2]
    mesh = meshed(together([rod(-9 * x, 9 * x, 2.0), rod(-9 * y, 9 * y, 2.0)]))
    cells = mesh.vertices / GRID
    assert np.abs(cells - np.round(cells)).max() < 1e-6
    assert len(np.unique(np.round(cells), axis=0)) == len(cells)
    assert len(np.unique(mesh.vertices.astype("<f4"), axis=0)) == len(cells)


def test_corners_are_written_as_they_are_checked() -> None:
    """An STL holds 32-bit numbers: rounding would change what a thin face measures."""
    for item in laid().parts:
        assert (item.flat.vertices == item.flat.vertices.astype("<f4")).all(), item.part.name


def test_a_gap_finer_than_the_grid_stays_a_gap() -> None:
    """Two blocks on one foot, a hair apart: closing the gap would pinch the surface."""
    left, right = block((0, 0, 1), (5, 5, 9)), block((5 + 2e-6, 0, 1), (9, 5, 9))
    solid = together([left, right, block((0, 0, 0), (9, 5, 1.5))])
    mesh = snapped(meshed(solid))
    assert problems(mesh) == []


@pytest.mark.parametrize("plates", [laid(), laid(RIGID, bed="110x110x110")], ids=["whole", "cut"])
def test_every_part_of_the_demos(plates: object) -> None:
    for item in plates.parts:  # type: ignore[attr-defined]
        for mesh in (item.mesh, item.flat):
            whole = trimesh.Trimesh(mesh.vertices, mesh.triangles, process=False)
            assert whole.is_watertight
            assert whole.is_winding_consistent
            assert whole.volume > 0
            assert whole.body_count == 1
            assert whole.area_faces.min() >= SLIVER
            assert whole.euler_number % 2 == 0


def frame_of(swaps: dict[str, str], scale: float) -> ModelPart:
    """The hardtail's frame with other parts, pitched as it stands on them, cut back and level."""
    swapped = load(HARDTAIL, swaps=[f"{path}={value}" for path, value in swaps.items()])
    drawing = Drawing(exchange(layout(), swapped, tuple(swaps)), Options(scale, KITS))
    (found,) = (part for part in assembled(drawing).parts if part.name == "frame")
    return found


def check_as_written(part: ModelPart) -> None:
    """A part as it stands and in poses like those that it prints in."""
    mesh = meshed(part.solid)
    assert problems(mesh) == []
    assert mesh.volume == pytest.approx(part.solid.volume(), rel=1e-4)
    for axis in ((1.0, 0.0, 0.0), (0.3, 0.8, 0.5)):
        turn = trimesh.transformations.rotation_matrix(1.1, axis)[:3, :3]
        assert problems(snapped(Mesh(mesh.vertices @ turn.T, mesh.triangles))) == []


def test_a_frame_with_other_parts() -> None:
    """Was refused for a face of 1.5e-8 mm²: where a dropout's bosses all but coincide."""
    check_as_written(
        frame_of({"build.fork.axle_to_crown": "547", "build.rear_wheel.tyre": "57-584"}, 1 / 8)
    )


def test_frames_with_random_parts() -> None:
    """Each pitched its own way, so that nothing falls on the same numbers twice."""
    chance = np.random.default_rng(8)
    for _ in range(5):
        fork, tyre = chance.uniform(505, 575), chance.choice(["57-584", "61-622", "40-622"])
        check_as_written(
            frame_of(
                {"build.fork.axle_to_crown": f"{fork:.2f}", "build.rear_wheel.tyre": tyre}, 1 / 8
            )
        )


def test_seams_between_parts_do_not_keep_details_finer_than_print() -> None:
    """Two rods on one axis, one a hair wider: no corners are kept of where they meet."""
    x = np.array([1.0, 0.0, 0.0])
    solid = together([rod(-9 * x, 0.1 * x, 2.0), rod(-0.1 * x, 9 * x, 2.0 + 1e-4)])
    whole = meshed(rod(-9 * x, 9 * x, 2.0))
    assert len(meshed(solid).triangles) == len(whole.triangles)
