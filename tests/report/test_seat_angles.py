"""The seat's section: angles and saddle as the solver has them at every saddle height."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from pathlib import Path

import pytest

import frame3d
from frame3d.bike.solve import solve
from frame3d.parameters.reading.reader import load
from frame3d.report.sections.seat_angles import seat_angles, seat_of
from frame3d.report.texts import texts
from tests.report.samples import CONFIGS, bare, words

SAY = texts()


def bike(name: str) -> frame3d.Bike:
    return solve(load(CONFIGS / f"{name}.yaml"))


@pytest.mark.parametrize("name", ["trail_full_140", "trail_hardtail_29"])
def test_figures_are_the_solvers_at_every_height(name: str) -> None:
    own = bike(name)
    seat = seat_of(bare(own))
    assert seat is not None
    low, high = seat.range
    assert low < seat.height < high
    for height in (low, (low + seat.height) / 2, seat.height, high):
        other = frame3d.exchange(own, {"build.seatpost.saddle_height": height})
        chart, (x, _, z) = other.chart, other.nodes["saddle"]
        assert seat.effective(height) == pytest.approx(chart["effective_seat_tube_angle"], abs=1e-6)
        assert seat.angle == pytest.approx(chart["actual_seat_tube_angle"], abs=1e-6)
        assert seat.saddle(height) == pytest.approx((x, z), abs=1e-5)


@pytest.mark.parametrize("path", sorted(CONFIGS.glob("*.yaml")), ids=lambda path: path.stem)
def test_every_demo_has_its_section(path: Path) -> None:
    own = bike(path.stem)
    data = bare(own)
    made, seat = seat_angles(data, SAY), seat_of(data)
    assert made is not None
    assert seat is not None
    x, _, z = own.nodes["saddle"]
    assert seat.saddle(seat.height) == pytest.approx((x, z), abs=1e-5)
    assert SAY.quantity(math.degrees(math.atan2(z, -x)), "degrees") in words(made)
    assert (SAY("seat.taken") in words(made)) == (not seat.own)
    (label,) = re.findall(r"<label[^>]*>", made)
    assert " hidden" in label  # until scripts can move it


def test_a_saddle_so_low_that_it_has_no_angle_has_no_section() -> None:
    data = bare(bike("trail_full_140"))
    chart = data.bike.chart | {"seat_tube_offset": 700.0}
    assert seat_of(bare(replace(data.bike, chart=chart))) is None
    unknown = data.bike.chart | {"seat_tube_offset": None}
    assert seat_angles(bare(replace(data.bike, chart=unknown)), SAY) is None
