"""The table of kinds against kinds: nothing is without an entry, and what is checked can be measured."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from frame3d.bike.solve import solve
from frame3d.bodies import Body
from frame3d.clearance.certify.broad_phase import can_meet
from frame3d.clearance.check import run_checks
from frame3d.clearance.pairs import PAIRS, entry_of
from frame3d.clearance.scene import Scene, scene_of
from frame3d.clearance.table import KINDS, LEFT_OUT, every_pair, kind_of, left_out, start_of
from frame3d.errors import SpecError
from frame3d.parameters.reading.reader import load, loads
from tests.built_forks import fork_bike

CONFIGS = Path(__file__).parents[2] / "configs"
OWN = "\n  bodies:\n    bag: {kind: box, at: [60, 0, 300], size: [60, 40, 90]}\n" + "".join(
    f"    {kind}_part: {{kind: {kind}, at: [-700, 0, 900], {sizes}}}\n"
    for kind, sizes in (
        ("capsule", "diameter: 20, end_diameter: 10, length: 40"),
        ("cylinder", "diameter: 20, length: 40"),
        ("ring", "profile: [[20, -5], [30, -5], [30, 5], [20, 5]]"),
        ("disc", "profile: [[0, -5], [30, -5], [30, 5], [0, 5]]"),
    )
)


BOSS = "{rack: {kind: boss, from_start: 200}, guides: {kind: guide, from_start: 200, count: 2}}\n"


BRAKE = (
    "  rear_brake: {length: 54, depth: 34, outer: 14, angle: 110, mount_rotor: 160}\n"
    "  dropout: {features: {mount: {kind: post_mount}}}\n"
)


@pytest.fixture(scope="module")
def scene() -> Scene:
    """A bike with every part there is: an adaptor too, on a mount for a smaller rotor."""
    text = (CONFIGS / "trail_full_140.yaml").read_text()
    text = re.sub(r"  rear_brake: .*\n", BRAKE, text)
    text = text.replace("\n  down_tube:\n", "\n  down_tube:\n    features: " + BOSS, 1)
    return scene_of(solve(loads(text.replace("\nbuild:\n", "\nbuild:" + OWN, 1))))


def test_every_pair_of_kinds_has_one_entry() -> None:
    """Checks by name and what is left out never speak of the same pair; the rest is parts_to_parts."""
    named = {frozenset(pair) for check in PAIRS[:-1] for pair in check.kinds()}
    assert not named & set(left_out())
    for pair in every_pair():
        a, b = (*pair, *pair)[:2]
        entry = entry_of(a, b)
        assert entry.how
        assert entry == entry_of(b, a)
        if entry.verdict == "checked":
            assert set(entry.how.split(", ")) <= {check.name for check in PAIRS}


def test_what_is_left_out_is_of_known_kinds_and_says_why() -> None:
    for rule in LEFT_OUT:
        assert set(rule.first) | set(rule.second) <= set(KINDS)
        assert len(rule.why) > 7
    # What the file adds is measured against everything.
    assert not any("own" in pair and "crank_arm" not in pair for pair in left_out())
    assert {b for pair in left_out() if "bottle" in pair for b in pair} == {
        "bottle",
        "crank_arm",
        "cassette",
    }


def test_every_body_is_of_a_known_kind(scene: Scene) -> None:
    """A bought fork has no tubes of its own; the other kinds are all on one bike."""
    assert {kind_of(body) for body in scene.bodies} == set(KINDS) - {"fork_tube"}
    built = scene_of(fork_bike("segmented"))
    assert "fork_tube" in {kind_of(body) for body in built.bodies} <= set(KINDS)


def test_what_is_checked_can_be_measured(scene: Scene) -> None:
    rigid = {"frame"}
    kinds = {**scene_of(fork_bike("segmented")).kinds, **scene.kinds}
    for pair in every_pair():
        a, b = (*pair, *pair)[:2]
        if entry_of(a, b).verdict != "checked" or pair == rigid:
            continue
        for one in kinds[a]:
            for other in kinds[b]:
                assert one is other or can_meet(one, other), (one.name, other.name)


def test_a_part_of_a_new_kind_is_checked_against_everything() -> None:
    new = Body("lamp_left", "build.lamp", "lamp", (), (), "#ffffff")
    assert kind_of(new) == "lamp_left"
    assert start_of(new) == "lamp"


def test_a_racing_bike_is_of_known_kinds_too() -> None:
    scene = scene_of(solve(load(CONFIGS / "adventure_rigid.yaml")))
    assert {kind_of(body) for body in scene.bodies} <= set(KINDS)


def failing(text: str, *names: str) -> set[tuple[str, str] | None]:
    report = run_checks(scene_of(solve(loads(text))), names=frozenset(names))
    return {r.between for r in report.results if not r.ok}


def test_bottles_meet_each_other_and_the_shock() -> None:
    text = (CONFIGS / "trail_full_140.yaml").read_text()
    one = "bottles: [{on: down_tube, from_start: 350}]"
    assert one in text
    assert not failing(text, "bottle_to_parts")
    two = text.replace(one, f"{one[:-1]}, {{on: down_tube, from_start: 400}}]")
    assert ("bottle_1", "bottle_2") in failing(two, "bottle_to_parts")
    low = text.replace(one, "bottles: [{on: down_tube, from_start: 250}]")
    assert ("bottle_1", "shock_body") in failing(low, "bottle_to_parts")


def test_own_bodies_meet_what_they_are_not_fixed_to() -> None:
    text = (CONFIGS / "trail_hardtail_29.yaml").read_text()
    bag = "bag: {kind: box, at: [-110, 0, 700], size: [120, 90, 90]TOUCHES}"
    put = text.replace("\nbuild:\n", f"\nbuild:\n  bodies:\n    {bag}\n", 1)
    found = failing(put.replace("TOUCHES", ""), "own_to_parts")
    assert ("bag", "saddle") in found
    named = put.replace("TOUCHES", ", touches: [saddle, saddle_dropped, seatpost]")
    assert ("bag", "saddle") not in failing(named, "own_to_parts")
    with pytest.raises(SpecError, match="no body named 'sadle'"):
        failing(put.replace("TOUCHES", ", touches: [sadle]"), "own_to_parts")
