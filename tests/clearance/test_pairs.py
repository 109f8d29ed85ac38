"""Checks between bodies: what is measured, and what counts as joined."""

from __future__ import annotations

import pytest

from frame3d.bodies import Body
from frame3d.bodies.motion.mounts import MOTIONS
from frame3d.clearance.check import run_checks
from frame3d.clearance.lines import between
from frame3d.clearance.pair_lists import joined
from frame3d.clearance.pairs import (
    PAIRS,
    Plan,
    entry_of,
    measured,
    motions_of,
    plan,
    run,
)
from frame3d.clearance.result import Report, Result, Unchecked
from frame3d.clearance.scene import Scene
from frame3d.clearance.table import KINDS
from tests.clearance.test_check import scene_with


def test_points_are_as_far_apart_as_the_gap(report: Report) -> None:
    for r in report.results:
        if r.points is not None and r.gap > 0 and r.between != ("pedal", "front_tyre"):
            p, q = r.points
            apart = sum((a - b) ** 2 for a, b in zip(p, q, strict=True)) ** 0.5
            assert apart == pytest.approx(r.gap, abs=1e-6), r.name


def test_a_wider_tyre_closes_the_gap_by_half_its_width() -> None:
    """The tyre's flank comes 1 mm nearer the stay a side for 2 mm more width, its radius grows too."""
    only = frozenset({"rear_tyre_to_frame"})

    def gap(width: int) -> float:
        scene = scene_with().with_parts({"build.rear_wheel.tyre": f"{width}-622"})
        results = run_checks(scene, names=only).results
        return next(
            r.gap
            for r in results
            if r.between and "chainstay" in r.between[1] and "bridge" not in r.between[1]
        )

    assert -3 < gap(63) - gap(61) < -1


def by_name(scene: Scene, *names: str) -> tuple[Body, ...]:
    found = tuple(scene.body(name) for name in names)
    assert all(found)
    return found  # type: ignore[return-value]


def test_what_touches_by_design_is_joined_either_way_round(scene: Scene) -> None:
    for a, b, together in (
        ("rear_caliper", "rear_rotor", True),
        ("front_tyre", "front_rim", True),
        ("fork_crown", "fork_arch", True),
        ("down_tube", "bottom_bracket", True),
        ("rear_tyre", "chainstay_left", False),
        ("rear_tyre", "front_tyre", False),
    ):
        one, other = by_name(scene, a, b)
        assert joined(one, other) is joined(other, one) is together, (a, b)


def test_a_gap_does_not_depend_on_which_comes_first(scene: Scene) -> None:
    tyre, stay = by_name(scene, "rear_tyre", "chainstay_left")
    one, other = between(tyre, stay, scene, ()), between(stay, tyre, scene, ())
    assert one is not None
    assert other is not None
    assert one.gap == pytest.approx(other.gap, abs=scene.tolerance)
    assert between(tyre, stay, scene, (), cutoff=one.gap - 1) is None
    assert between(tyre, stay, scene, (), cutoff=one.gap + 1) is not None


def test_more_motions_never_make_a_gap_larger(scene: Scene) -> None:
    tyre, tube = by_name(scene, "front_tyre", "down_tube")
    gaps = []
    for motions in ((), ("fork",), ("fork", "steer")):
        found = between(tyre, tube, scene, motions)
        assert found is not None
        gaps.append(found.gap)
    assert gaps[0] > gaps[1] - scene.tolerance
    assert gaps[1] > gaps[2] - scene.tolerance
    assert gaps[0] - gaps[1] > 100  # 130 mm of travel bring it up to the down tube


def test_only_what_falls_short_is_measured_where_that_is_asked(scene: Scene) -> None:
    rear = next(check for check in PAIRS if check.name == "rear_tyre_to_frame")
    whole, short = list(run(rear, scene)), list(run(rear, scene, only_short=True))
    assert len(whole) > 3
    assert [r for r in short if isinstance(r, Result) and not r.ok] == []
    wide = scene.with_parts({"build.rear_wheel.tyre": "70-622"})
    failing = {r.between for r in run(rear, wide) if isinstance(r, Result) and not r.ok}
    assert failing
    found = list(run(rear, wide, only_short=True))
    assert {r.between for r in found if isinstance(r, Result) and not r.ok} == failing


def test_every_two_kinds_are_checked_at_most_by_one_check() -> None:
    """But what turns on one axle, and what is left out with a reason, is in none."""
    seen: dict[frozenset[str], str] = {}
    for check in PAIRS:
        for pair in check.kinds():
            if not check.axle:
                assert seen.setdefault(frozenset(pair), check.name) == check.name
    some = ("rear_tyre", "frame", "chain", "shoe", "crank_arm")
    assert set(some) < set(KINDS)
    for a in some:
        for b in some:
            entry = entry_of(a, b)
            assert entry == entry_of(b, a)
            if frozenset((a, b)) in seen:
                assert seen[frozenset((a, b))] in entry.how


def test_motions_of_a_check() -> None:
    assert motions_of("front_tyre_to_frame") == ("rear", "slide", "insert", "fork", "steer")
    assert motions_of("own_to_parts") == (
        "rear",
        "slide",
        "insert",
        "fork",
        "steer",
        "crank",
        "heel",
    )
    assert set(motions_of("extra.0")) == set(MOTIONS)


def test_a_missing_part_is_named() -> None:
    bare = scene_with("build.rear_brake=null")
    caliper = next(check for check in PAIRS if check.name == "caliper_to_frame")
    (found,) = run(caliper, bare)
    assert isinstance(found, Unchecked)
    assert "build.rear_brake" in found.why


def test_checks_measured_together_come_to_what_each_comes_to_alone(scene: Scene) -> None:
    names = ("rear_tyre_to_frame", "chain_to_frame", "front_tyre_to_frame", "rotor_to_frame")
    checks = [check for check in PAIRS if check.name in names]
    plans = [one for check in checks if isinstance(one := plan(check, scene), Plan)]
    told: list[tuple[str, float]] = []
    found = {
        one.name: results
        for one, results in measured(plans, scene, lambda *what: told.append(what))
    }
    assert set(found) == set(names)
    assert found == {check.name: list(run(check, scene)) for check in checks}
    assert [share for _, share in told] == sorted(share for _, share in told)
    assert len(told) == 2  # as many as there are motions to go through
