"""Cuts of tubes by any target: against the closed form, and points that lie on both surfaces."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.geometry.centreline import Centreline
from frame3d.geometry.section import Section
from frame3d.geometry.vector import Point, point, vector
from frame3d.tubes.cuts.mitre import MissError, MitreCut, level, mitre_curve

DENSE = np.arange(0.0, 360.0, 0.25)


@dataclass(frozen=True)
class Bar:
    axis: Centreline
    section: Section


def straight(a: Point, b: Point, od: float, wall: float = 0.0) -> Bar:
    axis = Centreline.through((a, b), ())
    return Bar(axis, Section.round(axis.length, od, wall))


def oval(bar: Bar, height: float, width: float) -> Bar:
    length = bar.axis.length
    return Bar(bar.axis, Section((0.0, length), (height,) * 2, (width,) * 2, (0.0, 0.0)))


def tapered(bar: Bar, first: float, last: float) -> Bar:
    sizes = (first, last)
    return Bar(bar.axis, Section((0.0, bar.axis.length), sizes, sizes, (0.0, 0.0)))


def pair(
    r: float, R: float, angle: float, offset: float, wall: float = 0.0, at: str = "start"
) -> tuple[Bar, Bar]:
    """Branch and main tube as `mitre_curve` lays them down, turned and moved in space."""
    turn = np.array([[0.36, 0.48, -0.8], [-0.8, 0.6, 0.0], [0.48, 0.64, 0.6]])
    shift, theta = np.array([30.0, -12.0, 45.0]), np.radians(angle)

    def place(*xyz: float) -> Point:
        return point(turn @ np.array(xyz) + shift)

    main = straight(
        place(-200 * np.sin(theta), offset, -200 * np.cos(theta)),
        place(200 * np.sin(theta), offset, 200 * np.cos(theta)),
        2 * R,
    )
    ends = (place(0, 0, 0), place(0, 0, 400))
    return straight(*(ends if at == "start" else ends[::-1]), 2 * r, wall), main


@given(
    r=st.floats(5.0, 30.0),
    slack=st.one_of(st.just(0.0), st.floats(0.01, 20.0)),
    angle=st.floats(15.0, 165.0),
    share=st.floats(-1.0, 1.0),
    at=st.sampled_from(["start", "end"]),
)
@settings(max_examples=60, deadline=None)
def test_round_on_round_is_the_mitre_curve(
    r: float, slack: float, angle: float, share: float, at: Literal["start", "end"]
) -> None:
    offset = share * slack * 0.99
    branch, main = pair(r, r + slack, angle, offset, at=at)
    z = MitreCut(branch, at, main).z(DENSE)
    truth = mitre_curve(r, r + slack, angle, offset, DENSE)
    # The two count phi from different directions: compare the curves' values as sets.
    assert np.sort(z)[[0, -1]] == pytest.approx(np.sort(truth)[[0, -1]], abs=0.05 * r)
    least, most = MitreCut(branch, at, main).extremes()
    fine = mitre_curve(r, r + slack, angle, offset, np.arange(0.0, 360.0, 0.01))
    assert least == pytest.approx(fine.min(), abs=2e-4)
    assert most == pytest.approx(fine.max(), abs=2e-4)
    assert np.mean(z) == pytest.approx(np.mean(truth), abs=2e-3)


def hardly_tapered(bar: Bar) -> Bar:
    """The same but for a millionth of a micrometre, so that no closed form is taken."""
    od = bar.section.height[0]
    return tapered(bar, od, od + 1e-9)


@pytest.mark.parametrize("wider", [18.2, 16.5])
def test_edges_without_a_closed_form_agree_with_it(wider: float) -> None:
    branch, main = pair(15.875, wider, 75.0, 0.3)
    closed = MitreCut(branch, "start", main).z(DENSE)
    other = MitreCut(branch, "start", hardly_tapered(main)).z(DENSE)
    assert other == pytest.approx(closed, abs=1e-8)


def test_edges_that_miss_in_part_agree_with_the_closed_form() -> None:
    """A branch that reaches 3 mm past the side of its target: missed by the same lines."""
    branch, main = pair(12.0, 15.0, 75.0, 6.0)
    closed = MitreCut(branch, "start", main).z(DENSE)
    other = MitreCut(branch, "start", hardly_tapered(main)).z(DENSE)
    assert 0 < np.isnan(closed).sum() < len(DENSE)
    assert (np.isnan(other) == np.isnan(closed)).all()
    met = ~np.isnan(closed)
    assert other[met] == pytest.approx(closed[met], abs=1e-4)  # steep where the lines touch


def test_a_target_that_is_met_twice_is_cut_at_the_side_of_the_tubes_middle() -> None:
    """Every line of the branch meets a round target twice, a tapered one too: the further one counts."""
    branch, main = pair(12.0, 20.0, 90.0, 0.0)
    z = MitreCut(branch, "start", hardly_tapered(main)).z(DENSE)
    assert z.min() == pytest.approx(16.0, abs=1e-4)  # sqrt(20² - 12²), and not -16
    assert z.max() == pytest.approx(20.0, abs=1e-4)


def test_inner_wall_follows_the_curve_of_the_bore() -> None:
    """For the bore's edge the curve takes r − t (the project's list of check values)."""
    branch, main = pair(15.875, 18.2, 75.0, 0.0, wall=0.9)
    z = MitreCut(branch, "start", main).z(DENSE, depth=1.0)
    truth = mitre_curve(15.875 - 0.9, 18.2, 75.0, 0.0, DENSE)
    assert z.min() == pytest.approx(truth.min(), abs=1e-3)
    assert z.max() == pytest.approx(truth.max(), abs=1e-3)


BENT = Bar(
    Centreline.through(((-150.0, -10.0, 0.0), (0.0, 10.5, 0.0), (150.0, -10.0, 40.0)), (90.0,)),
    Section((0.0, 290.0), (26.0, 16.0), (14.0, 16.0), (0.0, 0.0)),
)
UPRIGHT = straight((0.0, 10.0, 0.0), (-30.0, 5.0, 200.0), 12.0, 1.0)
TARGETS = {
    "oval": oval(straight((-100.0, 8.0, -20.0), (100.0, 13.0, 10.0), 30.0), 34.0, 22.0),
    "tapered": tapered(straight((-100.0, 10.0, -20.0), (100.0, 10.0, 10.0), 30.0), 42.0, 24.0),
    "bent, oval and tapered": BENT,
}
BRANCHES = {
    "round": UPRIGHT,
    "oval": oval(UPRIGHT, 10.0, 12.0),
    "tapered": tapered(UPRIGHT, 13.0, 9.0),
    "bent": Bar(
        Centreline.through(((0.0, 10.0, 0.0), (-4.0, 8.0, 28.0), (-60.0, 5.0, 150.0)), (60.0,)),
        UPRIGHT.section,
    ),
}


@pytest.mark.parametrize("target", TARGETS.values(), ids=TARGETS)
@pytest.mark.parametrize("depth", [0.0, 1.0])
@pytest.mark.parametrize("branch", BRANCHES.values(), ids=BRANCHES)
def test_several_depths_at_once_are_those_one_by_one(
    branch: Bar, target: Bar, depth: float
) -> None:
    phi = np.arange(0.0, 360.0, 7.0)
    depths = np.repeat([depth, 0.3], len(phi))
    together = MitreCut(branch, "start", target).edge_z(np.tile(phi, 2), depths)
    cut = MitreCut(branch, "start", target)
    apart = np.concatenate([cut.edge_at(phi, one).z for one in (depth, 0.3)])
    assert together == pytest.approx(apart, abs=1e-8)


@pytest.mark.parametrize("target", TARGETS.values(), ids=TARGETS)
@pytest.mark.parametrize("depth", [0.0, 1.0])
@pytest.mark.parametrize("branch", BRANCHES.values(), ids=BRANCHES)
def test_edges_lie_on_both_surfaces(branch: Bar, target: Bar, depth: float) -> None:
    cut = MitreCut(branch, "start", target)
    edge = cut.edge(120, depth)
    assert edge.meets.all()
    outside, _ = level(target, edge.points)
    assert outside == pytest.approx(np.zeros(120), abs=1e-8)
    if depth == 0.0:
        on_branch, _ = level(branch, edge.points)
        assert on_branch == pytest.approx(np.zeros(120), abs=1e-6)
    # Toward the tube's middle it is free of the target, so it is the crossing nearest to that.
    for beyond in (1e-6, 0.05, *np.linspace(0.5, 60.0, 40)):
        free, _ = level(target, cut.surface(edge.phi, edge.z + beyond, depth))
        assert (free > 0).all()
    if depth == 0.0:
        least, most = cut.extremes()
        z = cut.z(np.arange(0.0, 360.0, 0.5))
        assert least == pytest.approx(z.min(), abs=2e-3)
        assert most == pytest.approx(z.max(), abs=2e-3)


def test_level_is_the_distance_to_a_round_tube() -> None:
    rng = np.random.default_rng(7)
    points = rng.uniform(-80, 80, (200, 3))
    tube = straight((0.0, 0.0, -10.0), (5.0, 3.0, 20.0), 30.0)
    along = vector(tube.axis.end) - vector(tube.axis.start)
    arm = np.cross(points - vector(tube.axis.start), along / np.linalg.norm(along))
    truth = np.linalg.norm(arm, axis=1) - 15.0
    assert level(tube, points)[0] == pytest.approx(truth, abs=1e-9)


def test_part_that_passes_by_is_cut_square() -> None:
    """A stay beside a narrower tube: what misses it starts where the rest is longest, or sooner."""
    seat = straight((0.0, 0.0, -100.0), (0.0, 0.0, 100.0), 28.6)
    stay = straight((0.0, 12.0, 0.0), (-200.0, 30.0, -150.0), 16.0)
    cut = MitreCut(stay, "start", seat)
    edge = cut.edge(360)
    assert 0 < edge.meets.sum() < 360
    least, most = cut.extremes()
    assert least <= 0.0
    assert edge.z[~edge.meets] == pytest.approx(np.full((~edge.meets).sum(), least))
    assert most == pytest.approx(edge.z.max(), abs=0.05)
    on = level(seat, edge.points)[0]
    assert on[edge.meets] == pytest.approx(np.zeros(edge.meets.sum()), abs=1e-8)
    assert (on[~edge.meets] > 0).all()


def test_a_tube_that_misses_altogether() -> None:
    seat = straight((0.0, 0.0, -100.0), (0.0, 0.0, 100.0), 28.6)
    stay = straight((0.0, 40.0, 0.0), (-200.0, 40.0, 0.0), 16.0)
    with pytest.raises(MissError):
        MitreCut(stay, "start", seat).extremes()
    with pytest.raises(MissError):
        MitreCut(stay, "start", seat).edge()


def test_abscissa_is_the_developed_length() -> None:
    """Of a round tube s = r φ; the ellipse's circumference by the arithmetic-geometric mean."""
    branch, main = pair(10.0, 15.0, 80.0, 0.0)
    edge = MitreCut(branch, "start", main).edge(360)
    assert edge.abscissa == pytest.approx(10.0 * np.radians(edge.phi))
    flat = MitreCut(oval(branch, 30.0, 17.0), "start", main)
    closed = flat.edge_at(np.array([0.0, 90.0, 180.0, 360.0])).abscissa
    a, b, total, power = 15.0, 8.5, 0.0, 1.0
    c = a * a - b * b
    first = a
    while power * c > 1e-15:  # Gauss: perimeter = 2π (a² − Σ 2^(n−1) cₙ²) / agm(a, b)
        total += power / 2 * c
        a, b = (a + b) / 2, np.sqrt(a * b)
        c, power = a * a - b * b, 2 * power
    perimeter = 2 * np.pi * (first**2 - total) / a
    assert closed[3] == pytest.approx(perimeter, rel=1e-6)
    assert closed[2] == pytest.approx(perimeter / 2, rel=1e-6)
    assert closed[1] == pytest.approx(perimeter / 4, rel=1e-6)


