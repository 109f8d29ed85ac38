"""Decisions about gaps against the certified check, for random designs."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.clearance.scene import Scene
from frame3d.errors import FrameError
from frame3d.explore.evaluate.evaluator import Evaluator
from frame3d.explore.evaluate.gaps import measured, pair_checks, short_of, single_checks
from frame3d.explore.study.study import Varied
from tests.explore.evaluate.studies import study_of, within
from tests.sampling import EVERY_CASE, sample

VARIED = {
    "trail_hardtail_29": (
        Varied("geometry.chainstay_length", 405, 440, start=432.0),
        Varied("geometry.head_tube_angle", 64, 68, start=65.5),
        Varied("build.rear_wheel.tyre", values=("61-622", "58-622"), start="61-622"),
        Varied("build.crank.q_factor", 150, 180, start=172.0),
    ),
    "trail_full_140": (
        Varied("geometry.chainstay_length", 430, 445, start=436.0),
        Varied("suspension.points.main_pivot.from_start", 65, 85, start=73.0),
        Varied("build.rear_wheel.tyre", values=("61-622", "58-622"), start="61-622"),
    ),
}


@pytest.mark.parametrize(("demo", "count"), [("trail_hardtail_29", 24), ("trail_full_140", 6)])
def test_never_fits_where_the_certificate_says_less(demo: str, count: int) -> None:
    varied = VARIED[demo]
    evaluator = Evaluator(study_of(demo, varied, checks="all"))
    random = np.random.default_rng(11)
    short = fitting = 0
    # Thirty in all in everyday runs, each with some of its checks; all checks of many with every case.
    for _ in sample(range(count * 20), 20):
        making = evaluator.making(within(varied, random))
        try:
            scene: Scene = making.scene
        except FrameError:
            continue
        names = np.array(pair_checks(scene.spec))
        some = names if EVERY_CASE else random.choice(names, 1)
        for name in (*map(str, some), "rear_tyre_to_frame", "chain_to_frame"):
            certified = measured(scene, name)
            decided = short_of(scene, (name,))[name]
            assert bool(decided) == any(not one.ok for one in certified), name
            short += bool(decided)
            fitting += not decided
            if decided:
                worst = min(one.margin for one in decided)
                assert worst == pytest.approx(min(one.margin for one in certified), abs=0.11)
    assert short > 2
    assert fitting > 10


def test_single_figures_are_decided_as_measured() -> None:
    demo = "trail_hardtail_29"
    evaluator = Evaluator(study_of(demo, VARIED[demo]))
    scene = evaluator.making((432.0, 65.5, "61-622", 172.0)).scene
    for name in single_checks():
        assert short_of(scene, (name,))[name] == tuple(
            one for one in measured(scene, name) if not one.ok
        )
