"""Checks of whole bikes: what is reported, judged, left out, added, mended, and what fits."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Sequence
from pathlib import Path

import pytest
from ruamel.yaml import YAML

from frame3d.bike.exchange import exchange_values
from frame3d.bike.seatpost import seatpost_of
from frame3d.bike.solve import solve
from frame3d.clearance.advice.fits import _answer, _questions, what_fits
from frame3d.clearance.advice.remedies import Remedies
from frame3d.clearance.advice.ways import ways
from frame3d.clearance.check import check, near, run_checks
from frame3d.clearance.pairs import PAIRS
from frame3d.clearance.result import Report, Result
from frame3d.clearance.scene import Scene, scene_of
from frame3d.cli import commands
from frame3d.errors import SpecError
from frame3d.parameters.models.clearance import ClearanceSpec
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.reading.reader import load
from frame3d.parameters.requirements import REQUIREMENTS
from frame3d.rider.posture import place_rider

DEMO = Path(__file__).parents[2] / "configs" / "trail_hardtail_29.yaml"
MINIMAL = DEMO.with_name("minimal.yaml")


def scene_with(*sets: str) -> Scene:
    return scene_of(solve(load(DEMO, sets=sets)))


SPRUNG = {check.name for check in PAIRS if check.sprung}
"""Checks that a bike without a rear suspension has no use for."""


@pytest.fixture(scope="module")
def scene() -> Scene:
    return scene_with()


@pytest.fixture(scope="module")
def report(scene: Scene) -> Report:
    return run_checks(scene)


def test_the_demo_passes_every_check(report: Report) -> None:
    assert [r.name for r in report.results if not r.ok] == []
    assert report.ok


def test_every_requirement_is_checked_or_said_not_to_be(report: Report) -> None:
    named = {r.name for r in report.results} | {u.name for u in report.unchecked}
    assert named == set(REQUIREMENTS) - SPRUNG


def test_the_file_can_set_a_limit_for_every_requirement() -> None:
    fields = set(ClearanceSpec.model_fields) - {
        "skip", "extra", "steering", "heel_swing", "standover_ahead",
    }  # fmt: skip
    assert fields == set(REQUIREMENTS)


def test_results_come_smallest_margin_first(report: Report) -> None:
    margins = [r.margin for r in report.results]
    assert margins == sorted(margins)


def test_points_are_as_far_apart_as_the_gap(report: Report) -> None:
    for r in report.results:
        if r.points is not None and r.gap > 0 and r.between != ("pedal", "front_tyre"):
            p, q = r.points
            apart = sum((a - b) ** 2 for a, b in zip(p, q, strict=True)) ** 0.5
            assert apart == pytest.approx(r.gap, abs=1e-6), r.name


def test_a_finer_tolerance_stays_within_the_certificate(scene: Scene, report: Report) -> None:
    fine = check(scene.bike, tolerance=1e-4)
    coarse = {(r.name, r.between): r for r in report.results}
    compared = 0
    for r in fine.results:
        other = coarse.get((r.name, r.between))
        if other is not None:
            compared += 1
            assert other.gap - other.error - 1e-9 <= r.gap <= other.gap + 1e-9
    assert compared > 20


def test_a_file_without_parts_is_not_passed_silently() -> None:
    report = check(solve(load(MINIMAL)))
    assert {u.name for u in report.unchecked} == set(REQUIREMENTS) - SPRUNG
    assert all("does not give" in u.why for u in report.unchecked)


def test_an_own_limit_overrides_the_default_and_says_so() -> None:
    report = run_checks(
        scene_with("clearance.rear_tyre_to_frame=30"), names=frozenset({"rear_tyre_to_frame"})
    )
    assert not report.ok
    assert {r.required for r in report.results} == {30}
    assert all("own limit" in r.source for r in report.results)


def test_racing_tyres_ask_for_less() -> None:
    """ISO 4210-2, value from memory: tyres of at most 28 mm, several grips, at most 12 kg."""

    def limit(width: int, *sets: str) -> tuple[float, str]:
        tyres = (f"build.{end}_wheel.tyre={width}-622" for end in ("front", "rear"))
        return scene_with(*tyres, *sets).required("rear_tyre_to_frame")

    racing = ("build.handlebar.drop=120", "build.bike_mass_kg=8")
    asked, source = limit(28, *racing)
    assert asked == 4
    assert source.startswith("ISO 4210-2")
    # What the tyre grows by in use does not make another bicycle of it.
    assert limit(28, *racing, "build.rear_wheel.growth=3")[0] == 4
    assert limit(30, *racing)[0] == 6
    assert limit(28, "build.handlebar.drop=0", "build.bike_mass_kg=8")[0] == 6
    assert limit(28, "build.handlebar.drop=120", "build.bike_mass_kg=12.5")[0] == 6
    assert scene_with().required("rear_tyre_to_frame")[0] == 6


def test_the_front_load_is_taken_with_the_saddle_rearmost_or_says_that_it_is_not() -> None:
    """ISO 4210-2 4.7.5: saddle and rider rearmost. 60 mm of rails and 10 mm ahead: 40 mm back."""
    names = frozenset({"front_load"})
    (placed,) = run_checks(scene_with(), names=names).results
    assert "not rearmost" in placed.note
    scene = scene_with("build.saddle.rails=60", "build.saddle.forward=10")
    (rearmost,) = run_checks(scene, names=names).results
    assert "rearmost, 40 mm behind" in rearmost.note
    stance = scene.bike.sagged
    assert stance is not None
    x, y, z = stance.nodes["saddle"]
    by_hand = place_rider(
        scene.spec, {**stance.nodes, "saddle": (x - 40, y, z)}, stance.chart
    ).seated
    assert by_hand is not None
    assert rearmost.gap == pytest.approx(100 * by_hand.front_share)
    assert rearmost.gap < placed.gap - 1


def test_the_law_on_toe_clearance_reads_as_it_is() -> None:
    """16 CFR 1512.17(d): bicycles without positive foot retention need 89 mm (published)."""
    source = REQUIREMENTS["toe_to_front_tyre"].source
    assert "89 mm for bicycles without positive foot retention" in source


def test_standover_room_is_measured_where_the_file_says() -> None:
    """Over the bottom bracket as the chart has it; 60 mm ahead by the demo's straight top tube."""
    names = frozenset({"standover_room"})
    plain, ahead = scene_with(), scene_with("clearance.standover_ahead=60")
    (over,), (further,) = (run_checks(s, names=names).results for s in (plain, ahead))
    inseam, chart = plain.spec.build.rider.inseam, plain.bike.chart  # type: ignore[union-attr]
    assert over.gap == pytest.approx(inseam - chart["standover"])  # type: ignore[operator]
    assert "over the bottom bracket" in over.note
    (px, _, pz), (qx, _, qz) = (
        getattr(plain.bike.tube("top_tube").axis, e) for e in ("start", "end")
    )
    assert over.gap - further.gap == pytest.approx(60 * (qz - pz) / (qx - px))
    assert "60 mm ahead of the bottom bracket" in further.note
    # With a longer fork the frame pitches, and the place is level ahead on the ground that it stands on.
    scene = scene_of(exchange_values(ahead.bike, {"build.fork.axle_to_crown": 560}))
    (pitched,) = run_checks(scene, names=names).results
    (px, _, pz), (qx, _, qz) = (
        getattr(scene.bike.tube("top_tube").axis, e) for e in ("start", "end")
    )
    over_bb = scene.bike.chart["standover"]
    assert over_bb is not None
    assert over_bb > chart["standover"] + 5  # type: ignore[operator]
    by_hand = inseam - over_bb - 60 * (qz - pz) / (qx - px)
    assert pitched.gap == pytest.approx(by_hand)
    (missing,) = run_checks(scene_with("clearance.standover_ahead=500"), names=names).unchecked
    assert "passes 500 mm ahead" in missing.why


