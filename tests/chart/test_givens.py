"""What the file states, as the chart's variables: parts and figures, their order, and the top tube."""

from __future__ import annotations

import math
from typing import Any

import pytest

from frame3d.chart.givens import Given, givens, held, key, label, part_givens, shown, top_tube
from frame3d.chart.solve import solve_chart
from frame3d.chart.top_tube_relations import TopTube
from frame3d.parameters.models.figures import FIGURES, STANDOVERS
from frame3d.parameters.reading.reader import loads
from tests.chart.test_solve import STRAIGHT_TOP_TUBE, faults
from tests.charts import TRAIL, spec, without


def test_standover_needs_a_top_tube() -> None:
    (fault,) = faults(without(TRAIL, "seat_tube_length", standover=740.0))
    assert (fault.code, fault.path) == ("under-determined", "geometry.standover")
    assert "top_tube" in fault.message


BENT = {"top_tube": STRAIGHT_TOP_TUBE["top_tube"] | {"bends": [{"along": 250, "radius": 300}]}}


ASIDE = {
    "top_tube": STRAIGHT_TOP_TUBE["top_tube"]
    | {"start": {"on": "seat_tube", "below_top": 40, "y": 8}}
}


BY_ANGLES = {
    "top_tube": STRAIGHT_TOP_TUBE["top_tube"]
    | {"start": {"on": "seat_tube", "angle": 65}, "end": {"on": "head_tube", "angle": 75}}
}


TAPERED = {"top_tube": STRAIGHT_TOP_TUBE["top_tube"] | {"od": {"start": 35, "end": 30}}}


@pytest.mark.parametrize("figure", STANDOVERS)
@pytest.mark.parametrize(
    "tubes", [BENT, ASIDE, BY_ANGLES, TAPERED], ids=["bent", "aside", "by angles", "tapered"]
)
def test_standover_needs_a_straight_top_tube(tubes: dict[str, Any], figure: str) -> None:
    (fault,) = faults(without(TRAIL, "seat_tube_length") | {figure: 740.0}, {}, tubes)
    assert fault.path == f"geometry.{figure}"
    assert solve_chart(spec(TRAIL, {}, tubes)).figures()[figure] is None


def test_parts_and_figures_are_the_same() -> None:
    names = ("fork_axle_to_crown", "fork_offset", "lower_headset_stack", "front_wheel_radius")
    figures = without(TRAIL, *names, "rear_wheel_radius")
    build = {
        "fork": {"axle_to_crown": 529.0, "measured": "along_axis", "offset": 44.0},
        "headset": {"lower_stack": 4.0},
        "front_wheel": {"tyre": "61-622"},
        "rear_wheel": {"tyre": {"width": 61, "diameter": 744.0}},
    }
    by_parts, by_figures = solve_chart(spec(figures, build)), solve_chart(spec(TRAIL))
    for name, value in by_figures.values.items():
        assert by_parts.values[name] == pytest.approx(value, abs=1e-12), name
    assert {g.path for g in by_parts.basis} >= {
        "build.fork.axle_to_crown",
        "build.fork.offset",
        "build.headset.lower_stack",
        "build.front_wheel.tyre",
        "build.rear_wheel.tyre",
    }


def test_a_part_against_a_figure() -> None:
    build = {"fork": {"axle_to_crown": 551.0, "measured": "along_axis", "offset": 44.0}}
    (fault,) = faults(without(TRAIL, "fork_offset"), build)
    assert (fault.code, fault.path) == ("contradictory", "geometry.fork_axle_to_crown")
    assert "build.fork.axle_to_crown is 551 mm" in fault.hint
    assert "by 22.0000 mm" in fault.message


def test_values_as_people_read_them_and_back() -> None:
    for name in (*FIGURES, "saddle_height", "fork_length_straight", "cup_angle"):
        assert shown(name, held(name, 67.5)) == pytest.approx(67.5)
        assert Given(name, held(name, 67.5), "").shown == pytest.approx(67.5)
        assert label(name)[0].isupper()
    assert held("head_tube_angle", 90.0) == pytest.approx(math.pi / 2)
    assert held("reach", 90.0) == 90.0


