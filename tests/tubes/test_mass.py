"""Masses without CAD: against volumes of crossing cylinders, handbook rows, and closed forms."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from frame3d.bike.bike import Bike
from frame3d.parameters.models.frame import FrameSpec
from frame3d.tubes.mass import Masses, masses_of
from tests.bikes import hardtail_layout, placed_layout


def layout(tubes: dict[str, Any], material: str = "4130", **build: Any) -> Bike:
    data = {
        "format": 1,
        "name": "Bench",
        "geometry": {},
        "material": material,
        "build": build,
        "tubes": tubes,
    }
    return placed_layout(FrameSpec.model_validate(data))


def weighed(tubes: dict[str, Any], **build: Any) -> Masses:
    return masses_of(layout(tubes, **build).frame)


def body(masses: Masses, name: str) -> Any:
    return next(b for b in masses.bodies if b.name == name)


def bar(od: float, start: list[float], end: Any, wall: Any = "solid") -> dict[str, Any]:
    last = end if isinstance(end, dict) else {"at": end}
    return {"od": od, "wall": wall, "start": {"at": start}, "end": last}


@pytest.mark.parametrize(
    ("R", "r", "angle", "common"),
    [
        (18.2, 15.875, 90.0, 25719.1211),
        (18.2, 15.875, 75.0, 26626.3934),
        (22.0, 15.875, 90.0, 32389.5189),
        (15.875, 15.875, 90.0, 21337.3229),
        (15.875, 15.875, 60.0, 24638.2183),
    ],
)
def test_mitred_bar_loses_half_the_common_volume(
    R: float, r: float, angle: float, common: float
) -> None:
    """Common volumes of two cylinders: Archimedes; Hubbell 1965; see tests/reference/test_mitre."""
    theta, length = np.radians(angle), 300.0
    far = [length * np.sin(theta), 0.0, length * np.cos(theta)]
    tubes = {
        "main": bar(2 * R, [0.0, 0.0, -200.0], [0.0, 0.0, 200.0]),
        "branch": bar(2 * r, far, {"on": "main", "from_start": 200.0}),
    }
    volume = body(weighed(tubes), "branch").volume
    assert volume == pytest.approx(np.pi * r * r * length - common / 2, rel=2e-5)


def test_hollow_mitred_tube_is_the_difference_of_two_bars() -> None:
    """Each wall follows its own curve, so bar less bore: closed forms of outer and inner radius."""
    angle, length, far = 65.0, 250.0, []
    theta = np.radians(angle)
    far = [length * np.sin(theta), 0.0, length * np.cos(theta)]
    volumes = []
    for od, wall in ((31.8, "solid"), (30.0, "solid"), (31.8, 0.9)):
        tubes = {
            "main": bar(36.0, [0.0, 0.0, -200.0], [0.0, 0.0, 200.0]),
            "branch": bar(od, far, {"on": "main", "from_start": 200.0}, wall),
        }
        volumes.append(body(weighed(tubes), "branch").volume)
    assert volumes[2] == pytest.approx(volumes[0] - volumes[1], rel=1e-4)


@pytest.mark.parametrize(
    ("R", "r", "angle", "offset"),
    [(15.0, 22.0, 45.0, 0.0), (17.0, 21.0, 30.0, 0.0), (18.0, 19.0, 120.0, 5.0)],
)
@pytest.mark.parametrize("wall", [0.0, 1.6])
def test_tube_wider_than_what_it_is_mitred_to(
    R: float, r: float, angle: float, offset: float, wall: float
) -> None:
    """Integrated line by line over its end face, as its template is cut.

    A line that meets the target begins on its near side (the greater root of a line in a cylinder,
    analytic geometry, as in `mitre_curve`); one that passes it by at the least z of the outer edge,
    below 0. Nothing is left behind the target.
    """
    theta, length = np.radians(angle), 240.0
    far = [length * np.sin(theta), offset, length * np.cos(theta)]
    on = {"on": "main", "from_start": 200.0, "y": offset}
    made = weighed(
        {
            "main": bar(
                2 * R, [0.0, 0.0, -200.0], [0.0, 0.0, 200.0], "solid" if wall == 0 else 2.0
            ),
            "branch": {"od": 2 * r, "wall": wall or "solid", "start": on, "end": {"at": far}},
        }
    )

    def near_side(x: Any, y: Any) -> Any:
        """Return where the line at x (in the axes' plane) and y leaves the target; nan if it misses."""
        under = R * R - (y + offset) ** 2
        root = np.sqrt(np.where(under >= 0, under, np.nan))
        return (x * np.cos(theta) + root) / np.sin(theta)

    around = np.radians(np.arange(0.0, 360.0, 0.001))
    outer = near_side(r * np.cos(around), r * np.sin(around))
    square = min(0.0, float(np.nanmin(outer)))
    ring = r - wall if wall else 0.0
    rho, weight = np.polynomial.legendre.leggauss(40)
    rho, weight = ring + (r - ring) * (rho + 1) / 2, (r - ring) * weight / 2
    around = np.radians(np.arange(0.0, 360.0, 0.05))
    x, y = rho[:, None] * np.cos(around), rho[:, None] * np.sin(around)
    begins = near_side(x, y)
    begins = np.where(np.isnan(begins), square, begins)
    volume = float((weight * rho) @ (length - begins).mean(axis=1)) * 2 * np.pi
    assert square < -4.0
    assert body(made, "branch").volume == pytest.approx(volume, rel=1e-3)


def test_common_length_of_tube_from_the_table() -> None:
    """4130 28.575 × 0.889: 606.99 g a metre (derived from density 7.85, ASM data sheet)."""
    tubes = {"plain": bar(28.575, [0.0, 0.0, 0.0], [1000.0, 0.0, 0.0], 0.889)}
    assert weighed(tubes).parts == {"plain": pytest.approx(606.99, abs=0.01)}
    titanium = layout({"plain": bar(38.1, [0, 0, 0], [1000.0, 0.0, 0.0], 0.889)}, "Ti-3Al-2.5V")
    assert masses_of(titanium.frame).total == pytest.approx(465.59, abs=0.01)


def test_butted_tube_lies_between_its_bounds() -> None:
    """590 × 28.6, 0.9/0.6: plain 0.9 weighs 362.7 g, plain 0.6 244.4 g (derived); trade pages 287 g."""
    walls: list[Any] = [0.9, 0.6]
    walls.append({"butted": [0.9, 0.6, 0.9], "lengths": [90.0, 90.0], "transition": 40.0})
    thick, thin, butted = (
        weighed({"t": bar(28.6, [0.0, 0.0, 0.0], [590.0, 0.0, 0.0], wall)}).total for wall in walls
    )
    assert thick == pytest.approx(362.7, abs=0.1)
    assert thin == pytest.approx(244.4, abs=0.1)
    assert thin < butted < thick
    # By hand: 180 thick, 330 thin, and 80 of transition by Simpson, exact for a quadratic.
    a, b, c = (np.pi * (28.6 - t) * t for t in (0.9, 0.75, 0.6))
    by_hand = 7.85e-3 * (180 * a + 330 * c + 80 * (a + 4 * b + c) / 6)
    assert butted == pytest.approx(by_hand, rel=1e-9)


def test_bent_tube_by_pappus() -> None:
    """Area times the length of the axis; the arc's centroid lies outside of the axis' own."""
    bend = {"along": 200.0, "rise": 100.0, "radius": 60.0}
    tube = bar(30.0, [0.0, 0.0, 0.0], [400.0, 0.0, 0.0]) | {"bends": [bend]}
    made = layout({"t": tube})
    part = body(masses_of(made.frame), "t")
    axis = made.tubes[0].axis
    assert part.volume == pytest.approx(np.pi * 15.0**2 * axis.length, rel=1e-9)
    # By summation of small cubes' columns: ∫ (1 − κ x) over the section, x toward the centre.
    x, w = np.polynomial.legendre.leggauss(60)
    moment, volume = np.zeros(3), 0.0
    for start, piece in zip(axis.starts, axis.pieces, strict=False):
        s = start + piece.length * (x + 1) / 2
        points = axis.points(s)
        centre = np.array(getattr(piece, "centre", (0.0, 0.0, 0.0)))
        radius = getattr(piece, "radius", np.inf)
        inward = (centre - points) / radius if radius < np.inf else np.zeros((60, 3))
        for depth, share in zip(15.0 * x, 15.0 * w, strict=True):
            strip = 2 * np.sqrt(225.0 - depth**2) * share * (1 - depth / radius)
            volumes = strip * w * piece.length / 2
            volume += volumes.sum()
            moment += volumes @ (points + depth * inward)
    assert part.volume == pytest.approx(volume, rel=1e-4)
    assert part.centre == pytest.approx(moment / volume, abs=1e-3)


def test_tapered_bar_is_a_frustum() -> None:
    taper = {"start": 40.0, "end": 20.0}
    tube = bar(0.0, [0.0, 0.0, 0.0], [300.0, 0.0, 0.0]) | {"od": taper}
    part = body(weighed({"t": tube}), "t")
    assert part.volume == pytest.approx(np.pi * 300.0 / 3 * (20**2 + 20 * 10 + 10**2))
    # Centroid of a frustum from the wide end (any mechanics handbook).
    assert part.centre[0] == pytest.approx(300 / 4 * (400 + 2 * 200 + 3 * 100) / 700)


def test_bar_run_through_by_another_loses_the_common_volume() -> None:
    """A bar of radius R that a thinner one crosses: ∫ 4 √(r² − y²) √(R² − y²) dy, both chords, gone."""
    tubes = {
        "first": bar(24.0, [0.0, 0.0, -100.0], [0.0, 0.0, 100.0]),
        "second": bar(36.0, [-100.0, 0.0, 0.0], [100.0, 0.0, 0.0]),
    }
    made = layout(tubes)
    assert made.tubes[1].cut_by == ("first",)
    masses = masses_of(made.frame)
    lost = np.pi * 18.0**2 * 200.0 - body(masses, "second").volume
    y = np.linspace(-12.0, 12.0, 200001)
    common = np.trapezoid(4 * np.sqrt(144.0 - y**2) * np.sqrt(324.0 - y**2), y)
    assert lost == pytest.approx(common, rel=5e-3)
    assert body(masses, "second").centre == pytest.approx((0.0, 0.0, 0.0), abs=1e-6)


def test_bar_cut_in_two_is_the_larger_piece() -> None:
    """As the solid is: what lies beyond a thicker bar 150 mm from its start is no part of it."""
    tubes = {
        "first": bar(40.0, [150.0, 0.0, -100.0], [150.0, 0.0, 100.0]),
        "second": bar(20.0, [0.0, 0.0, 0.0], [200.0, 0.0, 0.0]),
    }
    kept = body(weighed(tubes), "second")
    common = np.pi * 100.0 * (150.0 - 20.0)
    # Less than the straight piece up to the nearest side, by the rounding of the cut: R − √(R² − y²).
    y = np.linspace(-10.0, 10.0, 20001)
    hollow = np.trapezoid(2 * np.sqrt(100.0 - y**2) * (20.0 - np.sqrt(400.0 - y**2)), y)
    assert kept.volume == pytest.approx(common + hollow, rel=1e-3)
    assert kept.centre[0] < 66.0


def test_bores_take_what_they_reach() -> None:
    """A head tube of 50 × 4 bored to 44 for 20 mm at the top: a ring of π/4 (44² − 42²) × 20."""
    tube = {"head_tube": {"od": 50.0, "wall": 4.0}}
    plain = weighed(tube).bodies[0].volume
    bored = weighed(tube, headset={"upper": {"bore": 44.0, "depth": 20.0}}).bodies[0].volume
    assert plain == pytest.approx(np.pi / 4 * (50**2 - 42**2) * 115.0, rel=1e-9)
    assert plain - bored == pytest.approx(np.pi / 4 * (44**2 - 42**2) * 20.0, rel=1e-9)


def test_whole_frame_by_symmetry() -> None:
    made = hardtail_layout()
    masses = masses_of(made.frame)
    left, right = body(masses, "chainstay_left"), body(masses, "chainstay_right")
    assert left.grams == pytest.approx(right.grams, rel=1e-9)
    assert left.centre == pytest.approx(np.array(right.centre) * [1, -1, 1], abs=1e-6)
    assert masses.centre is not None
    assert masses.centre[1] == pytest.approx(0.0, abs=1e-6)
    assert masses.total == pytest.approx(sum(masses.parts.values()))
    assert list(masses.parts) == [*(t.name for t in made.tubes), "bottom_bracket"]
    # Each tube weighs at most its area times its length between its long points.
    for tube in made.tubes:
        s = np.linspace(tube.start.long_point, tube.axis.length - tube.end.long_point, 4001)
        most = np.mean(tube.section.area_at(s)) * (s[-1] - s[0])
        assert 0.93 * most < body(masses, tube.name).volume <= most * 1.0001


def test_shell_is_a_ring() -> None:
    masses = weighed({}, bottom_bracket={"shell": "threaded-73"})
    assert masses.bodies[0].volume == pytest.approx(np.pi / 4 * (40.0**2 - 33.65**2) * 73.0)


def test_nothing_weighs_nothing() -> None:
    masses = weighed({})
    assert masses.total == 0
    assert masses.centre is None