def test_both_ends_share_their_zero_line() -> None:
    """A tube between two parallel ones: the same edge at either end, mirrored along the axis."""
    low = straight((-100.0, 0.0, 0.0), (100.0, 0.0, 0.0), 30.0)
    high = straight((-100.0, 0.0, 300.0), (100.0, 0.0, 300.0), 30.0)
    tube = straight((0.0, 3.0, 0.0), (0.0, 3.0, 300.0), 20.0)
    start, end = MitreCut(tube, "start", low).edge(90), MitreCut(tube, "end", high).edge(90)
    assert end.z == pytest.approx(start.z, abs=1e-9)
    assert end.points[:, :2] == pytest.approx(start.points[:, :2], abs=1e-9)


@pytest.mark.parametrize("angle", [90.0, 60.0, 40.0, 12.0, 4.3])
@pytest.mark.parametrize("R", [16.0, 18.2, 25.0])
def test_the_feather_edge_is_where_the_surfaces_lean_less_than_15_degrees(
    R: float, angle: float
) -> None:
    """By hand: the target's normal at the edge is its radius there, so the sine of the angle between
    the branch's side and the target is sin θ √(1 − (r sin φ / R)²).
    """
    branch, main = pair(16.0, R, angle, 0.0)
    phi = np.arange(0.0, 360.0, 5.0)
    lean = np.sin(np.radians(angle)) * np.sqrt(1 - (16.0 * np.sin(np.radians(phi)) / R) ** 2)
    thin = lean < np.sin(np.radians(15.0)) + 1e-6
    z = mitre_curve(16.0, R, angle, 0.0, phi)
    expected = float(np.ptp(z))  # below 15° all of it is one
    if angle > 15.0:
        ears = [z[thin & (np.abs(phi - ear) < 90)] for ear in (90.0, 270.0)]
        expected = max(float(np.ptp(ear)) if len(ear) else 0.0 for ear in ears)
    assert MitreCut(branch, "start", main).feather == pytest.approx(expected, abs=2.5)
