"""What a terminal shows of an exploration."""

from __future__ import annotations

from dataclasses import replace

from frame3d.cli.screen_exploring import explored, exploring_document, standing_text
from frame3d.explore.exploration import Exploration, Sensitivity
from frame3d.explore.pool import Standing
from frame3d.explore.search.bearing import Bearing, Gain
from frame3d.explore.study.quantities import stiffness_in
from frame3d.explore.study.study import Wish
from tests.explore.fakes import STUDY, designs, result

FAR = tuple(result(d) for d in designs(4))


def test_none_found_tells_the_nearest_what_blocks_and_what_helps() -> None:
    found = Exploration(
        STUDY,
        FAR,
        blocking={"trail": 4, "checks.chain_to_frame": 1},
        evaluated=3,
        seconds=6.0,
        ended="budget",
        bearings=(
            Bearing("trail", "geometry.reach", 0.9),
            Bearing("trail", "build.rear_wheel.tyre", 0.1),
        ),
        unmoved=("checks.chain_to_frame",),
        unvaried=(
            Gain("trail", "geometry.head_tube_angle", -1.0, 7.0, 0.39),
            Gain("trail", "build.fork.offset", -1.0, 20.0, 1.1),
        ),
    )
    text = explored(found)
    assert "3 designs tried in 6 s, 0.5 a second, 1 more were known; ended: budget" in text
    assert "none meets every wish" in text
    assert "short: trail [mm] 100.1, asked 118 to 128" in text
    assert "trail stopped 4; what helps: more geometry.reach\n" in text
    assert "checks.chain_to_frame stopped 1; nothing that varies bears on it" in text
    assert (
        "trail: what does not vary yet and bears on it: geometry.head_tube_angle -1 would mend 39 % of "
        "it; build.fork.offset -1 would mend all of it" in text
    )
    (one, _) = exploring_document(found, ())["unvaried"]
    assert one == {
        "label": "trail",
        "path": "geometry.head_tube_angle",
        "change": -1.0,
        "gain": 7.0,
        "share": 0.39,
    }


def test_a_defect_is_told_by_its_line() -> None:
    lost = replace(FAR[0], values={}, fault="a chainstay too short", total=1.0)
    assert "  a chainstay too short" in explored(Exploration(STUDY, (lost,), ended="budget"))


def test_a_figure_that_the_bike_has_not_is_told() -> None:
    none = replace(FAR[0], values={}, shortfalls={"trail": 100.0})
    assert "short: trail [mm]: the bike has no such figure" in explored(Exploration(STUDY, (none,)))


def test_what_stiffness_cannot_say_is_told_where_it_is_asked_for() -> None:
    wish = Wish("stiffness.head_twist", stiffness_in("head_twist"), 95.0, None, 0.95)
    asked = replace(STUDY, wishes=(*STUDY.wishes, wish))
    assert "stiffer is not stronger" in explored(Exploration(asked, FAR, ended="budget"))
    assert "stiffer" not in explored(Exploration(STUDY, FAR, ended="budget"))


def test_how_it_stands_on_one_line() -> None:
    early = Standing(1, None, 1, 0, FAR[0], (("trail", 1),))
    assert standing_text(early, 2.0) == "1, 0.5/s, best falls short by 18, trail blocks most"
    late = Standing(9, 10, 8, 2, FAR[0], ())
    assert standing_text(late, 2.0) == "9, 4/s, 2 meet every wish"


def test_the_document_is_by_path_and_label() -> None:
    found = Exploration(
        STUDY,
        FAR,
        front=FAR[:1],
        sensitivities=(Sensitivity("geometry.reach", 1.0, "trail", 0.33),),
        ended="told",
    )
    made = exploring_document(found, ["a.csv"])
    assert made["front"][0]["design"] == {"geometry.reach": 0.0, "build.rear_wheel.tyre": "58-622"}
    assert made["units"] == {"trail": "mm", "mass": "g"}
    assert made["sensitivities"] == [
        {"path": "geometry.reach", "step": 1.0, "label": "trail", "effect": 0.33}
    ]
    assert (made["ended"], made["designs"], made["files"]) == ("told", 4, ["a.csv"])