@pytest.mark.parametrize("name", ["seatpost_room", "heel_to_frame", "front_load"])
def test_a_skipped_check_is_listed_as_not_checked(name: str) -> None:
    report = run_checks(scene_with(f"clearance.skip=[{name}]"))
    assert name not in {r.name for r in report.results}
    assert [u.why for u in report.unchecked if u.name == name] == ["left out by clearance.skip"]


def test_an_extra_check_is_made() -> None:
    report = run_checks(scene_with("clearance.extra=[{between: [seat_tube, rear_tyre], gap: 200}]"))
    (extra,) = [r for r in report.results if r.name == "extra.0"]
    assert extra.required == 200
    assert not extra.ok
    same = next(r for r in report.results if r.between == ("rear_tyre", "seat_tube"))
    assert extra.gap == pytest.approx(same.gap, abs=0.011)


@pytest.mark.parametrize(
    ("sets", "words"),
    [
        (["clearance.extra=[{between: [rear_tyre, moon], gap: 3}]"], "no body named 'moon'"),
        (["clearance.extra=[{between: [seat_tube, down_tube], gap: 3}]"], "cannot be measured"),
    ],
)
def test_an_extra_check_of_what_is_not_there_is_a_fault(sets: Sequence[str], words: str) -> None:
    with pytest.raises(SpecError, match=words):
        run_checks(scene_with(*sets))


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


