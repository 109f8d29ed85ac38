"""The size table: a row a figure, a column a size; held against SolveSpace and bikes solved alone."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from frame3d import variant
from frame3d.bike.bike import Bike
from frame3d.family.members import solve_family
from frame3d.family.size_table import ROWS, SizeTable, size_table
from frame3d.family.wanted import wanted_of
from frame3d.parameters.models.figures import FIGURES
from tests.family.files import SIZES, family_file
from tests.reference.sketch import Sketch

TOLERANCE = 1e-6
"""[mm or degrees]"""


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> str:
    return family_file(tmp_path_factory.mktemp("family"))


@pytest.fixture(scope="module")
def table(file: str) -> SizeTable:
    return size_table(solve_family(wanted_of([file], size="all")))


def test_every_figure_has_its_row() -> None:
    assert sorted(ROWS) == sorted(FIGURES)


def drawn(bike: Bike) -> dict[str, float]:
    """Return figures of a bike as measured on SolveSpace's drawing of the values that its file gives."""
    spec, fork = bike.spec, bike.spec.build.fork
    assert fork is not None
    sketch = Sketch(bike.nodes, offset=False, shake=4.0, seed=1)
    for figure, value in spec.geometry.model_dump(exclude_none=True).items():
        sketch.figure(figure, value)
    sketch.figure("fork_length_straight", fork.axle_to_crown)
    sketch.figure("fork_offset", fork.offset)
    for figure in ("front_wheel_radius", "rear_wheel_radius", "lower_headset_stack"):
        value = bike.chart[figure]
        assert value is not None
        sketch.figure(figure, value)
    sketch.left_of("saddle", sketch.line("seat_level", "head_tube_top"), 0.0)
    at = sketch.solve()

    def angle(low: str, high: str) -> float:
        return math.degrees(math.atan2(at[high][1] - at[low][1], at[low][0] - at[high][0]))

    ground = at["front_contact"][1]
    return {
        "reach": at["head_tube_top"][0],
        "stack": at["head_tube_top"][1],
        "effective_top_tube": at["head_tube_top"][0] - at["seat_level"][0],
        "seat_tube_length": math.dist(at["seat_foot"], at["seat_tube_top"]),
        "head_tube_length": math.dist(at["head_tube_bottom"], at["head_tube_top"]),
        "head_tube_angle": angle("head_tube_bottom", "head_tube_top"),
        "actual_seat_tube_angle": angle("seat_foot", "seat_tube_top"),
        "effective_seat_tube_angle": angle("bottom_bracket", "seat_level"),
        "chainstay_length": math.dist(at["bottom_bracket"], at["rear_axle"]),
        "front_centre": math.dist(at["bottom_bracket"], at["front_axle"]),
        "wheelbase": at["front_contact"][0] - at["rear_contact"][0],
        "bb_drop": at["rear_axle"][1],
        "bb_height": -ground,
        "trail": at["steering_on_ground"][0] - at["front_contact"][0],
        "mechanical_trail": math.dist(at["front_contact"], at["trail_foot"]),
        "wheel_flop": at["trail_foot"][1] - ground,
        "fork_axle_to_crown": math.dist(at["crown_race"], at["fork_foot"]),
        "fork_offset": math.dist(at["fork_foot"], at["front_axle"]),
        "lower_headset_stack": math.dist(at["head_tube_bottom"], at["crown_race"]),
    }


@pytest.mark.parametrize("size", SIZES)
def test_every_size_against_solvespace(file: str, table: SizeTable, size: str) -> None:
    """Each size solved by itself by SolveSpace's constraint solver (package slvs)."""
    place = table.columns.index(size)
    found = {row.figure: row.values[place] for row in table.static}
    for figure, value in drawn(variant(file, size=size)).items():
        assert found[figure] == pytest.approx(value, abs=TOLERANCE), figure


@pytest.mark.parametrize("size", SIZES)
def test_every_size_is_the_bike_solved_alone(file: str, table: SizeTable, size: str) -> None:
    place, bike = table.columns.index(size), variant(file, size=size)
    assert bike.sagged is not None
    for stand, chart in (("static", bike.chart), ("sagged", bike.sagged.chart)):
        rows = table.rows("static" if stand == "static" else "sagged")
        assert {row.figure: row.values[place] for row in rows} == {
            row.figure: chart[row.figure] for row in rows
        }
        assert {f for f in FIGURES if chart[f] is not None} == {row.figure for row in rows}


def test_rows_in_the_trades_order_with_units(table: SizeTable) -> None:
    figures = [row.figure for row in table.static]
    assert figures == [figure for figure in ROWS if figure in figures]
    assert (table.static[0].title, table.static[0].unit) == ("Reach", "mm")
    assert table.static[0].values == pytest.approx((430, 445, 460, 475, 490))


def test_bikes_that_are_not_sprung_have_no_row_at_sag(tmp_path: Path) -> None:
    path = family_file(tmp_path)
    rigid = wanted_of([f"{path}:S", f"{path}:M"], sets=["build.fork.travel=0", "build.fork.sag=0%"])
    assert size_table(solve_family(rigid)).rows("sagged") == ()
