"""Lines of pairs: the smallest gap of each, and whether it comes nearer than a limit."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from frame3d.bodies.shapes import Torus
from frame3d.clearance.lines import Line, between, come_near, judged, least, nearest_of
from frame3d.clearance.scene import Scene
from tests.clearance.test_pairs import by_name


def test_the_least_of_several_is_that_of_the_nearest(scene: Scene) -> None:
    """With a certificate that holds for all of them together."""
    (tyre,) = by_name(scene, "rear_tyre")
    stays = by_name(scene, "chainstay_left", "seatstay_left", "seat_tube", "chainstay_bridge")
    each = [between(tyre, stay, scene, ()) for stay in stays]
    line, alone = [(tyre, stay) for stay in stays], [(tyre, stays[3])]
    found, last, nothing = least([line, alone, []], [()] * 3, scene.tolerance)
    assert found is not None
    gap, which = found
    gaps = [g.gap for g in each if g is not None]
    assert len(gaps) == 4
    assert gap.gap == pytest.approx(min(gaps), abs=scene.tolerance)
    assert which == gaps.index(min(gaps))
    assert gap.gap - gap.error <= min(gaps) + 1e-9
    assert last is not None
    assert last[0].gap == pytest.approx(gaps[3], abs=scene.tolerance)
    assert nothing is None
    assert least([], [], scene.tolerance) == []


def test_a_limit_within_the_certificate_is_decided_alike_both_ways(scene: Scene) -> None:
    """With certificates 1 mm wide; what is proven first needs none, and no gap passes that is less."""
    tyre, stay = by_name(scene, "rear_tyre", "chainstay_left")
    fine = between(tyre, stay, scene, ())
    assert fine is not None
    verdicts = []
    for above in np.linspace(-1.2, 0.3, 16):
        limit = fine.gap + float(above)
        line = Line([(tyre, stay)], [0.0], limit, math.inf, (), 1.0)
        (whole,) = judged([line], scene, only_short=False)
        (short,) = judged([line], scene, only_short=True)
        assert whole is not None
        passes = whole[0].gap - whole[0].error >= limit
        assert whole[0].gap - whole[0].error <= fine.gap + 1e-9
        assert passes or short == whole
        assert not passes or short is None or short[0].gap - short[0].error >= limit
        verdicts.append(passes)
    assert verdicts == sorted(verdicts, reverse=True)
    assert verdicts[0]
    assert not any(verdicts[12:])  # above the gap


def test_whether_lines_come_near_is_told_as_their_gaps_say(scene: Scene) -> None:
    """Of a line with several pairs too, and of one that overlaps, by limits on either side of each gap."""
    (tyre,) = by_name(scene, "rear_tyre")
    stays = by_name(scene, "chainstay_left", "seatstay_left", "seat_tube", "chainstay_bridge")
    lines = [[(tyre, stay)] for stay in stays]
    lines += [[(tyre, stay) for stay in stays], [by_name(scene, "stem", "handlebar")], []]
    gaps = [
        math.inf if one is None else one[0].gap
        for one in least(lines, [()] * len(lines), scene.tolerance)
    ]
    assert gaps[4] == pytest.approx(min(gaps[:4]), abs=scene.tolerance)
    assert gaps[5] < 0
    for more, are_near in ((-2 * scene.tolerance, False), (2 * scene.tolerance, True)):
        limits = np.array([max(gap, 0.0) + more if gap < math.inf else 5.0 for gap in gaps])
        found = come_near(lines, [()] * len(lines), scene.tolerance, limits)
        assert found == [are_near] * 5 + [True, False]
    assert come_near([], [], scene.tolerance, np.zeros(0)) == []


def test_the_nearest_of_many_pairs(scene: Scene) -> None:
    (tyre,) = by_name(scene, "front_tyre")
    pairs = [(tyre, body) for body in scene.frame()]
    found = nearest_of(pairs, scene, (), scene.tolerance)
    (alone,) = least([pairs], [()], scene.tolerance)
    assert found is not None
    assert alone is not None
    assert found[0].gap == pytest.approx(alone[0].gap, abs=scene.tolerance)
    assert nearest_of([], scene, (), scene.tolerance) is None


@pytest.mark.parametrize("wider", [0.0, 20.0])
def test_twins_change_nothing_but_the_time(scene: Scene, wider: float) -> None:
    """A line of left and right has the result that it has where none is told to be the other's image.

    Where the tyre is so wide that it stands in the stays too: depths are searched on both sides.
    """
    tyre, *stays = by_name(scene, "rear_tyre", "chainstay_left", "chainstay_right")
    (placed,) = tyre.shapes
    assert isinstance(placed.shape, Torus)
    fat = replace(placed, shape=replace(placed.shape, tube_radius=placed.shape.tube_radius + wider))
    tyre = replace(tyre, shapes=(fat,), tubes=())
    pairs = [(tyre, stay) for stay in stays]
    line = Line(pairs, [0.0, 0.0], 6.0, math.inf, scene.ranges(("rear",)), 0.01)
    told = replace(line, twins={1}, exact={1})
    (whole,) = judged([line], scene, only_short=False)
    (half,) = judged([told], scene, only_short=False)
    assert whole is not None
    assert half is not None
    assert (whole[0].gap < 0) == (wider > 0)
    assert half[1] == whole[1]
    assert half[0].gap == pytest.approx(whole[0].gap, abs=1e-9)
    assert half[0].error == pytest.approx(whole[0].error, abs=1e-9)
    assert (judged([told], scene, only_short=True) == [None]) == (wider == 0)


def test_the_same_pair_of_several_lines_has_the_gap_of_each(scene: Scene) -> None:
    """However far each of them looks; None where that is nearer than the pair."""
    tyre, stay = by_name(scene, "rear_tyre", "chainstay_left")
    alone = between(tyre, stay, scene, ())
    assert alone is not None
    fars = (math.inf, alone.gap + 5.0, alone.gap - 5.0)
    lines = [Line([(tyre, stay)], [0.0], 0.0, far) for far in fars]
    assert judged(lines, replace(scene, memory=None), only_short=False) == [
        (alone, (tyre, stay)),
        (alone, (tyre, stay)),
        None,
    ]
