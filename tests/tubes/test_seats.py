"""Seats of cups and posts over their whole depth, against sizes worked out by hand."""

from __future__ import annotations

from typing import Any

import pytest

from frame3d.bike.place_tubes import PlacedTubes, place_tubes
from frame3d.errors import TubeError
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.sizes.standards import cup
from frame3d.tubes.seats import clear_below, tight_below, widest
from tests.bikes import hardtail_chart, hardtail_data, hardtail_nodes

LENGTH = 115.0
ZS44 = cup("ZS44")
ZS56 = cup("ZS56")


def placed(changes: dict[str, Any], **build: Any) -> PlacedTubes:
    data = hardtail_data()
    for name, tube in changes.items():
        data["tubes"][name] |= tube
    for key, value in build.items():
        data["build"][key] = data["build"].get(key, {}) | value
    return place_tubes(FrameSpec.model_validate(data), hardtail_nodes(), hardtail_chart())


def head(od: Any, wall: Any, **headset: Any) -> PlacedTubes:
    return placed({"head_tube": {"od": od, "wall": wall}}, headset=headset)


def refused(od: Any, wall: Any, **headset: Any) -> str:
    with pytest.raises(TubeError) as caught:
        head(od, wall, **headset)
    (fault,) = caught.value.faults
    assert (fault.code, fault.path) == ("section", "tubes.head_tube.wall")
    return f"{fault.message} | {fault.hint}"


def test_a_taper_that_starts_at_the_face_leaves_no_seat() -> None:
    """62 to 50 over 115 mm, wall 3: 44.0 inside at the top's face, 50 + 12 × 20/115 - 6 at 20 mm."""
    inside = 50 + 12 * 20 / LENGTH - 6
    told = refused({"start": 62.0, "end": 50.0}, 3.0)
    assert f"{inside:.2f} mm wide inside 20.0 mm from the top" in told
    assert "straight seat of 43.975 mm over 20 mm" in told


@pytest.mark.parametrize(("short", "holds"), [(0.02, True), (0.099, True), (0.3, False)])
def test_the_wall_that_the_message_asks_for_is_enough(short: float, holds: bool) -> None:
    """(52.087 - 43.975) / 2 = 4.056 mm; thinner by half the play of 0.1 still holds, by 0.3 does not."""
    wall = (50 + 12 * 20 / LENGTH - ZS44.bore) / 2
    od = {"start": 62.0, "end": 50.0}
    assert "at least 4.06 mm" in refused(od, 3.0)
    assert not head(od, 4.06).notes
    if holds:
        assert not head(od, wall - short / 2).notes
    else:
        refused(od, wall - short / 2)


def test_between_the_loosest_and_the_tightest_cup_is_a_warning() -> None:
    """Pressed cups are 0.1 to 0.25 wider than their bore (trade pages)."""
    wall = (50.0 - ZS44.bore) / 2
    straight = {"upper": "ZS44/28.6", "lower": "ZS44/30"}
    assert not head(50.0, wall - 0.045, **straight).notes
    notes = head(50.0, wall - 0.1, **straight).notes
    assert {n.path for n in notes} == {"tubes.head_tube.wall"}
    assert all("only a tight cup holds there" in n.message for n in notes)
    with pytest.raises(TubeError) as caught:
        head(50.0, wall - 0.13, **straight)
    assert len(caught.value.faults) == 2


@pytest.mark.parametrize(
    ("butt", "holds"), [(26.0, True), (20.0, True), (19.0, False), (12.0, False)]
)
def test_a_butt_that_ends_within_the_cup_holds_the_rest_of_it_not(butt: float, holds: bool) -> None:
    """44 bore in 50: a wall of 3.0 fits, 2.2 is 1.6 mm too wide; 20 mm deep at both ends."""
    wall = {"butted": [3.0125, 2.2, 3.0125], "lengths": [26.0, butt], "transition": 10.0}
    straight = {"upper": "ZS44/28.6", "lower": "ZS44/30"}
    if holds:
        assert len(head(50.0, wall, **straight).bores) == 3
        return
    # The transition thins by 0.08125 mm a mm, twice that in diameter.
    wide = 43.975 + 2 * min((20.0 - butt) * 0.08125, 0.8125)
    if wide - 43.975 <= 0.25:
        (note,) = head(50.0, wall, **straight).notes
        assert f"{wide:.2f} mm wide inside 20.0 mm from the top" in note.message
    else:
        assert f"{wide:.2f} mm wide inside 20.0 mm from the top" in refused(50.0, wall, **straight)


