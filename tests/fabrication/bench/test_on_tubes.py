"""Features in the bench order: drilled and bossed before joining, stood on after, tapped last."""

from __future__ import annotations

from functools import cache

from frame3d.fabrication.bench.joints import joints_of
from frame3d.fabrication.bench.on_tubes import after_joining, before_joining, faces, slots, threads
from frame3d.fabrication.bench.steps import steps_of
from frame3d.fabrication.pack import Maker
from tests.featured import solved
from tests.mounted import mounted


@cache
def maker() -> Maker:
    return Maker(solved(), "A4", None)


def test_holes_come_before_bosses_and_each_tube_has_its_step() -> None:
    lines = list(before_joining(maker().marks, "fillet_brazed"))
    assert [line[1].partition(":")[0] for line in lines] == ["down tube", "down tube", "chainstay"]
    assert lines[0][1] == "down tube: mark and drill 2, 3, 4, 5, 6, 7; deburr inside and out"
    assert lines[1][1].startswith("down tube: fillet-braze the bosses 2, 3, 4, 5, 6")
    assert lines[1][2] == "2 × boss M5, hole 9; 3 × boss M6, hole 10"
    assert lines[2][1].endswith("vents open before any heat")
    assert lines[2][2].startswith("port 6 × 9; 2 × vent 4")


def test_what_stands_on_tubes_follows() -> None:
    found = {line[1].partition(":")[0]: line for line in after_joining(maker().marks, None)}
    assert set(found) == {"top tube", "seatstay"}
    assert found["seatstay"][1].startswith("seatstay: mark and join 13, 14")


def test_the_slot_and_the_threads() -> None:
    assert list(slots(maker().marks)) == [
        ("drill the end of the clamp slot, then saw the slot: rear", "hole 6, 32 below the top; slot 2.5")
    ]  # fmt: skip
    assert list(threads(maker().marks)) == [
        ("chase the threads of bosses and eyes", "M5, 4 of them; M6, 3 of them")
    ]
    assert list(threads([])) == []


def test_the_order_is_drill_join_stand_cool_tap() -> None:
    made = maker()
    what = [step.what for step in steps_of(made.bike, made.facts, joints_of(made.bike))]

    def at(text: str) -> int:
        return next(i for i, line in enumerate(what) if text in line)

    order = [
        "mark and drill 2",
        "the bosses 2",
        "tack head tube",
        "13, 14",
        "saw the slot",
        "chase the threads of b",
    ]
    places = [at(text) for text in order if text != "tack head tube"]
    assert places == sorted(places)
    assert at("saw the slot") < at("ream the seat tube") or not any(
        "ream the seat" in w for w in what
    )


def test_a_flat_mount_s_sleeves_are_set_before_joining() -> None:
    made = Maker(
        solved({"chainstay": {"brake": {"kind": "flat_mount", "from_end": 90}}}), "A4", None
    )
    first, second = list(before_joining(made.marks, None))[:2]
    assert first[2].startswith("2 × flat mount M5, hole 12 through both walls")
    assert second[1].startswith("chainstay: join the sleeves 1, 2")
    assert not any("flat" in line[0] for line in threads(made.marks))


def test_posts_are_joined_on_the_frame_faced_and_then_tapped() -> None:
    made = Maker(mounted({"kind": "post_mount", "lean": 6}), "A4", None)
    (line,) = after_joining(made.marks, "tig")
    assert line[1].endswith("the brake mount 1, 2")
    (faced,) = faces(made.marks)
    assert faced[1].startswith("74.2 between the bolts")
    assert list(threads(made.marks)) == [("chase the threads of the brake mount", "M6, 2 of them")]
    what = [step.what for step in steps_of(made.bike, made.facts, joints_of(made.bike))]
    assert what.index(faced[0]) < what.index("chase the threads of the brake mount")
    assert list(faces(maker().marks)) == []
