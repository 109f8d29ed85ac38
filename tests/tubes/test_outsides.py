"""Outsides along a tube: tapers of a stretch, thick ends, stations, dimples; butts of a tube as sold."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from frame3d.errors import TubeError
from frame3d.geometry.ellipse import girth
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.models.tubes import TubeSpec
from frame3d.tubes.mass import masses_of
from frame3d.tubes.placing.outsides import outside_faults, outside_stations
from frame3d.tubes.tube import Tube
from tests.bikes import hardtail_data, placed_layout
from tests.tubes.placing import from_data


def spec(**more: Any) -> TubeSpec:
    return TubeSpec.model_validate({"od": 30, "wall": 0.9, **more})


def profile(length: float, **more: Any) -> list[tuple[float, float, float]]:
    return [(x.s, x.height, x.width) for x in outside_stations(spec(**more), length)]


def told(length: float, **more: Any) -> list[str]:
    return [key for key, _, _ in outside_faults(spec(**more), length)]


def test_taper_over_part_of_the_length() -> None:
    od = {"start": 34, "end": 40, "after": 120, "over": 200}
    assert profile(500, od=od) == [(120, 34, 34), (320, 40, 40)]
    assert profile(500, od={"start": 34, "end": 40, "after": 120}) == [(120, 34, 34), (500, 40, 40)]
    assert told(500, od=od) == []
    assert told(319, od=od) == ["od.over"]
    assert told(100, od={"start": 34, "end": 40, "after": 120}) == ["od.after"]


def test_thick_ends_and_bell() -> None:
    ends = {"steps": [50, 46, 52], "lengths": [20, 25], "transition": 5}
    assert profile(120, od=ends) == [(20, 50, 50), (25, 46, 46), (90, 46, 46), (95, 52, 52)]
    bell = {"steps": [56, {"height": 46, "width": 44}], "lengths": [25], "transition": 10}
    assert profile(120, od=bell) == [(25, 56, 56), (35, 46, 44)]
    assert told(55, od=ends) == []
    assert told(54, od=ends) == ["od"]


def test_stations_count_from_either_end() -> None:
    od = {"stations": [[0, 50], [20, 46], [-25, 46], [-20, 50]]}
    assert profile(120, od=od) == [(0, 50, 50), (20, 46, 46), (95, 46, 46), (100, 50, 50)]
    assert told(46, od=od) == []
    assert told(44, od=od) == ["od.stations.2"]


def test_dimple_keeps_the_circumference_unless_both_sizes_are_given() -> None:
    flat = {"at": 150, "over": 40, "transition": 30, "width": 20}
    rows = profile(400, dimples=[flat])
    assert [s for s, _, _ in rows] == [0, 100, 130, 170, 200, 400]
    assert [w for _, _, w in rows] == [30, 30, 20, 20, 30, 30]
    height = rows[2][1]
    assert girth(height, 20) == pytest.approx(30 * math.pi, abs=1e-6)
    assert height == rows[3][1] > 30
    both = profile(400, dimples=[flat | {"height": 31}])
    assert both[2][1:] == (31, 20)


def test_dimple_in_a_taper_is_measured_where_it_is() -> None:
    """Its run-outs meet the taper, and its circumference is that of the taper at its middle."""
    rows = profile(
        400,
        od={"start": 34, "end": 26},
        dimples=[{"at": 200, "over": 40, "transition": 30, "height": 20}],
    )
    assert [round(s) for s, _, _ in rows] == [0, 150, 180, 220, 250, 400]
    assert rows[1][1:] == pytest.approx((31, 31))
    assert rows[4][1:] == pytest.approx((29, 29))
    assert girth(*rows[2][1:]) == pytest.approx(30 * math.pi, abs=1e-6)


def test_dimples_that_do_not_fit() -> None:
    one = {"at": 150, "over": 40, "transition": 30, "width": 20}
    assert told(400, dimples=[one, one | {"at": 250}]) == []
    assert told(400, dimples=[one, one | {"at": 249}]) == ["dimples.1"]
    assert told(199, dimples=[one]) == ["dimples.0"]
    assert told(400, dimples=[one | {"at": 49}]) == ["dimples.0"]
    assert told(400, dimples=[one | {"width": 30}]) == ["dimples.0.width"]
    # Nothing wider than half of what it measures around can be pressed from it.
    assert told(400, dimples=[one | {"height": 47.2, "width": 20}]) == []
    assert told(400, od={"height": 10, "width": 40}, dimples=[one | {"width": 39.9}]) == []


def placed(**tubes: Any) -> dict[str, Tube]:
    """The hardtail's tubes with some changed."""
    return {t.name: t for t in from_data(data(**tubes)).tubes}


def data(**tubes: Any) -> dict[str, Any]:
    made = hardtail_data()
    for key, change in tubes.items():
        made["tubes"][key] |= change
    return made


BUTTS = {"butted": [0.9, 0.6, 0.9], "lengths": [110, 160], "transition": 50}


