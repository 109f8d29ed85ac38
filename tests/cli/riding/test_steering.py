"""The steering on a terminal: the shop's figures, with and without a rider."""

from __future__ import annotations

from frame3d.cli.riding.steering import text
from frame3d.ride.steering.of_bike import steering_of
from tests.ride.steering.bikes import FULL, NO_RIDER, RIGID, bike


def test_figures_as_drawn_and_at_sag() -> None:
    found = steering_of(bike(FULL))
    shown = text(found, 120)
    lines = {line.split("  ")[0]: line.split() for line in shown.splitlines()}
    assert found.sagged is not None
    lever = lines["Mechanical trail, the lever [mm]"]
    assert [float(x) for x in lever[-2:]] == [
        round(found.drawn.mechanical_trail, 1),
        round(found.sagged.mechanical_trail, 1),
    ]
    table = shown[shown.index("Bars turned") :].splitlines()
    assert [row.split()[0] for row in table[2:]] == ["10", "20", "30", "45", "60", "75"]
    last = [float(x) for x in table[-1].split()]
    assert last[1] == round(found.drawn.at(75.0).drop, 1)
    assert last[4] == round(found.sagged.at(75.0).falling_in_nm or 0.0, 1)


def test_a_turn_past_the_stop_says_so() -> None:
    shown = text(steering_of(bike(FULL, "build.bumper.stop=20")), 120)
    assert "(past the stop)" in shown
    assert "45  " not in shown[shown.index("Bars turned") :]


def test_without_rider_or_bar() -> None:
    shown = text(steering_of(bike(NO_RIDER)), 120)
    assert "at sag" not in shown
    assert "falls in" not in shown
    assert "Turned bars fall in, near straight on [N·m/°]" in shown
    assert "–" in shown


def test_rigid_bike_has_one_column() -> None:
    shown = text(steering_of(bike(RIGID)), 120)
    assert "at sag" not in shown
    assert "falls in, as drawn [N·m]" in shown
