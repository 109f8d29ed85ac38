"""Shell, dropouts, and the bores of cups and post: sizes of the standards, and what leaves no wall."""

from __future__ import annotations

from typing import Any

import pytest

from frame3d.bike.place_tubes import PlacedTubes
from frame3d.errors import TubeError
from frame3d.tubes.tube import Shell
from tests.bikes import hardtail_data
from tests.tubes.placing import NODES, from_data


def test_shell_of_the_standard_and_in_plain_millimetres() -> None:
    data = hardtail_data()
    shell = from_data(data).shell
    assert shell == Shell("threaded-73", 73.0, 40.0, 33.65)
    data["build"]["bottom_bracket"]["od"] = 42.0
    shell = from_data(data).shell
    assert shell is not None
    assert shell.od == 42.0
    plain = {"width": 68.0, "od": 46.0, "bore": 35.0}
    data["build"]["bottom_bracket"] = {"shell": plain}
    assert from_data(data).shell == Shell("shell", 68.0, 46.0, 35.0)


def test_a_shell_that_reaches_further_out_on_the_left() -> None:
    """79 mm: 34 mm to the right and 45 to the left, by name and in plain millimetres."""
    data = hardtail_data()
    data["build"]["bottom_bracket"] = {"shell": "pressfit-46-79"}
    named = from_data(data).shell
    assert named is not None
    assert named.faces == (-34.0, 45.0)
    assert (named.axis.at(0.0)[1], named.axis.at(79.0)[1]) == (-34.0, 45.0)
    data["build"]["bottom_bracket"] = {
        "shell": {"width": 79.0, "od": 50.8, "bore": 46.0, "middle": 5.5}
    }
    own = from_data(data).shell
    assert own is not None
    assert (own.faces, own.half) == ((-34.0, 45.0), 45.0)


def test_dropouts_know_their_stays(hardtail: PlacedTubes) -> None:
    left, right = hardtail.dropouts
    x, _, z = NODES["rear_axle"]
    assert (left.name, left.side, left.axle) == ("rear_dropout_left", "left", (x, 74.0, z))
    assert right.axle == (x, -74.0, z)
    assert left.stays == (("chainstay_left", "end"), ("seatstay_left", "end"))
    assert right.stays == (("chainstay_right", "end"), ("seatstay_right", "end"))
    assert (left.thickness, left.boss, left.bore) == (7.0, 30.0, 12.0)


def test_no_dropouts_where_nothing_sits_on_them() -> None:
    data = hardtail_data()
    data["tubes"] = {k: v for k, v in data["tubes"].items() if "stay" not in k}
    assert from_data(data).dropouts == ()


def test_bores(hardtail: PlacedTubes) -> None:
    lower, upper, post = hardtail.bores
    assert (lower.tube, lower.at, lower.code) == ("head_tube", "start", "ZS56")
    assert (upper.tube, upper.at, upper.code) == ("head_tube", "end", "ZS44")
    # Finished bores 55.95 to 56.00 and 43.95 to 44.00: value from memory of the SHIS tables.
    assert 55.95 <= lower.diameter <= 56.0
    assert 43.95 <= upper.diameter <= 44.0
    assert (post.tube, post.at, post.diameter) == ("seat_tube", "end", 31.6)
    # At least the two diameters to which the insertion mark must reach (16 CFR 1512.15(b)).
    assert post.depth >= 2 * 31.6


def test_a_seatpost_that_fits_needs_no_bore() -> None:
    data = hardtail_data()
    data["build"]["seatpost"]["diameter"] = 31.4
    placed = from_data(data)
    assert [bore.tube for bore in placed.bores] == ["head_tube", "head_tube"]
    assert placed.notes == ()
    data["build"]["seatpost"]["diameter"] = 30.9
    (note,) = from_data(data).notes
    assert note.path == "build.seatpost.diameter"
    assert "needs a shim" in note.message


FITTINGS: dict[str, tuple[dict[str, Any], str, str]] = {
    "head tube too thin for its lower bore": (
        {"tubes.head_tube.od": {"start": 57.5, "end": 50.0}},
        "tubes.head_tube.od",
        "at least 57.975 mm there, or a headset with a bore of at most 54.2 mm",
    ),
    "head tube too wide for its upper cup": (
        {"tubes.head_tube.od": {"start": 62.0, "end": 52.0}},
        "tubes.head_tube.wall",
        # 52 + 10 × 20 / 115 mm is its outside at the end of the cup's 20 mm; less 43.975, halved: 4.883.
        "a wall of at least 4.89 mm over the first 20 mm from the top",
    ),
    "seatpost too wide": (
        {"build.seatpost.diameter": 34.0},
        "build.seatpost.diameter",
        "at most 33.9, or a wider seat tube",
    ),
    "dropout too small for its axle": (
        {"build.dropout": {"boss": 14.0}},
        "build.dropout.boss",
        "at least 16",
    ),
}


@pytest.mark.parametrize(("changes", "path", "hint"), FITTINGS.values(), ids=FITTINGS)
def test_fittings_that_do_not_fit(changes: dict[str, Any], path: str, hint: str) -> None:
    data = hardtail_data()
    for key, value in changes.items():
        *parents, last = key.split(".")
        there = data
        for parent in parents:
            there = there[parent]
        there[last] = value
    with pytest.raises(TubeError) as caught:
        from_data(data)
    assert [(f.code, f.path) for f in caught.value.faults] == [("section", path)]
    assert hint in caught.value.faults[0].hint


def test_wall_asked_for_by_a_wide_head_tube_is_enough() -> None:
    data = hardtail_data()
    data["tubes"]["head_tube"] |= {"od": {"start": 62.0, "end": 52.0}, "wall": 4.89}
    assert len(from_data(data).bores) == 3
