"""Templates against the mitre table, against closed forms, and wrapped back onto the solids."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.special import ellipeinc

import frame3d
from frame3d.bike.bike import Bike
from frame3d.fabrication.develop import Development
from frame3d.fabrication.template import Panel, panels_of
from frame3d.fabrication.tube_facts import facts_of
from frame3d.geometry.ellipse import girth
from frame3d.geometry.section import Section
from frame3d.solids import FrameModel
from frame3d.tubes.cuts.edge import Cutting, bodies_of
from frame3d.tubes.cuts.vents import Hole, vents
from frame3d.tubes.tube import Tube
from tests.formats import suspended
from tests.frames import bar, context, demo_solids
from tests.sampling import everyday

Array = NDArray[np.float64]
CONFIGS = Path(frame3d.__file__).parent.parent / "configs"

# Derived (each point's distance to the main axis is R to 1e-9): z around the branch every 45 degrees.
#   z = [r cos φ cos θ + √(R² − (r sin φ − e)²)] / sin θ
TABLE = {
    (15.875, 18.2, 75.0, 0.0): [23.09572, 17.83911, 9.21479, 11.82348, 14.58833, 11.82348, 9.21479, 17.83911],
    (15.875, 15.875, 60.0, 0.0): [27.49631, 19.44282, 0.0, 6.48094, 9.16544, 6.48094, 0.0, 19.44282],
    (15.875, 22.0, 90.0, 0.0): [22.0, 18.92068, 15.23103, 18.92068, 22.0, 18.92068, 15.23103, 18.92068],
    (11.1125, 19.05, 70.0, 5.0): [23.60647, 22.90316, 19.20066, 17.18321, 15.51723, 12.09849, 10.81541, 17.81845],
}  # fmt: skip
DEPTHS = {75.0: 14.19491, 60.0: 27.49631, 90.0: 6.76897, 70.0: 13.68380}


def joint(
    r: float, R: float, angle: float, offset: float, wall: Any = "solid"
) -> tuple[Bike, Tube]:
    """A branch along x from a main tube through (0, offset, 0), leaning toward the branch's top."""
    turn = np.radians(angle)
    lean = np.array([np.cos(turn), 0.0, np.sin(turn)])
    middle = np.array([0.0, offset, 0.0])
    ends = [(middle + k * lean).tolist() for k in (-300.0, 300.0)]
    main = bar(2 * R, ends[0], ends[1])
    branch = bar(2 * r, {"on": "main", "from_start": 300.0, "y": 0.0}, (200.0, 0.0, 0.0), wall)
    layout = context({"main": main, "branch": branch})
    return layout, layout.tube("branch")


def panels(layout: Bike, tube: Tube) -> list[Panel]:
    bodies = bodies_of(layout.frame)
    cutting = Cutting(tube, bodies)
    return panels_of(facts_of(tube, bodies, cutting), cutting, bodies)


@pytest.mark.parametrize("case", list(TABLE), ids=lambda c: f"r{c[0]}-R{c[1]}-{c[2]}deg-e{c[3]}")
def test_the_unrolled_edge_passes_through_every_point_of_the_mitre_table(
    case: tuple[float, float, float, float],
) -> None:
    r, _, angle, _ = case
    layout, tube = joint(*case)
    panel = panels(layout, tube)[0]
    edge = panel.outer[0]
    edge = edge[np.argsort(edge[:, 0])]
    # The table's φ turns from the side to which the main axis leans (up) to +y (left). On paper, seen
    # from outside with the branch's end upward, left lies to the left of the top.
    for i, z in enumerate(TABLE[case]):
        x = -r * np.radians(45.0 * i)
        x = (x + np.pi * r) % (2 * np.pi * r) - np.pi * r
        assert np.interp(x, edge[:, 0], edge[:, 1]) == pytest.approx(z, abs=6e-6)
    assert np.ptp(edge[:, 1]) == pytest.approx(DEPTHS[angle], abs=2e-3)


