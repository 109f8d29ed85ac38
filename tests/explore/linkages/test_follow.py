"""Many linkages at once against the solver of one, and what is held to be doubtful."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.explore.linkages.batch import followed
from frame3d.explore.linkages.program import program_of
from frame3d.linkage.mechanism import make
from frame3d.linkage.mobility import mobility
from frame3d.linkage.motion import LinkageMotion
from frame3d.linkage.trace import DeadPointError, trace
from tests.explore.linkages.linkages import NAMED, linkage_of, moved_points, program_for, six_bar


@pytest.mark.parametrize("name", NAMED)
def test_moved_points_as_the_solver_has_them(name: str) -> None:
    """To 1e-9 mm; all that the solver cannot follow is marked, and hardly anything else."""
    linkage = linkage_of(name)
    program = program_for(linkage)
    strokes = np.linspace(0.0, linkage.full_stroke, 41)
    points = moved_points(program, linkage, 15.0, 60)
    found = followed(program, points, strokes)
    one_way, followed_both = 0, 0
    for i, drawn in enumerate(points):
        made = make(linkage.mechanism.structure, dict(zip(program.points, drawn, strict=True)))
        try:
            motion = LinkageMotion(made, trace(made, strokes))
        except DeadPointError:
            assert not found.clean[i]
            continue
        assert found.length[i] == pytest.approx(made.length, abs=1e-9)
        if not found.clean[i]:
            one_way += 1
            continue
        followed_both += 1
        freedoms = mobility(made)
        assert (freedoms.freedoms, freedoms.held) == (1, 0)
        wheel = motion.wheel
        for ours, theirs in zip(
            found.axle[:, i], (wheel.at, wheel.rate, wheel.acceleration), strict=True
        ):
            assert np.abs(ours - theirs).max() < 1e-9
        assert np.abs(found.turning[i] - motion.turn_rate(linkage.brake_link)).max() < 1e-9
        assert np.abs(found.last[i] - motion.track.turned[:, -1]).max() < 1e-9
        assert found.travel[i] == pytest.approx(motion.travel, abs=1e-9)
        assert found.leverage[i] == pytest.approx(motion.leverage, abs=1e-9)
        assert found.leverage_rate[i] == pytest.approx(motion.leverage_rate, abs=1e-9)
    assert followed_both > 40
    assert one_way <= 6


def test_dyads_one_upon_another() -> None:
    made = six_bar()
    program = program_of(made, "frame", [])
    assert program is not None
    points = np.array([[made.drawn[name] for name in program.points]])
    strokes = np.linspace(0.0, 12.0, 30)
    found = followed(program, points, strokes)
    motion = LinkageMotion(made, trace(made, strokes))
    assert found.clean.all()
    assert not found.turning.any()
    assert np.abs(found.axle[0, 0] - motion.wheel.at).max() < 1e-9
    assert np.abs(found.axle[2, 0] - motion.wheel.acceleration).max() < 1e-9


def test_each_linkage_at_strokes_of_its_own() -> None:
    linkage = linkage_of("trail_full_140")
    program = program_for(linkage)
    points = moved_points(program, linkage, 0.0, 3)
    strokes = np.array([[10.0, 20.0], [30.0, 40.0], [52.5, 0.0]])
    found = followed(program, points, strokes, tested=False)
    for i, own in enumerate(strokes):
        assert found.travel[i] == pytest.approx(linkage.at_strokes(own).travel, abs=1e-9)
    beyond = followed(program, points, np.array([[10.0], [500.0], [10.0]]), tested=False)
    assert beyond.clean.tolist() == [True, False, True]


def test_what_is_doubtful_is_marked() -> None:
    """Points on each other; arms that vanish; pivots in line; a shock square to its link's motion."""
    linkage = linkage_of("trail_full_140")
    program = program_for(linkage)
    good = moved_points(program, linkage, 0.0, 1)[0]
    at = {name: i for i, name in enumerate(program.points)}
    cases = np.tile(good, (5, 1))
    cases[1, at["rear_pivot"]] = cases[1, at["main_pivot"]]
    cases[2, at["rocker_shock"]] = cases[2, at["rocker_pivot"]]
    # The dyad stretched out: chainstay and seatstay in line.
    main, top = cases[3, at["main_pivot"]], cases[3, at["rocker_rear"]]
    cases[3, at["rear_pivot"]] = main + 0.6 * (top - main)
    # The shock in line with the rocker's pivot: it does not shorten as the rocker turns.
    pivot, eye = cases[4, at["rocker_pivot"]], cases[4, at["rocker_shock"]]
    cases[4, at["shock_front"]] = pivot + 3.0 * (eye - pivot)
    found = followed(program, cases, np.linspace(0.0, linkage.full_stroke, 33))
    assert found.clean.tolist() == [True, False, False, False, False]
