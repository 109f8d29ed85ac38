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
TARGET_LINKAGES = 100_000
CHARTS = 10_000
LINKAGES = 4_000
STROKES = 33
CHART = (
    Varied("geometry.reach", 440, 470, start=455.0),
    Varied("geometry.head_tube_angle", 65, 66, start=65.5),
    Varied("geometry.chainstay_length", 430, 440, start=436.0),
)


POINTS = (
    Varied("suspension.points.main_pivot.from_start", 68, 80, start=73.0),
    Varied("suspension.points.rear_pivot.above", -16, 0, start=-8.0),
    Varied("suspension.points.rocker_rear.above", 29, 35, start=32.0),
    Varied("suspension.points.rocker_pivot.offset", 30, 32, start=31.0),
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


def time_linkages() -> dict[str, float]:
    """Processor seconds a design of four links: poses and one gear's curves over the stroke."""
    from frame3d.explore.linkages.batch import followed, grounded, in_gear
    from frame3d.explore.linkages.program import program_of
    from frame3d.linkage import LinkageMotion, SuspensionInputs, solve_linkage
    from frame3d.linkage.curves.curves import curves
    from frame3d.linkage.mechanism import make
    from frame3d.linkage.trace import trace
    from tests.linkage.bikes import spec_of
    from tests.linkage.demos import FOUR_LINK_140, FOUR_LINK_AXLE

    linkage = solve_linkage(spec_of(FOUR_LINK_140), FOUR_LINK_AXLE)
    program = program_of(linkage.mechanism, linkage.brake_link, list(linkage.bodies.values()))
    assert program is not None
    random = np.random.default_rng(0)
    points = np.array([[complex(*linkage.drawn[name]) for name in program.points]] * LINKAGES)
    fixed = [program.points.index(name) for name in ("bottom_bracket", "rear_axle")]
    moved = random.normal(size=points.shape) + 1j * random.normal(size=points.shape)
    moved[:, fixed] = 0
    points = points + moved
    radii, centre = np.full(LINKAGES, 372.0), np.full(LINKAGES, 80 + 814j)
    out = {}
    for count in (STROKES, 101):
        strokes = np.linspace(0.0, linkage.full_stroke, count)
        front = np.full((LINKAGES, count), 772 + 36j)

        def at_once(strokes: object = strokes, front: object = front) -> None:
            at = followed(program, points, strokes)
            in_gear(at, grounded(at, front, centre, radii, radii), 32, 24)

        at_once()
        out[f"linkages at {count} strokes"] = seconds(at_once, 5) / LINKAGES
    strokes = np.linspace(0.0, linkage.full_stroke, STROKES)
    inputs = SuspensionInputs(372, 372, (772, 36), (80, 814), 32, (24,))
    some = [dict(zip(program.points, row, strict=True)) for row in points[:100].tolist()]

    def one_by_one() -> None:
        for drawn in some:
            mechanism = make(linkage.mechanism.structure, drawn)
            curves(linkage, inputs, motion=LinkageMotion(mechanism, trace(mechanism, strokes)))

    return out | {"linkages one by one": seconds(one_by_one, 3) / len(some)}


def time_stage() -> dict[str, float]:
    """Processor seconds a design of the demo's stage ``linkage``, solve_for and wishes among it."""
    from frame3d.explore.evaluate.designs import Designs
    from frame3d.explore.evaluate.linkage_batch import LinkageBatch

    wanted = [quantity("leverage", at="start"), quantity("leverage", at="end")]
    text = study_of("trail_full_140").bike_text
    study = Study("", "", "", text, POINTS, ())
    made = designs(study, LINKAGES)
    evaluator = Evaluator(study)
    makings = [evaluator.making(one) for one in made]
    batch = LinkageBatch(study, Designs(study), None, wanted)
    batch.told(made[:10], makings[:10])
    told = batch.told(made, makings)
    many = seconds(lambda: batch.told(made, makings), 2) / len(made)

    def alone(given: bool) -> float:
        here = [evaluator.making(one) for one in made[:25]]
        for making, one in zip(here, told, strict=False):
            _ = making.placing
            making.found = one.found if given and one is not None else None
        return seconds(lambda: [making.values("linkage", wanted) for making in here]) / len(here)

    alone(False)
    return {
        "stage at once": many,
        "stage one by one": alone(False),
        "stage of what goes on": alone(True),
        "stage told": sum(one is not None for one in told) / len(told),
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
    return out | time_linkages() | time_stage()


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
        (
            f"four links and a gear, {STROKES} strokes, a second (target ≥ {TARGET_LINKAGES:,})",
            f"{1 / took[f'linkages at {STROKES} strokes']:,.0f}",
        ),
        ("  at 101 strokes", f"{1 / took['linkages at 101 strokes']:,.0f}"),
        (
            "  ratio to one by one",
            f"{took['linkages one by one'] / took[f'linkages at {STROKES} strokes']:.0f}",
        ),
        (
            "the demo's rear suspension at once, solve_for too, a second",
            f"{1 / took['stage at once']:,.0f}",
        ),
        ("  ratio to one by one", f"{took['stage one by one'] / took['stage at once']:.0f}"),
        ("  share that is told of at once", f"{100 * took['stage told']:.1f} %"),
        (
            "  share of all stages of the demo: one by one, of a design that goes on",
            f"{100 * took['stage one by one'] / took['trail_full_140 graded']:.2f} %, "
            f"{100 * took['stage of what goes on'] / took['trail_full_140 graded']:.2f} %",
        ),
    ]