@pytest.mark.parametrize(
    ("r", "R", "angle"),
    [(20.0, 15.0, 70.0), (20.0, 15.0, 110.0), (16.0, 15.9, 90.0), (22.0, 9.0, 55.0)],
)
def test_where_a_mitre_breaks_off_into_a_square_cut_the_edge_has_its_corners(
    r: float, R: float, angle: float
) -> None:
    """The branch is wider than its main tube, so that its sides pass by where |r sin φ| > R.

    The closed form ends at sin φ = ± R / r, where its root is 0 and z = r cos φ / tan θ.
    """
    layout, tube = joint(r, R, angle, 0.0)
    cutting = Cutting(tube, bodies_of(layout.frame))
    (outline,) = cutting.outlines(cutting.place("start"))
    made = np.column_stack([r * np.radians(outline.phi), outline.s])
    last = np.arcsin(R / r)
    corners = np.array([last, np.pi - last, np.pi + last, 2 * np.pi - last])
    exact = [r * np.cos(corners) / np.tan(np.radians(angle)), np.full(4, tube.start.long_point)]
    for z in exact:
        gaps = np.hypot(made[:, :1] - r * corners, made[:, 1:] - z).min(axis=0)
        assert gaps.max() < 1e-3
    upright = np.diff(outline.phi) == 0.0
    assert upright.sum() == 4
    assert np.abs(np.diff(outline.s))[~upright].max() < 1.0  # every jump is made at its corner
    # The whole edge, by the sine from corner to corner, as it is steep there.
    turn = np.arcsin(R / r * np.sin(np.linspace(-np.pi / 2, np.pi / 2, 4001)))
    cos, sin = np.cos(np.radians(angle)), np.sin(np.radians(angle))
    chords = np.stack([made[:-1], made[1:]], axis=1)
    for middle in (0.0, np.pi):
        phi = middle + turn
        under = np.maximum(R**2 - (r * np.sin(phi)) ** 2, 0.0)
        true = np.column_stack([r * phi, (r * np.cos(phi) * cos + np.sqrt(under)) / sin])
        true[:, 0] %= 2 * np.pi * r
        assert apart(true[::5], chords).max() < 0.02


def test_the_inner_edge_is_that_of_the_bore() -> None:
    r, R, wall = 15.875, 18.2, 0.9
    layout, tube = joint(r, R, 75.0, 0.0, wall)
    inner = panels(layout, tube)[0].inner[0]
    phi = -inner[:, 0] / r  # drawn over the outside, at the angle where it lies below
    cos, sin = np.cos(np.radians(75.0)), np.sin(np.radians(75.0))
    b = r - wall
    expected = (b * np.cos(phi) * cos + np.sqrt(R**2 - (b * np.sin(phi)) ** 2)) / sin
    np.testing.assert_allclose(inner[:, 1], expected, atol=1e-6)


def test_the_template_is_as_wide_as_the_circumference() -> None:
    layout, tube = joint(15.875, 18.2, 75.0, 0.0)
    edge = panels(layout, tube)[0].outer[0]
    assert np.ptp(edge[:, 0]) == pytest.approx(np.pi * 31.75, abs=1e-6)
    assert girth(38.1, 38.1) == np.pi * 38.1
    # An ellipse's circumference is 4 a E(m), m = 1 − b²/a² (Abramowitz and Stegun 17.3.3).
    a, b = 15.0, 8.5
    assert girth(2 * a, 2 * b) == pytest.approx(
        4 * a * ellipeinc(np.pi / 2, 1 - b**2 / a**2), abs=1e-9
    )


def test_an_oval_is_laid_out_by_true_arc_length() -> None:
    section = Section((0.0, 100.0), (30.0, 30.0), (17.0, 17.0), (1.0, 1.0))
    flat = Development(section, 0.0, 50.0, 0.0)
    turn = np.linspace(-175.0, 175.0, 29)
    x = flat.at(turn, np.full(29, 20.0))[:, 0]
    # From the end of the height's semi-axis a = 15: s = ∫ √(a² sin² + b² cos²) = b E(φ | 1 − a²/b²).
    expected = 8.5 * ellipeinc(np.radians(turn), 1 - 15.0**2 / 8.5**2)
    np.testing.assert_allclose(x, expected, atol=2e-4)


def cone_wrapped(section: Section, low: float, high: float, paper: Array) -> tuple[Array, Array]:
    """Paper back onto a round cone: a sector about its apex; turn to the right [degrees] and s."""
    r0, r1 = (float(section.height_at(s)) / 2 for s in (low, high))
    slope = (r1 - r0) / (high - low)
    sine, slant = slope / np.hypot(1.0, slope), np.hypot(1.0, slope)
    apex = low - r0 / sine  # above where it narrows: r0 / sine is negative then
    y = (paper[:, 1] - apex) * np.sign(slope)
    rho = np.hypot(paper[:, 0], y)
    turn = np.degrees(np.arctan2(paper[:, 0], y) / abs(sine))
    return turn, low + (np.sign(slope) * (rho - abs(r0 / sine))) / slant


@pytest.mark.parametrize("sizes", [(62.0, 50.0), (14.0, 22.0)])
def test_a_taper_is_laid_out_as_the_sector_of_its_cone(sizes: tuple[float, float]) -> None:
    section = Section((0.0, 115.0), sizes, sizes, (3.0, 3.0))
    flat = Development(section, 0.0, 40.0, 0.0)
    turn, s = (g.ravel() for g in np.meshgrid(np.linspace(-180, 180, 25), [0.0, 13.0, 40.0]))
    back, along = cone_wrapped(section, 0.0, 40.0, flat.at(turn, s))
    np.testing.assert_allclose(back, turn, atol=2e-3)
    np.testing.assert_allclose(along, s, atol=1e-4)


