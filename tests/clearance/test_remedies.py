"""Mends: each one offered, applied as it is printed, mends its check and harms no other."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest

from frame3d.bike.exchange import exchange
from frame3d.bike.solve import solve
from frame3d.clearance.advice.remedies import Remedies
from frame3d.clearance.check import run_checks
from frame3d.clearance.result import Report, Result
from frame3d.clearance.scene import Scene, scene_of
from frame3d.errors import SpecError
from frame3d.parameters.reading.change import changed
from frame3d.parameters.reading.reader import load
from tests.sampling import everyday, sample

CONFIGS = Path(__file__).parents[2] / "configs"
SMALL = Path(__file__).parent / "small_wheels.yaml"
HARDTAIL, RIGID, FULL = (
    CONFIGS / f"{name}.yaml" for name in ("trail_hardtail_29", "adventure_rigid", "trail_full_140")
)
PRINTED = re.compile(
    r"(?P<paths>\S+(?: and \S+)*) "
    r"(?:(?P<change>[+-][\d.]+)(?:°| mm) \(to (?P<to>-?[\d.]+)\)|(?P<size>\S+)(?P<built> on the frame.*)?)"
)


LOW = ("build.headset.stop=60", "tubes.down_tube.bends=[]", "tubes.down_tube.end.above_bottom=40")
"""A straight down tube that joins low, with a stop that keeps the fork's knobs away."""


@dataclass(frozen=True)
class Case:
    """A bike that falls short, and a value that people would change."""

    file: Path
    sets: tuple[str, ...]
    swaps: tuple[str, ...]
    changes: str


CASES = (
    Case(HARDTAIL, ("clearance.rear_tyre_to_frame=8",), (), "build.rear_wheel.tyre"),
    Case(HARDTAIL, (), ("build.rear_wheel.tyre=66-622",), "build.rear_wheel.tyre"),
    Case(HARDTAIL, ("clearance.caliper_to_frame=14",), (), "build.rear_brake.angle"),
    Case(
        HARDTAIL,
        ("clearance.caliper_to_frame=14", "geometry.reach=470"),
        ("build.fork.axle_to_crown=545",),
        "build.rear_brake.angle",
    ),
    Case(HARDTAIL, ("build.fork.arch.radius=370",), (), "build.fork.arch.radius"),
    Case(HARDTAIL, ("build.fork.crown.back=50", *LOW), (), "build.fork.crown.back"),
    Case(HARDTAIL, ("build.bottles.0.from_start=100",), (), "build.bottles.0.from_start"),
    Case(RIGID, ("clearance.front_tyre_to_frame=60",), (), "build.front_wheel.tyre"),
    Case(SMALL, (), (), "tubes.down_tube.end.above_bottom"),
    Case(FULL, ("geometry.chainstay_length=436",), (), "tubes.chainstay_bridge.start.from_start"),
)


def bike(file: Path, sets: Sequence[str], swaps: Sequence[str]) -> Scene:
    designed = solve(load(file, sets=sets))
    if not swaps:
        return scene_of(designed)
    paths = [swap.partition("=")[0] for swap in swaps]
    return scene_of(exchange(designed, load(file, sets=sets, swaps=swaps), paths))


@cache
def checked(case: Case) -> tuple[Scene, Report]:
    scene = bike(case.file, case.sets, case.swaps)
    return scene, run_checks(scene)


@cache
def offered(case: Case) -> tuple[tuple[Result, tuple[str, ...]], ...]:
    scene, report = checked(case)
    mender = Remedies(scene, report)
    return tuple((r, mender.mends(r)) for r in report.results if not r.ok)


def line(result: Result) -> tuple[str, tuple[str, ...]]:
    """A result by its check and its bodies, left or right, in whichever gear."""
    names = (re.sub(r"_(left|right)$", "", name) for name in result.between or ())
    return result.name, tuple(re.sub(r"^chain_.*", "chain", name) for name in names)


def applied(case: Case, text: str) -> Scene:
    """The bike with a mend typed in as it is printed."""
    said = PRINTED.fullmatch(text)
    assert said is not None, text
    new = [f"{path}={said['to'] or said['size']}" for path in said["paths"].split(" and ")]
    kept = tuple(s for s in case.swaps if s.partition("=")[0] not in said["paths"].split(" and "))
    if said["built"] or kept != case.swaps:
        return bike(case.file, case.sets, (*kept, *new))
    return bike(case.file, (*case.sets, *new), case.swaps)


@pytest.mark.parametrize(
    "case",
    everyday([CASES[i] for i in (0, 3, 4, 7, 8)], CASES),
    ids=lambda case: f"{case.file.stem}-{case.changes}",
)
def test_what_is_offered_mends_and_harms_nothing(case: Case) -> None:
    _, before = checked(case)
    failing = {line(r) for r in before.results if not r.ok}
    assert failing
    seen: dict[str, set[tuple[str, tuple[str, ...]]]] = {}
    every: set[str] = set()
    for result, texts in offered(case):
        assert len(texts) <= 4
        every |= set(texts)
        for text in sample(texts, 3):
            if text not in seen:
                seen[text] = {line(r) for r in run_checks(applied(case, text)).results if not r.ok}
            assert line(result) not in seen[text], text
            assert seen[text] <= failing, text
    assert any(text.startswith(case.changes) for text in every), every


def test_what_the_file_would_not_take_is_not_offered() -> None:
    """A stay thinner than its walls, travel on a rigid fork: refused as values, so not tried."""
    (small,) = (case for case in CASES if case.file == SMALL)
    texts = [text for _, own in offered(small) for text in own]
    assert not any("seatstay.od" in text for text in texts)
    with pytest.raises(SpecError):
        changed(checked(small)[0].spec, "tubes.seatstay.od", 1.5)
    (rigid,) = (case for case in CASES if case.file == RIGID)
    assert not any("fork.travel" in text for _, own in offered(rigid) for text in own)


def test_a_stay_is_not_bent_into_the_tyre() -> None:
    """The chain's gap alone would be mended by 7.3 mm of bend, which takes the tyre's room."""
    (small,) = (case for case in CASES if case.file == SMALL)
    scene, before = checked(small)
    bent = scene.redesigned({"tubes.chainstay.bends.0.y": 32.7})
    failing = {line(r) for r in before.results if not r.ok}
    worse = {line(r) for r in run_checks(bent).results if not r.ok} - failing
    assert worse == {("rear_tyre_to_frame", ("rear_tyre", "chainstay"))}
    for result, texts in offered(small):
        if "chain" in result.name:
            assert not any("bends.0.y -7.3" in text for text in texts)


def test_a_bridge_is_moved_at_both_ends() -> None:
    (full,) = (case for case in CASES if case.file == FULL)
    texts = [text for _, own in offered(full) for text in own if "chainstay_bridge.start" in text]
    assert texts
    assert all(
        "chainstay_bridge.start.from_start and tubes.chainstay_bridge.end" in t for t in texts
    )