def test_what_fits_is_true_at_the_answer_and_false_one_further(scene: Scene) -> None:
    fits = {f.what: f for f in what_fits(scene)}
    rear = fits["widest rear tyre"]
    assert rear.largest is not None
    width = int(rear.largest.split("-")[0])
    assert width >= 61
    only = frozenset({"rear_tyre_to_frame", "chain_to_rear_tyre", "saddle_to_rear_tyre"})
    for w, ok in ((width, True), (width + 1, False)):
        tried = scene.with_parts({"build.rear_wheel.tyre": f"{w}-622"})
        assert run_checks(tried, names=only).ok is ok
    within = fits["most fork travel within its length"]
    assert within.limited_by.startswith("front_tyre")
    with_it = fits["most fork travel, its length with it"]
    assert with_it.largest is not None
    assert within.largest is not None
    travel, length = (float(n) for n in re.findall(r"[\d.]+", with_it.largest))
    assert length - 535 == travel - 130  # the demo's fork
    assert travel > float(within.largest.split()[0])
    longer = {"build.fork.travel": travel, "build.fork.axle_to_crown": length}
    front = frozenset({"front_tyre_to_frame", "front_tyre_to_fork", "fork_to_frame"})
    assert run_checks(scene.with_parts(longer), names=front).ok
    assert set(fits) == {
        "widest rear tyre",
        "widest front tyre",
        "largest chainring",
        "longest crank",
        "most fork travel within its length",
        "most fork travel, its length with it",
        "most seatpost travel",
    }


def test_what_fits_spoils_no_other_check() -> None:
    """An own body behind the seat tube, which only the check of the file's own bodies knows."""
    data = YAML(typ="safe", pure=True).load(DEMO.read_text("utf-8"))
    peg = {"kind": "capsule", "at": [-50, 0, 60], "axis": [0, 1, 0], "diameter": 4, "length": 30}
    plain = scene_of(solve(load(DEMO)))
    widest = _answer(plain, next(q for q in _questions(plain) if q.what == "widest rear tyre"))
    data["build"]["bodies"] = {"peg": peg}
    scene = scene_of(solve(FrameSpec.model_validate(data)))
    tight = _answer(scene, next(q for q in _questions(scene) if q.what == "widest rear tyre"))
    assert widest.largest is not None
    assert tight.largest is not None
    width = int(tight.largest.split("-")[0])
    assert width < int(widest.largest.split("-")[0])
    assert "peg" in tight.limited_by
    for w, ok in ((width, True), (width + 1, False)):
        tried = scene.with_parts({"build.rear_wheel.tyre": f"{w}-622"})
        assert run_checks(tried, names=frozenset({"own_to_parts"})).ok is ok


def test_what_fits_starts_from_the_present_size() -> None:
    """The smallest rings' chain would run into the stay: that does not hide the larger ones that fit."""
    whole = scene_of(solve(load(DEMO.with_name("trail_full_140.yaml"))))
    names = frozenset({"chainring_to_frame", "chain_to_frame", "chainring_to_ground"})

    def holds(teeth: int) -> bool:
        tried = whole.with_parts({"build.chainring.teeth": teeth})
        return run_checks(tried, names=names).ok

    assert not holds(18)
    assert holds(32)
    ring = _answer(whole, next(q for q in _questions(whole) if q.what == "largest chainring"))
    assert ring.now == "32 teeth"
    assert ring.largest is not None
    largest = int(ring.largest.split()[0])
    assert largest >= 32
    assert holds(largest)
    assert not holds(largest + 1)


def test_the_suspensions_points_bear_on_a_plate() -> None:
    file = DEMO.with_name("enduro_170_mixed.yaml")
    scene = scene_of(solve(load(file, sets=("clearance.links_to_frame=5",))))
    worst = run_checks(scene, names=frozenset({"links_to_frame"})).results[0]
    assert worst.between == ("plate_push_link_left", "seat_tube")
    assert not worst.ok
    paths = {path for way in ways(scene, worst) for path in way.paths}
    assert any(path.startswith("suspension.points.rocker") for path in paths)
    assert not any("shock_front" in path for path in paths)


def test_near_lists_what_is_near_and_nothing_else(scene: Scene) -> None:
    close = near(scene, 6.0)
    assert close
    assert all(r.gap <= 6.0 for r in close)
    names = {frozenset(r.between or ()) for r in close}
    assert frozenset({"front_tyre", "head_tube"}) not in names


def cli_run(capsys: pytest.CaptureFixture[str], *args: str) -> tuple[int, str, str]:
    with pytest.raises(SystemExit) as left:
        commands.main(["check", *args])
    out = capsys.readouterr()
    assert isinstance(left.value.code, int)
    return left.value.code, out.out, out.err


