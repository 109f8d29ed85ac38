"""Meshes of bodies and frames without the CAD kernel: volumes, closed surfaces, what is left out."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from frame3d.formats.stl import is_closed
from frame3d.solids.bodies import bodies
from frame3d.solids.body_meshes import MeshError, frame_mesh, overlaps, part_mesh
from frame3d.solids.sweep import straight
from tests.bikes import hardtail_layout
from tests.frames import bar, context, hardtail
from tests.sampling import thorough


def test_every_part_is_closed_and_as_large_as_its_solid() -> None:
    model = hardtail()
    for part in model.parts:
        mesh = model.meshes[part.name]
        assert is_closed(mesh.triangles), part.name
        assert mesh.volume == pytest.approx(part.volume, rel=5e-4), part.name


def test_whole_frame_is_the_sum_of_its_parts() -> None:
    model = hardtail()
    whole = frame_mesh(model.bodies)
    assert is_closed(whole.triangles)
    assert whole.volume == pytest.approx(model.volume, rel=1e-4)


@pytest.mark.parametrize(("tolerance", "share"), [(0.5, 0.9), thorough((0.02, 1.2))])
def test_tolerance_sets_the_number_of_triangles(tolerance: float, share: float) -> None:
    made = bodies(hardtail_layout())
    usual, other = frame_mesh(made), frame_mesh(made, tolerance)
    assert (len(other.triangles) / len(usual.triangles) - share) * (share - 1) > 0
    assert is_closed(other.triangles)
    assert other.volume == pytest.approx(usual.volume, rel=2e-3)


def test_what_the_cuts_part_off_is_not_left_hanging() -> None:
    """A beam nearly as wide as the mast that it runs through: its far tip is no part of the frame,
    though a mast slimmer by half its wall would leave it hanging by the sides.
    """
    made = bodies(
        context(
            {
                "mast": bar(40.0, (0, 0, 0), (0, 0, 400), 2.0),
                "beam": bar(39.0, (-200, 0, 200), (35, 0, 200), 1.5),
            }
        )
    )
    whole = frame_mesh(made)
    assert whole.vertices[:, 0].max() < 20.1
    assert whole.volume == pytest.approx(sum(part_mesh(body).volume for body in made), rel=1e-4)


LOOSE = {
    "a collar around a tube": {
        "mast": bar(34.9, (0, 0, 0), (0, 0, 400), 1.2),
        "collar": bar(41.9, (0, 0, 100), (0, 0, 160), 2.5),
    },
    "a tube within a longer one": {
        "core": bar(34.9, (0, 0, 100), (0, 0, 160), 1.2),
        "sleeve": bar(41.9, (0, 0, 0), (0, 0, 400), 2.5),
    },
    "a collar around a joint": {
        "mast": bar(34.9, (0, 0, 0), (0, 0, 400), 1.2),
        "beam": bar(28.6, {"on": "mast", "from_start": 130.0}, (60, 0, 160), 1.0),
        "collar": bar(140.0, (0, 0, 100), (0, 0, 200), 2.5),
    },
}


@pytest.mark.parametrize("case", LOOSE)
def test_a_bore_takes_no_metal_from_what_it_only_surrounds(case: str) -> None:
    """The whole is the sum of rings, beam and all, by closed forms where nothing is mitred."""
    made = bodies(context(LOOSE[case]))
    whole, parts = frame_mesh(made), [part_mesh(body) for body in made]
    assert is_closed(whole.triangles)
    assert whole.volume == pytest.approx(sum(part.volume for part in parts), rel=1e-6)
    if "beam" not in LOOSE[case]:
        lengths = {"mast": 400, "collar": 60, "sleeve": 400, "core": 60}
        rings = [
            math.pi * tube["wall"] * (tube["od"] - tube["wall"]) * lengths[name]
            for name, tube in LOOSE[case].items()
        ]
        assert whole.volume == pytest.approx(sum(rings), rel=1e-6)


def test_a_drilling_takes_no_metal_from_what_it_is_not_drilled_through() -> None:
    """A long drilling through the mast's wall alone, which grazes the wall of a beam."""
    made = bodies(
        context(
            {
                "mast": bar(40.0, (0, 0, 0), (0, 0, 400), 2.0),
                "beam": bar(20.0, {"on": "mast", "from_start": 200.0}, (200, 0, 200), 3.0),
            }
        )
    )
    hole = straight((0, 0, 207), (100, 0, 207), (6, 6))
    drilled = [replace(b, drills=(hole,)) if b.name == "mast" else b for b in made]
    parts = {body.name: part_mesh(body) for body in drilled}
    whole = frame_mesh(drilled)
    assert parts["beam"].volume == part_mesh(made[1]).volume
    assert whole.volume == pytest.approx(sum(p.volume for p in parts.values()), rel=1e-5)


def test_what_lies_in_one_another_is_named() -> None:
    tubes = {
        "mast": bar(34.9, (0, 0, 0), (0, 0, 400), 1.2),
        "collar": bar(38.0, (0, 0, 100), (0, 0, 160), 2.5),
        "aside": bar(38.0, (90, 0, 100), (90, 0, 160), 2.5),
    }
    parts = {
        body.name: part_mesh(body)
        for name, tube in tubes.items()  # each by itself: in one frame they are a fault
        for body in bodies(context({name: tube}))
    }
    ((a, b, volume),) = overlaps(parts)
    assert (a, b) == ("mast", "collar")
    assert volume == pytest.approx(math.pi / 4 * (34.9**2 - 33.0**2) * 60, rel=1e-6)


def test_a_part_that_vanishes_is_found() -> None:
    body = next(b for b in bodies(hardtail_layout()) if b.name == "top_tube")
    swallowed = replace(body, holes=body.metal)
    with pytest.raises(MeshError, match="nothing is left"):
        part_mesh(swallowed)
