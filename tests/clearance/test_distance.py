"""Gaps and their certificates, by brute force and by invariance; formulas of the tests' own (brute.py)."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from frame3d.bodies.motion.pose import Pose
from frame3d.bodies.shapes import PlacedShape, Prism, Tubular, prism
from frame3d.clearance.certify.distance import Apart, Gap, measured, nearest, prepare
from frame3d.clearance.certify.motion import Range
from frame3d.geometry.centreline import Arc, Centreline, Line
from frame3d.geometry.section import Section
from frame3d.geometry.vector import mirrored, point, vector
from tests.clearance import brute
from tests.clearance.samples import SHAPES, TUBES, a_pair, axes, mounts
from tests.sampling import diagonal, first

KINDS = [(t, s) for t in TUBES for s in SHAPES]


def found(tube: Tubular, shape: PlacedShape, *ranges: Range, tolerance: float = 0.01) -> Gap:
    gap = nearest(tube, shape, ranges, tolerance=tolerance)
    assert isinstance(gap, Gap)
    return gap


@pytest.mark.parametrize(("tube", "shape"), diagonal(3, TUBES, SHAPES))
def test_no_sampled_point_beats_a_certified_gap(tube: str, shape: str) -> None:
    """Over a million points of tubes' outsides in all: none is nearer to its shape than certified."""
    random = np.random.default_rng([TUBES.index(tube), SHAPES.index(shape)])
    separate = 0
    for _ in range(6):
        body, placed = a_pair(tube, shape, random, spread=250)
        gap = found(body, placed)
        assert gap.error <= 0.01 + 1e-9 or gap.gap < 0
        near = brute.signed(
            placed.shape, brute.into(body, placed, Pose(), brute.skin(body, 5000, random))
        ).min()
        if gap.gap > 0:
            separate += 1
            assert near >= gap.gap - gap.error - 1e-9
            # The witnesses lie on both surfaces, as far apart as the gap.
            p, q = vector(gap.tube_point), vector(gap.shape_point)
            assert np.linalg.norm(p - q) == pytest.approx(gap.gap, abs=1e-6)
            own = brute.into(body, placed, Pose(), np.array([p, q]))
            d = brute.signed(placed.shape, own)
            assert d[0] == pytest.approx(gap.gap, abs=1e-6)
            assert d[1] == pytest.approx(0.0, abs=1e-6)
            assert brute.distance_to_tube(body, p) < 0.02
        elif near > 0.05:
            # Overlapping though no sampled point of the outside is inside: one swallows the other.
            assert gap.saturated or gap.gap > -1.0
    assert separate > 0


@pytest.mark.parametrize("seed", first(8, range(24)))
def test_no_sampled_pose_beats_a_certified_gap(seed: int) -> None:
    """A quarter of a million sampled (pose, point) a pair of moving bodies."""
    random = np.random.default_rng(seed)
    body, placed = a_pair(TUBES[seed % 6], SHAPES[seed % 8], random, spread=300)
    (of_tube, of_shape), ranges = mounts(random)
    body, placed = replace(body, mount=of_tube), replace(placed, mount=of_shape)
    gap = found(body, placed, *ranges)
    skin = brute.skin(body, 1000, random)
    least = np.inf
    for _ in range(250):
        pose = Pose(**{r.name: float(random.uniform(r.low, r.high)) for r in ranges})
        least = min(least, brute.signed(placed.shape, brute.into(body, placed, pose, skin)).min())
    if gap.gap > 0:
        assert least >= gap.gap - gap.error - 1e-9
        p, q = vector(gap.tube_point), vector(gap.shape_point)
        assert np.linalg.norm(p - q) == pytest.approx(gap.gap, abs=1e-6)
    else:
        assert gap.gap <= 0
    for r in ranges:
        assert r.low - 1e-9 <= gap.at[r.name] <= r.high + 1e-9


def moved(
    tube: Tubular, shape: PlacedShape, turn: np.ndarray, by: np.ndarray
) -> tuple[Tubular, PlacedShape]:
    """Both bodies moved as one: turn (3, 3) and shift (3,)."""

    def put(p: tuple[float, float, float]) -> tuple[float, float, float]:
        return point(turn @ vector(p) + by)

    pieces = tuple(
        Line(put(x.start), put(x.end))
        if isinstance(x, Line)
        else Arc(put(x.start), put(x.end), put(x.centre), x.radius, x.angle)
        for x in tube.axis.pieces
    )
    rows = tuple(point(turn @ vector(a)) for a in shape.axes)
    a, b, c = rows
    return (
        replace(tube, axis=Centreline(pieces)),
        replace(shape, origin=put(shape.origin), axes=(a, b, c)),
    )


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("tube", ["straight", "tapered", "bent", "bent and tapered"])
def test_gaps_do_not_depend_on_where_the_two_stand(tube: str, shape: str) -> None:
    """Round tubes: their sections do not know which way is up."""
    random = np.random.default_rng([3, TUBES.index(tube), SHAPES.index(shape)])
    body, placed = a_pair(tube, shape, random)
    gap = found(body, placed, tolerance=1e-4)
    other = found(
        *moved(body, placed, axes(random).T, random.uniform(-500, 500, 3)), tolerance=1e-4
    )
    assert other.gap == pytest.approx(gap.gap, abs=2.1e-4)