def walls(tube: Tube, *places: float) -> list[float]:
    """Walls at places from the start's long point; from the end's where negative."""
    low, high = tube.start.long_point, tube.axis.length - tube.end.long_point
    s = [low + x if x >= 0 else high + x for x in places]
    return [round(float(t), 9) for t in tube.section.wall_at(np.array(s))]


def test_butts_of_a_tube_as_sold_are_what_its_cuts_leave() -> None:
    """Ends of 110 and 160 mm, of which 20 and 40 are cut off: 90 and 120 are left."""
    tube = placed(down_tube={"wall": BUTTS | {"cut": {"start": 20, "end": 40}}})["down_tube"]
    assert walls(tube, 0, 89.9, 115, 140, -170, -145, -119.9) == [
        0.9,
        0.9,
        0.75,
        0.6,
        0.6,
        0.75,
        0.9,
    ]
    assert tube.sold is not None
    left = tube.axis.length - tube.start.long_point - tube.end.long_point
    assert (tube.sold.start, tube.sold.end) == (20, 40)
    assert tube.sold.length == pytest.approx(left + 60)


@pytest.mark.parametrize("end", ["start", "end"])
def test_the_other_end_gives_what_is_left(end: str) -> None:
    plain = placed()["down_tube"]
    left = plain.axis.length - plain.start.long_point - plain.end.long_point
    tube = placed(down_tube={"wall": BUTTS | {"as_sold": left + 60, "cut": {end: 25}}})["down_tube"]
    assert tube.sold is not None
    off = (25.0, 35.0) if end == "start" else (35.0, 25.0)
    assert (tube.sold.start, tube.sold.end) == pytest.approx(off)
    assert walls(tube, 110 - off[0] + 25, -(160 - off[1] + 25)) == [0.75, 0.75]


@pytest.mark.parametrize(
    ("sold", "path", "words"),
    [
        ({"as_sold": 500, "cut": {"start": 0}}, "wall.as_sold", "are needed"),
        ({"as_sold": 760, "cut": {"start": 700}}, "wall.as_sold", "besides the 700 mm"),
        ({"as_sold": 760, "cut": {"start": 5, "end": 5}}, "wall.cut", "are cut off in all, not 10"),
    ],
)
def test_a_tube_as_sold_that_does_not_fit(sold: dict[str, Any], path: str, words: str) -> None:
    with pytest.raises(TubeError) as caught:
        placed(down_tube={"wall": BUTTS | sold})
    (fault,) = caught.value.faults
    assert fault.path == f"tubes.down_tube.{path}"
    assert words in fault.message
    assert fault.hint


def test_a_butt_that_is_cut_off_whole_is_warned_of() -> None:
    made = from_data(data(down_tube={"wall": BUTTS | {"cut": {"start": 115, "end": 0}}}))
    said = [note.message for note in made.notes if "nothing of it is left" in note.message]
    assert len(said) == 1
    assert "115.0 mm are cut off at the start" in said[0]
    tube = next(t for t in made.tubes if t.name == "down_tube")
    assert walls(tube, 0, 45) == [pytest.approx(0.87), 0.6]


def test_externally_butted_seat_tube_has_one_bore() -> None:
    od = {"steps": [33.0, 35.2], "lengths": [300], "transition": 30}
    tube = placed(seat_tube={"od": od, "wall": {"bore": 31.6}})["seat_tube"]
    s = np.linspace(0, tube.axis.length, 200)
    inner = tube.section.height_at(s) - 2 * tube.section.wall_at(s)
    assert np.abs(inner - 31.6).max() < 1e-9
    low = tube.start.long_point
    assert tube.section.height_at(low + 315) == pytest.approx(34.1)


def test_mass_of_a_stepped_bar_is_that_of_cylinders_and_frustums() -> None:
    """π/4 d² h and π h (R² + R r + r²) / 3: any handbook of mathematics; steel of 7.85 g/cm³."""
    od = {"steps": [50, 40, 46], "lengths": [20, 30], "transition": 10}
    bar = {"od": od, "wall": "solid", "start": {"at": [0, 0, 0]}, "end": {"at": [200, 0, 0]}}
    bike = placed_layout(
        FrameSpec.model_validate(
            {"format": 1, "name": "Bench", "geometry": {}, "tubes": {"bar": bar}, "build": {}}
        )
    )

    def frustum(a: float, b: float, h: float) -> float:
        return math.pi * h * (a * a + a * b + b * b) / 12

    volume = frustum(50, 50, 20) + frustum(50, 40, 10) + frustum(40, 40, 130)
    volume += frustum(40, 46, 10) + frustum(46, 46, 30)
    mass = masses_of(bike.frame).parts["bar"]
    assert mass == pytest.approx(volume * bike.tubes[0].density / 1000, rel=1e-9)


def test_a_step_within_a_mitre_is_refused_where_the_cut_does_not_settle() -> None:
    """So steep a step that the long point jumps with it."""
    od = {"steps": [20, 60], "lengths": [0.5], "transition": 1}
    with pytest.raises(TubeError) as caught:
        placed(top_tube={"od": od})
    assert any("depends on it too much" in fault.message for fault in caught.value.faults)
