"""Designs evaluated in stages against the plain loop of load, solve and check, in one run."""

from __future__ import annotations

import json
import time
from collections.abc import Callable, Sequence

import numpy as np

from frame3d.bike.solve import solve
from frame3d.bike.travel import over_travel
from frame3d.clearance.check import check
from frame3d.errors import FrameError
from frame3d.explore.evaluate.evaluator import Evaluator
from frame3d.explore.study.quantities import label_of, quantity, scale_of
from frame3d.explore.study.study import Design, Quantity, Study, Varied, Wish
from frame3d.parameters.reading.reader import loads
from tests.benchmarks.timing import ROOT, python

TARGETS = {"trail_hardtail_29": 5, "trail_full_140": 10}
TARGET_CHARTS = 400_000
CHARTS = 10_000
CHART = (
    Varied("geometry.reach", 440, 470, start=455.0),
    Varied("geometry.head_tube_angle", 65, 66, start=65.5),
    Varied("geometry.chainstay_length", 430, 440, start=436.0),
)


def study_of(demo: str) -> Study:
    """A study of a demo: three chart figures vary, every check must pass."""
    path = ROOT / "configs" / f"{demo}.yaml"
    text = path.read_text(encoding="utf-8")
    wanted: list[Quantity] = [quantity("trail"), quantity("mass")]
    if loads(text).suspension is not None:
        wanted += [
            quantity("leverage", at="start"),
            quantity("leverage", at="end"),
            quantity("anti_squat", at="sag", gear=(32, 24)),
        ]
    wishes = tuple(Wish(label_of(q), q, -1e6, 1e6, scale_of(q.unit)) for q in wanted)
    return Study("study.yaml", "", path.name, text, CHART, wishes, checks="all")


def designs(study: Study, count: int) -> list[Design]:
    """Random designs of a study, the same every time."""
    random = np.random.default_rng(0)
    low, high = ([float(getattr(v, end)) for v in study.varied] for end in ("low", "high"))
    return [tuple(float(x) for x in row) for row in random.uniform(low, high, (count, len(low)))]


def plain(study: Study, made: Sequence[Design]) -> None:
    """Load, solve, weigh, follow and check each design as a script would."""
    for design in made:
        try:
            bike = solve(loads(study.bike_text, study.bike_source, study.sets(design)))
            _ = bike.frame.masses.total
            if bike.linkage is not None:
                over_travel(bike)
            check(bike)
        except FrameError:
            continue


def seconds(work: Callable[[], object], rounds: int = 1) -> float:
    """Least processor time of some work [s]."""
    best = np.inf
    for _ in range(rounds):
        begin = time.process_time()
        work()
        best = min(best, time.process_time() - begin)
    return float(best)


def time_demo(study: Study, count: int) -> dict[str, float]:
    """Processor seconds a design, by the way in which it is evaluated."""
    made, many = designs(study, count + 1), designs(study, 200)
    graded, rejecting = Evaluator(study, reject=False), Evaluator(study)
    plain(study, made[:1])
    graded.evaluate(made[:1])
    texts = [study.sets(one) for one in made]
    return {
        "plain": seconds(lambda: plain(study, made[1:])) / count,
        "graded": seconds(lambda: graded.evaluate(made[1:])) / count,
        "rejecting": seconds(lambda: rejecting.evaluate(made[1:])) / count,
        "load": seconds(lambda: [loads(study.bike_text, "", one) for one in texts]) / len(texts),
        "put in": seconds(lambda: [graded.making(one).spec for one in many]) / len(many),
    }


def time_all(count: int) -> dict[str, float]:
    """Processor seconds a design, by demo and way; and charts a second."""
    out: dict[str, float] = {}
    for demo in TARGETS:
        took = time_demo(study_of(demo), count)
        out |= {f"{demo} {way}": value for way, value in took.items()}
    study = study_of("trail_hardtail_29")
    many = designs(study, CHARTS)
    evaluator = Evaluator(study)
    evaluator.charts(many[:10])
    out["charts"] = CHARTS / seconds(lambda: evaluator.charts(many), 5)
    steep = Wish("trail", quantity("trail"), 500, None, 1.0)
    rejected = Evaluator(Study("", "", "", study.bike_text, CHART, (steep,)))
    rejected.evaluate(many[:10])
    out["rejected"] = CHARTS / seconds(lambda: rejected.evaluate(many), 3)
    return out


def measure(runs: int) -> list[tuple[str, str]]:
    """Rows of the report; in a process of its own, one thread."""
    code = (
        "import json; from tests.benchmarks.explore import time_all;"
        f"print(json.dumps(time_all({runs})))"
    )
    took = json.loads(python(["-c", code])[1])
    rows = []
    for demo, target in TARGETS.items():
        slow, all_of_it, first = (took[f"{demo} {w}"] for w in ("plain", "graded", "rejecting"))
        rows += [
            (f"{demo}: load, solve, check a second", f"{1 / slow:.2f}"),
            ("  all stages and all shortfalls a second", f"{1 / all_of_it:.2f}"),
            (f"  ratio (target ≥ {target})", f"{slow / all_of_it:.2f}"),
            ("  up to the first shortfall a second", f"{1 / first:.2f}"),
            ("  read from its text", f"{1e3 * took[f'{demo} load']:.2f} ms"),
            ("  values put in", f"{1e3 * took[f'{demo} put in']:.3f} ms"),
        ]
    return [
        *rows,
        (
            f"charts of {CHARTS} designs a second (target ≥ {TARGET_CHARTS})",
            f"{took['charts']:,.0f}",
        ),
        ("designs rejected by their chart a second", f"{took['rejected']:,.0f}"),
    ]
