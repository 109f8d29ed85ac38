"""The model against the bike: envelope and centrelines times the scale, by trimesh."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import trimesh

from frame3d.bodies.assemble import bodies_of
from frame3d.geometry.vector import vector
from frame3d.mockup.drawing import Drawing
from frame3d.mockup.options import Options
from frame3d.mockup.parts.frame import frame, thickened
from frame3d.mockup.printing.check import meshed
from frame3d.mockup.solid import CHORD
from frame3d.solids.outline_mesh import body_mesh
from tests.mockup.samples import FULL, HARDTAIL, RIGID, laid, layout, made

TRUE = 0.1
"""Centrelines are true to this [mm, printed]."""


@pytest.mark.parametrize("file", [HARDTAIL, RIGID], ids=lambda file: file.stem)
def test_envelope_is_the_bikes_times_the_scale(file: Path) -> None:
    """Length: axle to axle and both tyres' radii, from the chart. Width: the bar, end to end, or the pedals.

    Height: from the ground to the saddle's top, or to what of the bar is higher.
    """
    bike = layout(file)
    low, high = made(file).envelope
    scale = 1 / 6
    radii = {end: bike.chart[f"{end}_wheel_radius"] for end in ("front", "rear")}
    length = bike.chart["wheelbase"] + radii["front"] + radii["rear"]
    assert high[0] - low[0] == pytest.approx(scale * length, abs=0.05)
    crank, pedal = bike.spec.build.crank, bike.spec.build.pedal
    widest = 2 * max(
        bike.spec.build.handlebar.width / 2, crank.q_factor / 2 + pedal.axle + pedal.width / 2
    )
    assert high[1] - low[1] == pytest.approx(scale * widest, abs=0.05)
    assert low[2] == pytest.approx(scale * bike.nodes["rear_contact"][2], abs=0.05)
    cockpit = [b for b in bodies_of(bike).bodies if b.name in ("handlebar", "stem")]
    bar = max(float(body_mesh(b).vertices[:, 2].max()) for b in cockpit)
    top = max(bike.nodes["saddle"][2], bar)
    assert high[2] == pytest.approx(scale * top, abs=0.25)


def test_printed_parts_have_the_models_sizes() -> None:
    for item in laid().parts:
        stands, lies = (
            trimesh.Trimesh(m.vertices, m.triangles, process=False) for m in (item.mesh, item.flat)
        )
        assert lies.volume == pytest.approx(stands.volume, rel=1e-3)
        assert lies.area == pytest.approx(stands.area, rel=1e-3)
        assert lies.principal_inertia_components == pytest.approx(
            stands.principal_inertia_components, rel=1e-3, abs=1e-2
        )


@pytest.mark.parametrize("file", [HARDTAIL, RIGID], ids=lambda file: file.stem)
def test_tubes_run_where_they_run_on_the_bike(file: Path) -> None:
    """Cuts across the frame's mesh: the middle of each outline is the tube's axis times the scale."""
    bike, scale = layout(file), 1 / 6
    frame = meshed(next(p for p in made(file).parts if p.name == "frame").solid)
    mesh = trimesh.Trimesh(frame.vertices, frame.triangles, process=False)
    seen = 0
    for tube in bike.tubes:
        if tube.key.endswith("bridge") or tube.key == "head_tube":
            continue  # too short, or bored: see below
        for share in (0.35, 0.5, 0.65):
            s = share * tube.axis.length
            at, along = scale * tube.axis.at(s), tube.axis.tangent(s)
            lines = trimesh.intersections.mesh_plane(mesh, along, at)
            points = lines.reshape(-1, 3)
            reach = (
                0.75
                * float(np.maximum(tube.section.height_at(s), tube.section.width_at(s)))
                * scale
            )
            own = points[np.linalg.norm(points - at, axis=1) < reach + 0.6]
            middle = (own.min(axis=0) + own.max(axis=0)) / 2
            assert middle == pytest.approx(at, abs=TRUE), (tube.name, share)
            seen += 1
    assert seen >= 21


def test_facets_of_bent_tubes_stay_within_the_chord() -> None:
    """Cuts across the stays, bends included: every corner, and every side's middle, near the true circle."""
    scale = 1 / 4
    drawn = Drawing(layout(FULL), Options(scale, ()))
    solid = meshed(frame(drawn).parts[0].solid)
    mesh = trimesh.Trimesh(solid.vertices, solid.triangles, process=False)
    seen = 0
    for tube in thickened(drawn).tubes:
        if tube.key != "seatstay":
            continue
        for share in np.linspace(0.2, 0.85, 14):
            s = share * tube.axis.length
            at, radius = scale * tube.axis.at(s), scale * float(tube.section.height_at(s)) / 2
            lines = trimesh.intersections.mesh_plane(mesh, tube.axis.tangent(s), at)
            points = np.concatenate([lines.reshape(-1, 3), lines.mean(axis=1)])
            far = np.linalg.norm(points - at, axis=1)
            own = far[far < 2 * radius]
            if own.max() < radius + 0.2:  # nothing joins here
                assert np.abs(own - radius).max() < CHORD, (tube.name, share)
                seen += 1
    assert seen >= 20


def test_the_head_tubes_bore_is_the_steering_axis() -> None:
    scale = 1 / 6
    frame = meshed(next(p for p in made().parts if p.name == "frame").solid)
    mesh = trimesh.Trimesh(frame.vertices, frame.triangles, process=False)
    low, high = (scale * vector(layout().nodes[f"head_tube_{end}"]) for end in ("bottom", "top"))
    along = (high - low) / np.linalg.norm(high - low)
    for share in (0.1, 0.5, 0.9):
        at = low + share * (high - low)
        points = trimesh.intersections.mesh_plane(mesh, along, at).reshape(-1, 3)
        far = np.linalg.norm(points - at, axis=1)
        bore = points[far < far.min() + 0.1]
        assert (bore.min(axis=0) + bore.max(axis=0)) / 2 == pytest.approx(at, abs=0.01)


def test_nodes_are_where_the_pins_are() -> None:
    scale = 1 / 6
    parts = {p.name: np.array(p.solid.bounding_box()).reshape(2, 3) for p in made().parts}
    for end in ("front", "rear"):
        tyre = parts[f"{end}_tyre"]
        middle = tyre.mean(axis=0)
        assert middle == pytest.approx(scale * vector(layout().nodes[f"{end}_axle"]), abs=0.02)
        assert np.ptp(tyre[:, 0]) == pytest.approx(
            2 * scale * layout().chart[f"{end}_wheel_radius"], abs=0.01
        )
    assert parts["saddle"][1, 2] == pytest.approx(scale * layout().nodes["saddle"][2], abs=1e-6)
