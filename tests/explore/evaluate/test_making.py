"""Quantities of a bike as far as it is made, against the whole of it."""

from __future__ import annotations

import pytest

from frame3d.bike.solve import solve
from frame3d.bike.travel import TravelAnalysis, over_travel
from frame3d.errors import GeometryError, LinkageError
from frame3d.explore.evaluate.evaluator import Evaluator
from frame3d.explore.evaluate.making import missing_travel
from frame3d.explore.study.quantities import gap_of, quantity
from frame3d.explore.study.study import Study, Varied
from frame3d.parameters.reading.reader import loads
from tests.explore.evaluate.studies import study_of

GEAR = (32, 24)
COUNT = 5


def curves_of(demo: str) -> tuple[TravelAnalysis, Study]:
    study = study_of(demo, ())
    return over_travel(solve(loads(study.bike_text)), COUNT), study


@pytest.mark.parametrize("demo", ["trail_full_140", "enduro_170_mixed"])
def test_the_linkage_stage_is_that_of_over_travel(demo: str) -> None:
    wanted, study = curves_of(demo)
    gear = next(iter(wanted.curves.gears))
    making = Evaluator(study).making(())
    travels = [float(t) for t in wanted.curves.travel]
    curves = {
        "leverage": wanted.curves.leverage,
        "leverage_slope": wanted.curves.leverage_rate,
        "chain_growth": wanted.curves.gears[gear].chain_growth,
        "kickback": wanted.curves.gears[gear].crank_rotation,
        "wheelbase_growth": wanted.curves.wheelbase - wanted.curves.wheelbase[0],
    }
    for name, curve in curves.items():
        has_gear = name in ("chain_growth", "kickback")
        asked = [quantity(name, at=t, gear=gear if has_gear else None) for t in travels]
        assert {making.known_at(one) for one in asked} == {"linkage"}
        assert curve is not None
        assert making.values("linkage", asked) == pytest.approx(list(curve), rel=1e-9, abs=1e-9)
    assert "bike" not in vars(making)  # it is not made
    asked = [quantity("travel"), quantity("mean_leverage"), quantity("trail", stance="sag")]
    travel, mean, trail = making.values("linkage", asked)
    assert travel == pytest.approx(travels[-1], abs=1e-9)
    assert mean == pytest.approx(wanted.curves.mean_leverage, abs=1e-9)
    sagged = next(one for one in wanted.standing if one.name == "sag")
    assert trail == pytest.approx(sagged.stance.chart["trail"], abs=1e-9)


def test_what_masses_bear_on_is_known_after_placement() -> None:
    wanted, study = curves_of("trail_full_140")
    making = Evaluator(study).making(())
    asked = [quantity("anti_squat", at=float(t), gear=GEAR) for t in wanted.curves.travel]
    asked_rise = [quantity("anti_rise", at=float(t)) for t in wanted.curves.travel]
    for some, curve in (
        (asked, wanted.curves.gears[GEAR].anti_squat),
        (asked_rise, wanted.curves.anti_rise),
    ):
        assert {making.known_at(one) for one in some} == {"placement"}
        assert curve is not None
        assert making.values("placement", some) == pytest.approx(list(curve), rel=1e-9)


def test_a_gap_is_the_least_of_its_check() -> None:
    making = Evaluator(study_of("trail_hardtail_29", ())).making(())
    single, pair = gap_of("standover_room", single=True), gap_of("rear_tyre_to_frame")
    assert [making.known_at(one) for one in (single, pair)] == ["figures", "pairs"]
    (room,) = making.values("figures", [single])
    (gap,) = making.values("pairs", [pair])
    assert room is not None
    assert gap is not None
    assert 0 < gap < room
    assert making.short_of("rear_tyre_to_frame") == ()


def test_a_bike_without_what_is_wanted_has_none_of_it() -> None:
    making = Evaluator(study_of("minimal", ())).making(())
    asked = [quantity("leverage", at="start"), quantity("trail", stance="sag")]
    assert making.values("linkage", asked) == (None, None)


def test_travel_that_is_missing() -> None:
    making = Evaluator(study_of("trail_full_140", ())).making(())
    assert missing_travel(quantity("leverage", at=150.0), making) == pytest.approx(10, abs=1.1)
    assert missing_travel(quantity("leverage", at=50.0), making) == 0
    assert missing_travel(quantity("leverage", at="sag"), making) == 0


def test_the_distance_is_that_of_what_failed() -> None:
    drop = Varied("geometry.bb_drop", 0, 150, start=62.0)
    stay = Varied("geometry.chainstay_length", 60, 440, start=432.0)
    making = Evaluator(study_of("trail_hardtail_29", (drop, stay))).making((140.0, 120.0))
    with pytest.raises(GeometryError) as lost:
        _ = making.solved
    assert making.distance(lost.value) > 1
    above = Varied("suspension.points.rocker_rear.above", -200, 200, start=32.0)
    locked = Evaluator(study_of("trail_full_140", (above,))).making((-120.0,))
    with pytest.raises(LinkageError) as stuck:
        _ = locked.begun
    assert locked.distance(stuck.value) > 1
