"""Where lines of a tapered tube leave a straight target: they lie on it, and outside from there on."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
import pytest

from frame3d.geometry.arrays import Array
from frame3d.geometry.centreline import Centreline
from frame3d.geometry.section import Section
from frame3d.geometry.vector import Point, point
from frame3d.tubes.cuts.mitre import MitreCut, level
from frame3d.tubes.cuts.straight_lines import StraightLines, cones_about

PHI: Array = np.arange(0.0, 360.0, 10.0)
LENGTH = 300.0


@dataclass(frozen=True)
class Bar:
    axis: Centreline
    section: Section


def bar(a: Point, b: Point, s: tuple[float, ...], height: tuple[float, ...], width: tuple[float, ...],
        wall: tuple[float, ...]) -> Bar:  # fmt: skip
    return Bar(Centreline.through((a, b), ()), Section(s, height, width, wall))


def head_tube(first: float = 44.0, last: float = 56.0) -> Bar:
    """A target along z from -100 to 100 that widens from 40 to 160 mm of its length."""
    sizes = (first, first, last, last)
    return bar(
        (0.0, 0.0, -100.0), (0.0, 0.0, 100.0), (0.0, 40.0, 160.0, 200.0), sizes, sizes, (2.0,) * 4
    )


def branch(start: Array, along: Array, at: Literal["start", "end"], sizes: Array) -> Bar:
    """A tube that keeps its size for 8 mm from an end, then changes it over 90 mm, wall and all."""
    ends = (point(start), point(start + LENGTH * along))
    (h0, h1), (w0, w1) = sizes.tolist()
    s = np.array([0.0, 8.0, 98.0, LENGTH])
    rows = (h0, h0, h1, h1), (w0, w0, w1, w1), (1.2, 1.2, 0.8, 0.8)
    if at == "end":
        ends, s, rows = ends[::-1], (LENGTH - s)[::-1], tuple(row[::-1] for row in rows)  # type: ignore[assignment]
    return bar(*ends, tuple(s.tolist()), *rows)


def lines_of(tube: Bar, at: Literal["start", "end"], target: Bar) -> tuple[MitreCut, StraightLines]:
    cut = MitreCut(tube, at, target)
    up, across = target.axis.frame(cut.where)
    a, b = (float(x) for x in target.section.radii_at(cut.where))
    basis = np.stack((up / a, across / b, target.axis.tangent(cut.where)), axis=1)
    rows = np.stack((cut.point - target.axis.at(cut.where), cut.up, cut.across, cut.along)) @ basis
    cones = cones_about(target, cut.where)
    assert cones
    return cut, StraightLines(tube, at, cones, rows.tolist())


def levels(cut: MitreCut, z: Array, depth: Array, phi: Array = PHI) -> Array:
    return level(cut.target, cut.surface(phi, z, depth))[0]


@pytest.mark.parametrize("seed", range(60))
def test_edges_lie_on_the_target_and_metal_outside_of_it(seed: int) -> None:
    random = np.random.default_rng(seed)
    target = head_tube() if seed % 3 else head_tube(48.0, 48.0)
    along = random.normal(size=3)
    along[2] *= 0.4
    along /= np.linalg.norm(along)
    aside = np.cross(along, (0.0, 0.0, 1.0))
    start = aside * random.uniform(-8, 8) + (0.0, 0.0, random.uniform(-95, 95))
    at: Literal["start", "end"] = "start" if seed % 2 else "end"
    tube = branch(start, along, at, random.uniform(14, 40, size=(2, 2)))
    cut, lines = lines_of(tube, at, target)
    depth = random.uniform(0, 1, len(PHI))
    z = lines.z(PHI, depth)
    if z is None:  # a line leaves it beyond the tube's straight part
        return
    met = ~np.isnan(z)
    assert np.abs(levels(cut, z[met], depth[met], PHI[met])).max(initial=0.0) < 1e-11
    for further in (0.01, 1.0, 10.0):
        assert np.all(levels(cut, z[met] + further, depth[met], PHI[met]) > 0.0)
    for place in np.linspace(-60.0, 60.0, 49):  # a line that misses is outside everywhere
        missed = np.full(int((~met).sum()), place)
        assert np.all(levels(cut, missed, depth[~met], PHI[~met]) > 0.0)


def test_most_random_tubes_have_such_lines() -> None:
    """So that the test above tests something, of cones and of tapers past their even part."""
    random = np.random.default_rng(0)
    found = past = 0
    for _ in range(40):
        along = np.array([1.0, random.uniform(-0.3, 0.3), random.uniform(-0.6, 0.6)])
        along /= np.linalg.norm(along)
        tube = branch(np.array([0.0, 0.0, random.uniform(-40, 40)]), along, "start",
                      random.uniform(20, 36, size=(2, 2)))  # fmt: skip
        _, lines = lines_of(tube, "start", head_tube())
        z = lines.z(PHI)
        found += z is not None
        past += z is not None and bool(np.nanmax(z) > 8.0)
    assert found >= 38
    assert past >= 20


def test_a_cone_against_its_closed_form() -> None:
    """A line square to a cone's axis, through it: it leaves where the cone has its radius there."""
    target = head_tube()
    tube = bar(
        (0.0, 0.0, 0.0), (300.0, 0.0, 0.0), (0.0, 300.0), (20.0,) * 2, (20.0,) * 2, (1.0,) * 2
    )
    _, lines = lines_of(tube, "start", target)
    z = lines.z(np.array([0.0, 180.0]))
    assert z is not None
    # Along z the target's radius is 22 + 6 (h + 60) / 120 at a height h from its middle.
    heights = sorted(22 + 6 * (h + 60) / 120 for h in (-10.0, 10.0))
    assert sorted(z.tolist()) == pytest.approx(heights, abs=1e-12)