@pytest.mark.parametrize(("tube", "shape"), KINDS)
def test_gaps_do_not_depend_on_which_end_is_the_start(tube: str, shape: str) -> None:
    random = np.random.default_rng([5, TUBES.index(tube), SHAPES.index(shape)])
    body, placed = a_pair(tube, shape, random)
    pieces = tuple(
        Line(x.end, x.start)
        if isinstance(x, Line)
        else Arc(x.end, x.start, x.centre, x.radius, x.angle)
        for x in reversed(body.axis.pieces)
    )
    length, old = body.axis.length, body.section
    section = Section(
        tuple(length - s for s in reversed(old.s)),
        old.height[::-1],
        old.width[::-1],
        old.wall[::-1],
    )
    back = replace(body, axis=Centreline(pieces), section=section, flat=body.flat[::-1])
    assert found(back, placed, tolerance=1e-4).gap == pytest.approx(
        found(body, placed, tolerance=1e-4).gap, abs=2.1e-4
    )


@pytest.mark.parametrize(
    ("tube", "shape"), [k for k in KINDS if k[1] not in ("ring", "disc", "cylinder")]
)
def test_gaps_are_the_same_in_the_mirror(tube: str, shape: str) -> None:
    """Across the centre plane; all shapes but a prism are their own mirror image in their own x."""
    random = np.random.default_rng([7, TUBES.index(tube), SHAPES.index(shape)])
    body, placed = a_pair(tube, shape, random)
    a, b, c = (mirrored(x) for x in placed.axes)
    # Turning the first direction round makes the axes right-handed again; all these shapes allow it, a prism with its own profile.
    flipped = replace(placed, origin=mirrored(placed.origin), axes=((-a[0], -a[1], -a[2]), b, c))
    if isinstance(placed.shape, Prism):
        own = prism([(-x, y) for x, y in placed.shape.profile], 2 * placed.shape.half)
        flipped = replace(flipped, shape=own)
    twin = replace(body, axis=body.axis.mirrored())
    assert found(twin, flipped, tolerance=1e-4).gap == pytest.approx(
        found(body, placed, tolerance=1e-4).gap, abs=2.1e-4
    )


def test_a_cutoff_is_true() -> None:
    random = np.random.default_rng(11)
    for _ in range(60):
        body, placed = a_pair(TUBES[random.integers(6)], SHAPES[random.integers(8)], random)
        gap = found(body, placed)
        for cutoff in (gap.gap - 5, gap.gap - 0.5, gap.gap + 0.5):
            other = nearest(body, placed, cutoff=cutoff)
            if isinstance(other, Apart):
                assert other.beyond <= gap.gap + 1e-9
                assert gap.gap >= cutoff - 0.011
            else:
                assert other.gap == pytest.approx(gap.gap, abs=0.011)
        assert isinstance(nearest(body, placed, cutoff=gap.gap + 1), Gap)


def test_many_pairs_at_once_are_as_each_alone() -> None:
    random = np.random.default_rng(13)
    pairs = [a_pair(t, s, random) for t, s in KINDS]
    together = measured([prepare(*pair) for pair in pairs])
    for pair, gap in zip(pairs, together, strict=True):
        assert gap == nearest(*pair)


def test_a_coarse_grid_of_poses_misses_what_the_search_finds() -> None:
    """As a builder's 41 steps would; the certified search is never above the grid's least."""
    random = np.random.default_rng(17)
    missed = 0.0
    for _ in range(12):
        body, placed = a_pair("straight", "box", random, spread=120)
        (of_tube, of_shape), _ = mounts(random)
        turn = [Range("steer", -60.0, 60.0)]
        steps = {s.name for s in (*of_tube.steps, *of_shape.steps)}
        if "steer" not in steps:
            continue
        body, placed = replace(body, mount=of_tube), replace(placed, mount=of_shape)
        best = found(body, placed, *turn)
        grid = min(
            found(body, placed, Range("steer", float(a), float(a))).gap
            for a in np.linspace(-60, 60, 41)
        )
        assert best.gap <= grid + 1e-6 + 0.01
        missed = max(missed, grid - best.gap)
    assert missed > 0.01


def test_a_tolerance_too_fine_to_mean_anything_is_refused() -> None:
    random = np.random.default_rng(1)
    with pytest.raises(ValueError, match="tolerance"):
        nearest(*a_pair("straight", "torus", random), tolerance=0.0)
