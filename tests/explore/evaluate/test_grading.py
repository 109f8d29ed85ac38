"""What a design's values in several sizes come to."""

from __future__ import annotations

from frame3d.errors import Fault, TubeError
from frame3d.explore.evaluate.grading import Grading
from frame3d.explore.study.quantities import quantity
from frame3d.explore.study.study import Preference
from tests.explore.evaluate.studies import between

STAGES = ("chart", "linkage", "placement")
TRAIL = between(quantity("trail"), 118, 128)


def test_the_value_belongs_to_the_greatest_shortfall() -> None:
    grading = Grading((1.0,), STAGES)
    grading.enter("chart")
    for value in (120.0, 130.0, 117.0):
        grading.value(TRAIL, value)
    found = grading.result()
    assert found.values == {"trail": 130.0}
    assert found.shortfalls == {"trail": 2.0}
    assert found.rejected_by == "trail"
    assert 20_000 < found.total < 30_000


def test_a_preference_takes_the_worst_size() -> None:
    for least, wanted in ((True, 3.0), (False, 1.0)):
        grading = Grading((), STAGES)
        grading.enter("placement")
        prefer = Preference("mass", quantity("mass"), least)
        for value in (1.0, 3.0, 2.0, None):
            grading.value(prefer, value)
        found = grading.result()
        assert found.values == {"mass": wanted}
        assert found.feasible


def test_a_missing_value_falls_short_by_its_distance() -> None:
    grading = Grading((), STAGES)
    grading.enter("placement")
    grading.value(TRAIL, None, 7.0)
    assert grading.result().shortfalls == {"trail": 107.0}


def test_a_fault_names_its_code_and_first_line() -> None:
    grading = Grading((), STAGES)
    grading.enter("placement")
    grading.value(TRAIL, 117.0)
    grading.fault(TubeError(Fault("bend", "tubes.x", "too tight\nby far")), 150.0)
    found = grading.result()
    assert found.rejected_by == "bend"
    assert found.fault == "tubes.x: too tight"
    assert found.shortfalls == {"trail": 1.0, "bend": 150.0}
    assert not found.feasible


def test_before_any_stage_all_are_missing() -> None:
    grading = Grading((), STAGES)
    grading.fault(TubeError(Fault("bad-name", "", "no")), 100.0)
    found = grading.result()
    assert found.stage == "file"
    assert found.total > 30_000
