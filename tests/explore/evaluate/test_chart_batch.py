"""Charts of many designs against `solve_chart`, one by one."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.chart.solve import solve_chart
from frame3d.errors import GeometryError
from frame3d.explore.evaluate.chart_batch import ChartBatch, chart_batch
from frame3d.explore.evaluate.designs import Designs
from frame3d.explore.study.study import Study, Varied
from tests.explore.evaluate.studies import study_of, within
from tests.sampling import sample

HARDTAIL = (
    Varied("geometry.reach", 380, 520, start=455.0),
    Varied("geometry.head_tube_angle", 62, 74, start=65.5),
    Varied("geometry.chainstay_length", 405, 455, start=432.0),
    Varied("build.fork.axle_to_crown", 400, 590, start=531.0),
    Varied("build.rear_wheel.tyre", values=("47-622", "61-622", "57-584"), start="61-622"),
    Varied("tubes.down_tube.od", 35, 45, start=38.1),
)


def batch_of(study: Study, size: str | None = None) -> ChartBatch | None:
    return chart_batch(study, Designs(study), size)


@pytest.mark.parametrize("demo", ["trail_hardtail_29", "trail_full_140", "enduro_170_mixed"])
def test_charts_are_those_of_the_file(demo: str) -> None:
    varied = HARDTAIL if demo == "trail_hardtail_29" else HARDTAIL[:3]
    study = study_of(demo, varied)
    batch = batch_of(study)
    assert batch is not None
    random = np.random.default_rng(3)
    made = [within(varied, random) for _ in range(400)]
    charts = batch.solve(made)
    assert charts.good.any()
    designs = Designs(study)
    compared = 0
    for i in sample(range(400), 20):
        try:
            wanted = solve_chart(designs.spec(made[i])).figures()
        except GeometryError:
            assert not charts.good[i]
            continue
        if charts.good[i]:
            compared += 1
            for name, values in charts.figures.items():
                assert values[i] == pytest.approx(wanted[name], rel=1e-11, abs=1e-9), name
    assert compared > 5


def test_a_design_does_not_depend_on_the_others_of_its_batch() -> None:
    batch = batch_of(study_of("trail_hardtail_29", HARDTAIL))
    assert batch is not None
    random = np.random.default_rng(5)
    made = [within(HARDTAIL, random) for _ in range(300)]
    together = batch.solve(made)
    for i in range(0, 300, 7):
        alone = batch.solve([made[i]])
        for name, values in together.figures.items():
            assert np.array_equal(values[i], alone.figures[name][0], equal_nan=True), name


def test_what_has_no_chart_is_not_good() -> None:
    batch = batch_of(study_of("trail_hardtail_29", HARDTAIL[:3]))
    assert batch is not None
    charts = batch.solve([(455.0, 65.5, 432.0), (455.0, 65.5, 5.0)])
    assert charts.good.tolist() == [True, False]


@pytest.mark.parametrize(
    ("path", "low", "high"),
    [
        ("build.rear_wheel.tyre.diameter", 700, 740),  # not the figure itself, but twice it
        ("geometry.trail", 110, 130),  # redundant beside the others
    ],
)
def test_only_plain_figures_are_solved_at_once(path: str, low: float, high: float) -> None:
    start = {"build.rear_wheel.tyre.diameter": 720.0, "geometry.trail": 120.0}[path]
    varied: tuple[Varied, ...] = (Varied(path, low, high, start=start),)
    if path == "build.rear_wheel.tyre.diameter":
        varied = (Varied("build.rear_wheel.tyre.width", 40, 60, start=58.0), *varied)
    assert batch_of(study_of("trail_hardtail_29", varied)) is None


def test_settings_are_made_on_the_finished_frame() -> None:
    varied = (Varied("geometry.bb_drop", 10, 40, start=25.0),)
    study = study_of("families/trail_full", varied, settings=("drawn",))
    assert batch_of(study) is None