def wrapped(panel: Panel, tube: Tube, paper: Array) -> tuple[Array, Array]:
    """Paper back onto the tube: phi [degrees], s [mm]; by closed forms, but for ovals that taper."""
    section, flat = tube.section, panel.flat
    round_ends = section.is_round
    if round_ends and flat.even:
        r = float(section.height_at(flat.low)) / 2
        return flat.centre - np.degrees(paper[:, 0] / r), paper[:, 1]
    if round_ends:
        turn, s = cone_wrapped(section, flat.low, flat.high, paper)
        return flat.centre - turn, s
    turn = np.clip(np.degrees(paper[:, 0] / panel.width * 2 * np.pi), -179.998, 179.996)
    s = paper[:, 1].copy()
    for _ in range(40):  # Newton on the map itself: its two directions are nearly square
        h = 1e-3
        at = flat.at(turn, s)
        by_turn, by_s = (flat.at(turn + h, s) - at) / h, (flat.at(turn, s + h) - at) / h
        det = by_turn[:, 0] * by_s[:, 1] - by_turn[:, 1] * by_s[:, 0]
        off = paper - at
        turn = turn + (off[:, 0] * by_s[:, 1] - off[:, 1] * by_s[:, 0]) / det
        s = s + (by_turn[:, 0] * off[:, 1] - by_turn[:, 1] * off[:, 0]) / det
        turn = np.clip(turn, -179.998, 179.996)
    return flat.centre - turn, s


def on_the_tube(tube: Tube, phi: Array, s: Array) -> Array:
    centre, up, across = tube.axis.frames(s)
    a, b = tube.section.radii_at(s)
    turn = np.radians(phi)
    out: Array = centre + (a * np.cos(turn))[:, None] * up + (b * np.sin(turn))[:, None] * across
    return out


def solid_edges(shape: Any) -> Array:
    """All edges of a solid as short chords: (n, 2, 3), within 1e-3 of the edge."""
    from OCP.BRepAdaptor import BRepAdaptor_Curve
    from OCP.GCPnts import GCPnts_TangentialDeflection
    from OCP.TopAbs import TopAbs_EDGE
    from OCP.TopExp import TopExp_Explorer
    from OCP.TopoDS import TopoDS

    found = []
    explorer = TopExp_Explorer(shape, TopAbs_EDGE)
    while explorer.More():
        curve = BRepAdaptor_Curve(TopoDS.Edge_s(explorer.Current()))
        points = GCPnts_TangentialDeflection(curve, 0.05, 1e-3)
        row = [points.Value(i) for i in range(1, points.NbPoints() + 1)]
        xyz = np.array([(p.X(), p.Y(), p.Z()) for p in row])
        found += pairwise(xyz)
        explorer.Next()
    return np.array(found)


def apart(points: Array, chords: Array) -> Array:
    """Distance of each point from the nearest chord."""
    a, d = chords[:, 0], chords[:, 1] - chords[:, 0]
    square = np.maximum(np.einsum("ij,ij->i", d, d), 1e-18)
    out = []
    for p in points:
        share = np.clip(np.einsum("ij,ij->i", p - a, d) / square, 0.0, 1.0)
        out.append(np.linalg.norm(p - a - share[:, None] * d, axis=1).min())
    return np.array(out)


def drilled(hole: Hole, points: Array) -> NDArray[np.bool_]:
    """Which points lie in a hole, or within 0.1 mm of it."""
    s, distance = hole.axis.approach(points)
    inside: NDArray[np.bool_] = (s > -0.1) & (s < hole.axis.length + 0.1)
    return inside & (distance < hole.diameter / 2 + 0.1)


def demo(name: str) -> FrameModel:
    if name == "four links":
        return suspended.model()
    return demo_solids(name)


DEMOS = sorted(
    p.stem for p in CONFIGS.glob("*.yaml") if "\ntubes:" in p.read_text(encoding="utf-8")
)


@pytest.mark.parametrize(
    "name", everyday(("trail_full_140", "trail_hardtail_29", "four links"), (*DEMOS, "four links"))
)
def test_wrapped_back_every_template_of_every_demo_lies_on_its_solids_edge(name: str) -> None:
    model = demo(name)
    shapes = {part.name: part.shape for part in model.parts}
    seen = 0
    for tube in model.bike.tubes:
        chords = solid_edges(shapes[tube.name])
        for panel in panels(model.bike, tube):
            for edge in panel.outer:
                phi, s = wrapped(panel, tube, edge[:: max(1, len(edge) // 60)])
                points = on_the_tube(tube, phi, s)
                # Vents are drilled through the joints afterwards, some through an edge.
                kept = ~np.any(
                    [drilled(vent.hole, points) for vent in vents(model.bike.frame)], axis=0
                )
                assert kept.mean() > 0.9
                gaps = apart(points[kept], chords)
                assert gaps.max() < 0.02, (tube.name, panel.place)
                seen += 1
    assert seen >= 2 * len(model.bike.tubes)