def test_the_lower_cup_is_held_to_its_own_depth() -> None:
    """A tube that widens upward: the lower external cup needs 15 mm, a zero-stack one 20."""
    wall = {"butted": [1.2125, 0.8, 1.2125], "lengths": [15.0, 30.0], "transition": 5.0}
    external = {"upper": "EC34/28.6", "lower": "EC34/30"}
    assert len(head(36.35, wall, **external).bores) == 3
    told = refused(36.35, wall, **external | {"lower": {"bore": 33.925, "depth": 20.0}})
    assert "20.0 mm from the bottom" in told
    assert "34.75 mm" in told


def test_an_oval_head_tube_is_loose_across_its_longer_side() -> None:
    told = refused({"height": 52.0, "width": 50.0}, 3.0125, upper="ZS44/28.6", lower=None)
    assert "45.98 mm wide inside" in told


def seat(wall: Any, **post: Any) -> PlacedTubes:
    return placed({"seat_tube": {"od": 34.9, "wall": wall}}, seatpost=post)


BUTTED = {"butted": [1.0, 1.65], "lengths": [250.0], "transition": 40.0}
THICK_BELOW = {"butted": [2.2, 1.65], "lengths": [250.0], "transition": 40.0}


def test_how_far_down_a_bore_is_wide_and_tight_enough() -> None:
    """1.65 to 2.2 mm over 40 mm: 31.6 inside from the top to 290, 30.5 from 250 on; 31.0 half-way."""
    (tube,) = (t for t in seat(THICK_BELOW).tubes if t.key == "seat_tube")
    first = 250.0 + max(tube.start.long_point, 0.0)  # butts are measured from the long point
    top = tube.axis.length
    assert clear_below(tube, 31.6, top) == pytest.approx(first + 40)
    assert clear_below(tube, 31.05, top) == pytest.approx(first + 20)
    assert clear_below(tube, 30.0, top) == 0.0
    assert clear_below(tube, 32.0, top) == top
    assert tight_below(tube, 31.7, top) == 0.0
    (thin,) = (t for t in seat(BUTTED).tubes if t.key == "seat_tube")
    assert clear_below(thin, 31.6, top) == 0.0
    assert tight_below(thin, 31.6 + 0.65, top) == pytest.approx(first + 20)
    assert widest(thin, first + 20, top)[0] == pytest.approx(32.25)


def test_a_reamer_follows_the_tops_bore_as_deep_as_the_post_goes() -> None:
    """1.75 mm of wall leaves 31.4: reamed over 3 diameters, or as deep as the post stands."""
    thick = {"butted": [1.0, 1.75], "lengths": [100.0], "transition": 40.0}
    (usual,) = (b for b in seat(thick).bores if b.tube == "seat_tube")
    assert usual.depth == pytest.approx(3 * 31.6)
    (deep,) = (b for b in seat(thick, insertion=180.0).bores if b.tube == "seat_tube")
    assert deep.depth == 180.0


def test_a_reamer_stops_where_the_bore_narrows() -> None:
    """The lower butt of 2.2 mm is not the top's bore: the reamed seat ends where it begins."""
    wall = {"butted": [2.2, 1.75], "lengths": [250.0], "transition": 40.0}
    found = seat(wall, insertion=300.0)
    (tube,) = (t for t in found.tubes if t.key == "seat_tube")
    (bore,) = (b for b in found.bores if b.tube == "seat_tube")
    first = 290.0 + max(tube.start.long_point, 0.0)
    assert bore.depth == pytest.approx(tube.axis.length - first)


def test_a_short_seat_is_warned_of() -> None:
    """Twice 31.6 mm is the least insertion (16 CFR 1512.15(b)); the file's own mark goes before it."""
    narrow = {"butted": [2.2, 1.65], "lengths": [330.0], "transition": 40.0}
    (note,) = seat(narrow).notes
    assert note.path == "tubes.seat_tube.wall"
    assert "narrows 50 mm below its top" in note.message
    assert "63 mm" in note.message
    loose = {"butted": [1.0, 1.65], "lengths": [330.0], "transition": 40.0}
    (note,) = seat(loose).notes
    # 430 - 330 - 40 from the shell's 10 or so of long point; 0.25 of 1.3 mm over 40 mm more are 7.7.
    free = 430.0 - 370.0 - placed_long_point(loose)
    assert f"over {free + 40 * 0.25 / 1.3:.0f} mm only" in note.message
    assert not seat(loose, least_insertion=45.0).notes


def placed_long_point(wall: Any) -> float:
    (tube,) = (t for t in seat(wall).tubes if t.key == "seat_tube")
    return tube.start.long_point