def test_none_where_the_target_is_another() -> None:
    bent = Bar(
        Centreline.through(((0.0, 0.0, -200.0), (0.0, 0.0, 0.0), (80.0, 0.0, 180.0)), (120.0,)),
        Section.round(400.0, 30.0, 1.0),
    )
    starts = bent.axis.starts.tolist()
    assert cones_about(bent, (starts[1] + starts[2]) / 2) == ()
    assert [cone.low for cone in cones_about(bent, 30.0)] == [-math.inf]
    assert [cone.high for cone in cones_about(bent, 30.0)] == [starts[1] - 30.0]
    oval = bar(
        (0.0, 0.0, 0.0), (0.0, 0.0, 200.0), (0.0, 200.0), (30.0, 50.0), (30.0, 40.0), (1.0,) * 2
    )
    assert cones_about(oval, 100.0) == ()


def test_stretches_of_a_target_join_and_have_its_sizes() -> None:
    """Even stretches and what is beyond the ends are one; sizes are those of the section."""
    target = head_tube()
    cones = cones_about(target, 50.0)
    assert [(cone.low, cone.high) for cone in cones] == [
        (-math.inf, -10.0),
        (-10.0, 110.0),
        (110.0, math.inf),
    ]
    for cone in cones:
        for s in (max(cone.low, -200.0), min(cone.high, 200.0)):
            height = float(target.section.height_at(50.0 + s))
            share = height / float(target.section.height_at(50.0))
            assert cone.size + cone.growth * s == pytest.approx(share, rel=1e-12)


def test_none_beyond_the_straight_part() -> None:
    axis = Centreline.through(((0.0, 0.0, 0.0), (60.0, 0.0, 0.0), (200.0, 60.0, 0.0)), (150.0,))
    tube = Bar(axis, Section.round(axis.length, 30.0, 1.0))
    first = axis.starts.tolist()[1]
    for radius, is_known in ((first - 1.0, True), (first + 5.0, False)):
        _, lines = lines_of(tube, "start", head_tube(2 * radius, 2 * radius))
        assert (lines.z(PHI) is not None) == is_known


def test_steps_of_the_walls_count_too() -> None:
    """A depth of the wall leans where only the wall changes."""
    s, even = (0.0, 10.0, 60.0, 300.0), (30.0,) * 4
    tube = bar((0.0, 0.0, 0.0), (300.0, 0.0, 0.0), s, even, even, (2.0, 2.0, 0.8, 0.8))
    cut, lines = lines_of(tube, "start", head_tube(48.0, 48.0))
    inner = lines.z(PHI, 1.0)
    assert inner is not None
    assert np.abs(levels(cut, inner, np.ones(len(PHI)))).max() < 1e-11
    plain = bar(
        (0.0, 0.0, 0.0), (300.0, 0.0, 0.0), (0.0, 300.0), (30.0,) * 2, (30.0,) * 2, (2.0,) * 2
    )
    _, lines = lines_of(plain, "start", head_tube(48.0, 48.0))
    other = lines.z(PHI, 1.0)
    assert other is not None
    assert np.abs(inner - other).max() > 0.1
