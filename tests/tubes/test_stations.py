"""Outsides and walls along tubes: butts and tapers between the cut ends, and bends that can be made."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from frame3d.bike.place_tubes import place_tubes
from frame3d.errors import TubeError
from frame3d.parameters.models.frame import FrameSpec
from frame3d.tubes.tube import Tube
from tests.bikes import hardtail_chart, hardtail_data, hardtail_nodes
from tests.frames import bar, context


def placed(**tubes: Any) -> dict[str, Tube]:
    """The hardtail's tubes with some changed."""
    data = hardtail_data()
    for key, change in tubes.items():
        data["tubes"][key] |= change
    spec = FrameSpec.model_validate(data)
    return {t.name: t for t in place_tubes(spec, hardtail_nodes(), hardtail_chart()).tubes}


def faults(**tubes: Any) -> list[tuple[str, str, str]]:
    with pytest.raises(TubeError) as caught:
        placed(**tubes)
    return [(f.code, f.path, f.message) for f in caught.value.faults]


def test_butts_are_measured_from_the_long_points() -> None:
    tube = placed()["down_tube"]
    low, high = tube.start.long_point, tube.axis.length - tube.end.long_point
    assert low > 5.0
    wall = tube.section.wall_at
    # 0.9 for 90 from the start, 50 to 0.6; 0.9 for 120 before the end, 50 from 0.6.
    for s, t in (
        (low, 0.9),
        (low + 90, 0.9),
        (low + 115, 0.75),
        (low + 140, 0.6),
        (high - 170, 0.6),
        (high - 145, 0.75),
        (high - 120, 0.9),
        (high, 0.9),
    ):
        assert wall(s) == pytest.approx(t, abs=1e-9)


def test_single_butt() -> None:
    tube = placed()["seat_tube"]
    low = tube.start.long_point
    for s, t in ((low + 250, 1.0), (low + 270, 1.325), (low + 290, 1.65), (430.0, 1.65)):
        assert tube.section.wall_at(s) == pytest.approx(t, abs=1e-9)


def test_taper_runs_between_the_cut_ends_and_no_further() -> None:
    tube = placed()["chainstay_left"]
    low, high = tube.start.long_point, tube.axis.length
    section = tube.section
    assert section.height_at(0.0) == section.height_at(low) == 30.0
    assert section.width_at(low) == 17.0
    assert section.height_at((low + high) / 2) == pytest.approx(23.0)
    assert section.width_at((low + high) / 2) == pytest.approx(16.5)
    assert (section.height_at(high), section.width_at(high)) == (16.0, 16.0)
    assert section.s[0] == 0.0
    assert section.s[-1] == tube.axis.length
    assert np.all(np.diff(section.s) > 0)


def test_every_section_fits_its_axis() -> None:
    for tube in placed().values():
        assert tube.section.s[0] == 0.0
        assert tube.section.s[-1] == tube.axis.length


def test_bar() -> None:
    assert placed(chainstay_bridge={"wall": "solid"})["chainstay_bridge"].section.is_solid


def test_butts_longer_than_the_tube() -> None:
    wall = {"butted": [0.9, 0.6, 0.9], "lengths": [390.0, 320.0], "transition": 50.0}
    ((code, path, message),) = faults(down_tube={"wall": wall})
    assert (code, path) == ("butt", "tubes.down_tube.wall")
    assert "810.0 mm" in message


def test_butts_that_just_fit() -> None:
    tube = placed()["down_tube"]
    cut = tube.axis.length - tube.start.long_point - tube.end.long_point
    wall = {"butted": [0.9, 0.6, 0.9], "lengths": [300.0, cut - 400.0 - 1e-6], "transition": 50.0}
    section = placed(down_tube={"wall": wall})["down_tube"].section
    assert min(section.wall) == pytest.approx(0.6)
    wall["lengths"] = [300.0, cut - 400.0 + 1e-3]
    assert faults(down_tube={"wall": wall})[0][0] == "butt"


def test_bend_tighter_than_half_the_tube_folds_it() -> None:
    bends = [{"along": 100.0, "y": 46.0, "radius": 7.9}]
    ((code, path, message),) = faults(seatstay={"bends": bends})
    assert (code, path) == ("bend", "tubes.seatstay.bends.0.radius")
    assert "16.0 mm across" in message


def test_bend_is_measured_in_its_own_plane() -> None:
    """The chainstays bend sideways: their width of 17 counts, not their height of 30."""
    bends = hardtail_data()["tubes"]["chainstay"]["bends"]
    bends[0]["radius"] = 13.0
    assert "chainstay_left" in placed(chainstay={"bends": bends})
    wide = {"start": {"height": 17.0, "width": 30.0}, "end": 16.0}
    assert faults(chainstay={"bends": bends, "od": wide})[0][:2] == (
        "bend",
        "tubes.chainstay.bends.0.radius",
    )


def test_bend_under_three_diameters_is_a_warning() -> None:
    """Common practice, no source."""
    data = hardtail_data()
    for radius, warns in ((47.0, True), (49.0, False)):
        data["tubes"]["seatstay"]["bends"][0]["radius"] = radius
        spec = FrameSpec.model_validate(data)
        notes = place_tubes(spec, hardtail_nodes(), hardtail_chart()).notes
        assert any(n.path == "tubes.seatstay.bends.0.radius" for n in notes) == warns


def test_bend_whose_arc_does_not_fit() -> None:
    bends = [{"along": 100.0, "y": 46.0, "radius": 2000.0}]
    ((code, path, message),) = faults(seatstay={"bends": bends})
    assert (code, path) == ("bend", "tubes.seatstay.bends.0")
    assert "of the leg before it" in message


def test_a_bend_that_does_not_turn_leaves_the_next_one_its_place_in_messages() -> None:
    bends = [
        {"along": 50.0, "radius": 90.0},
        {"along": 120.0, "y": 46.0, "radius": 7.0},
    ]
    assert faults(seatstay={"bends": bends})[0][1] == "tubes.seatstay.bends.1.radius"


@pytest.mark.parametrize("flat", ["inside", "outside", "below", "above"])
def test_the_flat_of_a_d_is_where_the_file_says_on_both_sides(flat: str) -> None:
    """The side of the outline that lies furthest out there is straight, and opposite it is a round."""
    od = {"height": 40, "width": 32, "corner": 4, "flat": flat}
    if flat in ("below", "above"):
        od |= {"height": 32, "width": 40}
    for ends in (((-300, 60, 40), (0, 30, 0)), ((0, 30, 0), (-300, 60, 40))):
        bike = context({"stay": bar(od, *ends, 1.5, pair=True)})
        for tube in bike.tubes:
            toward = np.array([0.0, -1.0 if tube.side == "left" else 1.0, 0.0])
            if flat in ("below", "above"):
                toward = np.array([0.0, 0.0, 1.0 if flat == "above" else -1.0])
            toward = -toward if flat == "outside" else toward
            along = tube.axis.tangent(0.0)
            _, up, across = tube.axis.frames(np.zeros(1))
            ways = [way for way in (up[0], across[0]) if abs(float(way @ toward)) > 0.5]
            way = ways[0] * np.sign(float(ways[0] @ toward))
            y, x = tube.section.place(np.arange(0.0, 360.0, 0.5), np.zeros(1))
            out = (y[:, None] * up + x[:, None] * across) @ way
            assert abs(float(along @ way)) < 1e-9
            assert (out > out.max() - 1e-9).mean() > 0.15
            assert (out < out.min() + 1e-9).mean() < 0.01
