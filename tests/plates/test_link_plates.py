"""Outlines of one's own for a link's plates, on the full-suspension demo's rocker."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

import frame3d
from frame3d.bike.bike import Bike
from frame3d.bike.mass_model import mass_model
from frame3d.errors import SpecError, TubeError
from frame3d.plates.flat_parts import flat_parts_of
from frame3d.tubes.hardware import LinkPlate

FULL = Path(__file__).parents[2] / "configs" / "trail_full_140.yaml"
EDGE = "[[-16, -16, 12], [80, -16, 12], [80, 14, 12], [66, 106, 14], [40, 106, 14], [-16, 16, 12]]"
POCKET = "pockets: [{at: [0, 0], diameter: 20, depth: 2}]"
HOLE = "holes: [{at: [40, 30], diameter: 20}]"


def bike(text: str) -> Bike:
    return frame3d.solve(frame3d.load(FULL, sets=["plates.own={kind: link_plate, " + text + "}"]))


def plates(one: Bike) -> list[LinkPlate]:
    return [item for item in one.pivots if isinstance(item, LinkPlate)]


@pytest.fixture(scope="module")
def made() -> Bike:
    return bike(f"link: rocker, thickness: 6, material: 6061-T6, corners: {EDGE}, {HOLE}, {POCKET}")


def test_the_link_s_bores_are_in_it_where_its_points_are(made: Bike) -> None:
    assert made.linkage is not None
    for item in plates(made):
        own = item.own
        assert own is not None
        bored = [boss for boss in item.bosses if boss.bore > 0]
        assert len(own.outline.holes) == len(bored) + 1
        for boss, hole in zip(bored, own.outline.holes, strict=False):
            x, _, z = own.plane.at(hole.at)
            assert (x, z) == pytest.approx(made.linkage.drawn[boss.pivot], abs=1e-6)
            assert hole.diameter == boss.bore
        assert sorted((-own.low, -own.high)) == pytest.approx([item.plate.low, item.plate.high])
        assert own.outline.flaws() == ()


def test_left_and_right_are_mirror_images(made: Bike) -> None:
    left, right = (item.own for item in plates(made))
    assert left is not None
    assert right is not None
    assert left.outline.outer == right.outline.outer
    assert [one.outline.pockets[0].face for one in (left, right)] == ["front", "back"]
    assert left.volume == pytest.approx(right.volume)


def test_it_is_the_solid_s_outline_and_its_material(made: Bike) -> None:
    """The solid has the boss at the shock too: a ring of 21.5 by 8, 15 long (closed form)."""
    parts = {part.name: part for part in frame3d.build(made).parts}
    for item in plates(made):
        assert item.own is not None
        boss = next(boss for boss in item.bosses if boss.pivot == "rocker_shock")
        long = boss.high - boss.low - item.plate.thickness
        ring = math.pi / 4 * (boss.stands**2 - boss.bore**2) * long
        part = parts[item.name]
        assert part.volume == pytest.approx(item.own.volume + ring, rel=1e-6)
        assert part.material == "6061-T6"
        assert part.mass == pytest.approx(part.volume * item.own.density * 1e-3)


def test_it_is_on_the_sheet_with_what_goes_into_its_bores(made: Bike) -> None:
    (part,) = [one for one in flat_parts_of(made.frame) if one.kind == "link plate"]
    assert part.is_mirrored
    assert part.material == "6061-T6"
    assert [hole.note for hole in part.outline.holes] == [
        "axle of rocker pivot",
        "axle of rocker rear",
        "axle of rocker shock",
        "",
    ]
    assert len(part.outline.pockets) == 1


@pytest.mark.parametrize(
    ("text", "path", "message"),
    [
        (f"link: rocker, thickness: 5, corners: {EDGE}", "thickness", "laid out 6 mm thick"),
        (f"link: chainstay_link, thickness: 6, corners: {EDGE}", "link", "has tubes"),
        ("link: rocker, thickness: 6, path: [[-9, -9], [80, -9], [80, 20], [-9, 20]]", "path",
         "rocker_rear at 53.76, 90.19 is not on the plate"),
        ("link: rocker, thickness: 6, path: [[-5, -16], [80, -16], [80, 110], [-5, 110]]", "path",
         "the bore at rocker_pivot breaks the edge"),
        (f"link: rocker, thickness: 6, corners: {EDGE}, holes: [{{at: [0, 9], diameter: 8}}]",
         "holes.0", "of metal between"),
        (f"link: rocker, thickness: 6, corners: {EDGE}, slots: [{{at: [79, 0], length: 9, width: 4}}]",
         "slots.0", "breaks the edge"),
        ("link: rocker, thickness: 6, path: [[-20, -20], [90, 120], [90, -20], [-20, 120]]", "path", ""),
    ],
)  # fmt: skip
def test_what_does_not_fit_is_told_once(text: str, path: str, message: str) -> None:
    with pytest.raises(TubeError) as caught:
        bike(text)
    (fault,) = caught.value.faults
    assert fault.path == f"plates.own.{path}"
    assert message in fault.message


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (f"link: wishbone, thickness: 6, corners: {EDGE}", "wishbone"),
        ("link: rocker, thickness: 6", "missing: the part's edge"),
        (f"link: rocker, thickness: 2, corners: {EDGE}, {POCKET}", "goes through the plate"),
    ],
)
def test_what_the_file_says_is_read_first(text: str, message: str) -> None:
    with pytest.raises(SpecError, match=message):
        bike(text)


def test_without_solids_it_weighs_what_its_outline_does(made: Bike) -> None:
    found = {part.name: part for part in mass_model(made).parts}
    for item in plates(made):
        assert item.own is not None
        assert found[item.name].mass_kg == pytest.approx(item.own.grams / 1000)
