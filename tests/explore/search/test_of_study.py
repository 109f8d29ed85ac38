"""Studies as problems."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
import pytest

from frame3d.explore.search.driver import search
from frame3d.explore.search.of_study import box_of, design_of, is_smooth, problem_of, scored_of
from frame3d.explore.study.study import Design, Preference, Quantity, Study, Varied, Wish

PIVOT = Varied("pivot", 55, 95, start=60.0)
ANGLE = Varied("angle", 63, 66, step=0.5, start=70.0)
TYRE = Varied("tyre", values=("58-622", "61-622", "64-622"), start="61-622")
STUDY = Study(
    "s.yaml",
    "",
    "b.yaml",
    "",
    (PIVOT, ANGLE, TYRE),
    (
        Wish("trail", Quantity("chart", "trail"), 118, 128, 2.0),
        Wish("gap.tyre", Quantity("pairs", "tyre"), 6, None, 1.0),
        Wish("mass", Quantity("placement", "mass"), None, 3400, 10.0),
    ),
    (
        Preference("kickback", Quantity("linkage", "kickback"), least=True),
        Preference("progression", Quantity("linkage", "progression"), least=False),
    ),
)


@dataclass(frozen=True)
class _Evaluated:
    values: Mapping[str, float]
    shortfalls: Mapping[str, float] = field(default_factory=dict)
    rejected_by: str | None = None
    feasible: bool = True
    total: float = 0.0


def test_box_begins_at_the_files_own_values_within_the_limits() -> None:
    where = box_of(STUDY.varied)
    assert where.names == ("pivot", "angle", "tyre")
    assert where.low.tolist() == [55, 63, 0]
    assert where.high.tolist() == [95, 66, 2]
    assert where.start.tolist() == [60, 66, 1]
    assert where.steps == (None, 0.5, 1.0)
    unsaid = box_of((Varied("a", 0, 3), Varied("b", values=(1.0, 2.0, 9.0))))
    assert unsaid.start.tolist() == [1.5, 1]
    with pytest.raises(ValueError, match="two limits"):
        box_of((Varied("a"),))


def test_design_of_a_point() -> None:
    assert design_of(STUDY.varied, np.array([60.5, 63.5, 2.0])) == (60.5, 63.5, "64-622")


def test_score_of_an_evaluation() -> None:
    score = scored_of(
        STUDY,
        _Evaluated(
            {"trail": 130.0, "gap.tyre": 5.0, "progression": 18.0},
            {"gap.tyre": 1.0},
            "trail",
            False,
            2.0,
        ),
    )
    assert score.preferences == (np.inf, -18)
    assert score.margins == {"trail": (6.0, -1.0)}
    assert score.misses == {"gap.tyre": 1.0}
    assert score.margin("gap.tyre") == -1
    assert (score.total, score.blocking, score.feasible) == (2.0, "trail", False)
    assert [is_smooth(wish) for wish in STUDY.wishes] == [True, False, True]
    assert scored_of(STUDY, _Evaluated({"mass": 3300.0})).margins == {"mass": (10.0,)}


def _evaluate(designs: Sequence[Design]) -> list[_Evaluated]:
    """A made-up bike: trail by pivot and angle, kickback by the tyre's place among its values."""
    found = []
    for pivot, angle, tyre in designs:
        assert tyre in TYRE.values
        trail = 3 * (float(pivot) - 60) + 90 + 10 * (float(angle) - 63)
        miss = STUDY.wishes[0].shortfall(trail)
        kickback = 20.0 + float(pivot) / 10 - float(str(tyre)[:2]) / 10
        found.append(
            _Evaluated(
                {"trail": trail, "kickback": kickback, "progression": float(angle)},
                {"trail": miss},
                "trail" if miss else None,
                miss == 0,
                miss,
            )
        )
    return found


def test_a_study_is_searched() -> None:
    """Least kickback asks for the largest tyre and the pivot as low as the trail allows: 60 mm with
    2 degrees of angle or less, so 118 = 90 + 3 (p − 60) + 10 (a − 63) (derived).
    """
    found = search(problem_of(STUDY, _evaluate), 1500, 1)
    assert found.best is not None
    assert found.feasible > 0
    designs = [design_of(STUDY.varied, t.point) for t in found.front]
    assert {tyre for _, _, tyre in designs} == {"64-622"}
    # More angle lowers the pivot and adds progression: one design is best in both.
    assert designs[-1][1] == 66
    assert designs[-1][0] == pytest.approx(60 + (118 - 90 - 30) / 3, abs=1e-2)
