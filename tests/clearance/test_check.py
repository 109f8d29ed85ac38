"""Checks of whole bikes: what is reported, judged, left out and added, and what the command says."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path

import pytest

from frame3d.bike.solve import solve
from frame3d.bike.tension.insert import at_angle
from frame3d.bike.tension.slide import at_place
from frame3d.clearance.advice.remedies import Remedies
from frame3d.clearance.certify.distance import TOLERANCE
from frame3d.clearance.check import check, near, run_checks
from frame3d.clearance.decision import holds
from frame3d.clearance.lines import between
from frame3d.clearance.pairs import PAIRS
from frame3d.clearance.result import Report
from frame3d.clearance.scene import Scene, scene_of
from frame3d.cli import commands, screen
from frame3d.errors import SpecError
from frame3d.formats.documents import result_document
from frame3d.parameters.models.clearance import ClearanceSpec
from frame3d.parameters.reading.reader import load
from frame3d.parameters.requirements import REQUIREMENTS
from tests.bike.tension.bikes import eccentric

DEMO = Path(__file__).parents[2] / "configs" / "trail_hardtail_29.yaml"
MINIMAL = DEMO.with_name("minimal.yaml")


def scene_with(*sets: str) -> Scene:
    return scene_of(solve(load(DEMO, sets=sets)))


SPRUNG = {check.name for check in PAIRS if check.sprung or check.features or check.built}
"""Checks that a bike without a rear suspension, features of tubes or a built fork has no use for."""


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


def test_sliding_dropouts_are_checked_with_the_axle_anywhere() -> None:
    """Where it is tightest, the same bike's check with its axle exchanged to there finds the same."""
    sliding = "build.dropout={kind: sliding, slide: {length: 16, at: 6}}"
    bike = solve(load(DEMO, sets=[sliding]))
    names = frozenset({"rear_tyre_to_frame"})
    report = run_checks(scene_of(bike), names=names)
    assert not report.ok
    assert {r.at["slide"] for r in report.results} == {-6.0}  # going back, it gains room everywhere
    front, drawn = scene_of(at_place(bike, 0.0)), scene_of(bike)
    for r in report.results:
        assert r.between is not None
        assert r.gap == pytest.approx(still(front, *r.between), abs=TOLERANCE)
        assert r.gap < still(drawn, *r.between)
    assert report.tensioned is not None
    assert report.tensioned.at == (0.0, 6.0, 16.0)
    assert "anywhere in its slots, 0 to 16 mm back" in report.tensioned.says
    decided = holds(scene_of(bike), names)
    assert not decided.holds


def still(scene: Scene, name: str, other: str) -> float:
    """The gap of two bodies as they are drawn, with no motion."""
    a, b = scene.body(name), scene.body(other)
    assert a is not None
    assert b is not None
    gap = between(a, b, scene, ())
    assert gap is not None
    return gap.gap


def test_an_insert_is_checked_over_its_whole_turn() -> None:
    """No gap is smaller on a bike whose insert is exchanged to any angle, and one is as small."""
    bike = eccentric()
    names = frozenset({"chainring_to_frame", "chain_to_frame", "toe_to_front_tyre"})
    report = run_checks(scene_of(bike), names=names)
    turns = [scene_of(at_angle(bike, float(angle))) for angle in range(-180, 1, 15)]
    moving = [r for r in report.results if "insert" in r.at][:6]
    assert len(moving) == 6
    for r in moving:
        assert r.between is not None
        assert r.place["insert"] == r.at["insert"] - 90.0  # as the file counts it, drawn at -90
        at = scene_of(at_angle(bike, r.place["insert"]))
        assert still(at, *r.between) == pytest.approx(r.gap, abs=TOLERANCE)
        assert min(still(scene, *r.between) for scene in turns) >= r.least - TOLERANCE
    words = screen.checked(bike, report)
    tightest = moving[0].place["insert"]
    assert f"insert {tightest:.1f}°" in words
    assert result_document(moving[0])["at"]["insert"] == tightest
    toes = [r for r in report.results if r.name == "toe_to_front_tyre"]
    # Foremost, at 0 degrees, the front centre is shortest.
    assert [r.insert for r in toes] == [0.0, None]
    assert "insert at 0°" in toes[0].label
    assert report.tensioned is not None
    assert report.tensioned.at == (-180.0, -90.0, 0.0)
    assert "whole turn, -180 to 0°" in report.tensioned.says