def test_keys_are_where_a_file_states_a_variable() -> None:
    """Written under the key that is named, a solved bike's value comes back as that variable."""
    values = dict(solve_chart(spec(TRAIL, {}, STRAIGHT_TOP_TUBE)).figures())
    values |= {"saddle_height": 720.0, "fork_length_straight": 531.0, "cup_angle": 1.0}
    for variable, value in values.items():
        assert value is not None
        path = key(variable)
        assert path is not None
        room, name, *more = path.split(".")
        if room == "geometry":
            found = givens(spec({name: value}))
        else:
            found = givens(
                spec(
                    {},
                    {
                        name: {more[0]: value, "measured": "straight"}
                        if name == "fork"
                        else {more[0]: value}
                    },
                )
            )
        assert [(g.variable, g.path) for g in found] == [(variable, path)]
        assert found[0].shown == pytest.approx(value)
    assert key("top_tube_at_seat") is None


def test_a_fork_is_measured_one_way_or_the_other() -> None:
    for measured, variable in (
        ("straight", "fork_length_straight"),
        ("along_axis", "fork_axle_to_crown"),
    ):
        build = {"fork": {"axle_to_crown": 529.0, "measured": measured, "offset": 44.0}}
        found = {g.variable: g.value for g in part_givens(spec({}, build))}
        assert found == {variable: 529.0, "fork_offset": 44.0}


@pytest.mark.parametrize(
    ("wheel", "radius", "path"),
    [
        ({"tyre": "61-622"}, 622 / 2 + 61, "tyre"),
        ({"tyre": {"width": 61, "diameter": 740.0}}, 370.0, "tyre"),
        ({"tyre": "61-622", "radius": 366.5}, 366.5, "radius"),
    ],
)
def test_a_wheels_radius_is_measured_or_half_its_tyre(
    wheel: dict[str, Any], radius: float, path: str
) -> None:
    (found,) = part_givens(spec({}, {"rear_wheel": wheel}))
    assert found.variable == "rear_wheel_radius"
    assert found.path == f"build.rear_wheel.{path}"
    assert found.value == pytest.approx(radius)


def test_a_headset_without_an_angle_turns_nothing() -> None:
    assert part_givens(spec({}, {"headset": {}})) == ()
    (found,) = part_givens(spec({}, {"headset": {"angle": -1.5}}))
    assert (found.variable, found.shown) == ("cup_angle", pytest.approx(-1.5))


TEXT = """format: 1
name: Order
geometry: {trail: 118, reach: 455, wheelbase: 1200, stack: 630}
build: {headset: {lower_stack: 4}}
"""


def test_what_is_doubted_first_stands_last() -> None:
    """Parts, then figures usually drawn by, then usual results, then what an override says."""
    names = [g.variable for g in givens(loads(TEXT))]
    assert names[0] == "lower_headset_stack"
    assert set(names[1:3]) == {"reach", "stack"}
    assert set(names[3:]) == {"trail", "wheelbase"}
    other = TEXT.replace("trail: 118, reach: 455", "reach: 455, trail: 118")
    assert [g.variable for g in givens(loads(other))] == names
    overridden = loads(TEXT, sets=["geometry.reach=460"])
    assert [g.variable for g in givens(overridden)][-1] == "reach"


def test_top_tubes_that_the_chart_can_tell() -> None:
    """Half its height; both ends, whichever comes first; from the seat tube's own start."""
    found = top_tube(spec(TRAIL, {}, STRAIGHT_TOP_TUBE))
    assert found == TopTube(15.9, "below_top", 40.0, "below_top", 35.0)
    turned = {
        "start": STRAIGHT_TOP_TUBE["top_tube"]["end"],
        "end": STRAIGHT_TOP_TUBE["top_tube"]["start"],
    }
    assert top_tube(spec(TRAIL, {}, {"top_tube": STRAIGHT_TOP_TUBE["top_tube"] | turned})) == found
    oval = {"od": {"height": 36.0, "width": 28.0}}
    tall = top_tube(spec(TRAIL, {}, {"top_tube": STRAIGHT_TOP_TUBE["top_tube"] | oval}))
    assert tall is not None
    assert tall.radius == 18.0
    up = {"start": {"on": "seat_tube", "above_bottom": 380.0}}
    tubes: dict[str, Any] = {"top_tube": STRAIGHT_TOP_TUBE["top_tube"] | up}
    tubes["seat_tube"] = {"od": 34.9, "wall": 1.0, "start": {"above_bottom": 55.0}}
    raised = top_tube(spec(TRAIL, {}, tubes))
    assert raised is not None
    assert raised.seat_value == 435.0
    for tubes in (BENT, ASIDE, BY_ANGLES, TAPERED, {}):
        assert top_tube(spec(TRAIL, {}, tubes)) is None