def test_json_has_what_scripts_rely_on(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = cli_run(capsys, str(DEMO), "--json")
    assert (code, err) == (0, "")
    document = json.loads(out)
    assert document["ok"] is True
    for one in document["checks"]:
        assert {"name", "gap", "required", "ok", "source", "at", "points"} <= set(one)
        assert {"travel", "steer"} <= set(one["at"])
        assert one["points"] is None or len(one["points"]) == 2
    assert document == json.loads(cli_run(capsys, str(DEMO), "--json")[1])


def test_a_shortfall_is_exit_status_1_with_its_mend(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = cli_run(capsys, str(DEMO), "--set", "build.rear_wheel.tyre=66-622")
    assert code == 1
    assert "SHORT" in out
    assert "mend: " in out


def test_a_swapped_tyre_is_checked_on_the_frame_as_built(
    capsys: pytest.CaptureFixture[str],
) -> None:
    code, out, _ = cli_run(capsys, str(DEMO), "--json", "--swap", "build.rear_wheel.tyre=70-622")
    assert code == 1
    document = json.loads(out)
    assert not document["ok"]
    assert "as_built" in document


@pytest.mark.parametrize(
    "sets",
    ["clearance.rear_tyre_to_frame=-1", "clearance.skip=[moon]", "build.chainring.teeth=400"],
)
def test_bad_input_is_exit_status_2(capsys: pytest.CaptureFixture[str], sets: str) -> None:
    code, out, err = cli_run(capsys, str(DEMO), "--set", sets)
    assert (code, out) == (2, "")
    assert "--set" in err


POST = frozenset({"seatpost_exposure", "seatpost_insertion", "seatpost_room"})


def posts(*sets: str) -> dict[str, Result]:
    return {r.name: r for r in run_checks(scene_with(*sets), names=POST).results}


def test_a_post_cannot_drop_through_its_own_collar_and_head() -> None:
    """245 mm of exposure, 20 of collar, 35 of head: 190 mm of travel, not 240."""
    found = posts("build.seatpost.travel=240")["seatpost_exposure"]
    assert not found.ok
    assert found.gap == pytest.approx(245 - 240 - 20 - 35)
    assert posts("build.seatpost.travel=190")["seatpost_exposure"].ok
    assert not posts("build.seatpost.travel=190.5")["seatpost_exposure"].ok
    scene = scene_with("build.seatpost.travel=240")
    assert "build.seatpost.travel -50 mm (to 190)" in Remedies(scene, run_checks(scene)).mends(
        found
    )


def test_a_post_needs_room_for_actuator_and_cable() -> None:
    """410 mm down to the shell; 5 mm are asked for below actuator and cable."""
    assert posts("build.seatpost.insertion=350")["seatpost_room"].ok
    short = posts("build.seatpost.insertion=351")["seatpost_room"]
    assert short.gap == pytest.approx(410 - 55 - 351)
    assert not short.ok
    assert posts("build.seatpost.insertion=351", "build.seatpost.actuator=0")["seatpost_room"].ok


def test_the_files_own_mark_decides() -> None:
    assert posts("build.seatpost.insertion=64")["seatpost_insertion"].ok
    marked = posts("build.seatpost.insertion=64", "build.seatpost.least_insertion=100")
    assert marked["seatpost_insertion"].gap == pytest.approx(-36)
    assert "own mark" in marked["seatpost_insertion"].note


def test_the_longest_travel_is_the_same_everywhere() -> None:
    """Where the tyre is far, what fits is what `solve` says, in steps of 5 mm."""
    for sets in ((), ("build.seatpost.insertion=340",), ("build.seatpost.head_height=61",)):
        scene = scene_with(*sets, "clearance.skip=[saddle_to_rear_tyre]")
        post = seatpost_of(scene.bike)
        assert post is not None
        assert post.longest_travel is not None
        fit = _answer(scene, next(q for q in _questions(scene) if "seatpost" in q.what))
        assert fit.largest == f"{5 * math.floor(post.longest_travel.value / 5 + 1e-9):g} mm"


def test_a_lowered_saddle_in_the_tyre_asks_for_less_travel() -> None:
    sets = ("clearance.saddle_to_rear_tyre=120",)
    only = frozenset({"saddle_to_rear_tyre"})
    scene = scene_with(*sets)
    (short,) = run_checks(scene, names=only).results
    assert not short.ok
    (way,) = (w for w in Remedies(scene, run_checks(scene)).mends(short) if "seatpost" in w)
    travel = float(way.split("to ")[1].rstrip(")"))
    assert travel < 150
    for value, ok in ((travel, True), (travel + 5, False)):
        report = run_checks(scene_with(*sets, f"build.seatpost.travel={value:g}"), names=only)
        assert report.ok is ok
