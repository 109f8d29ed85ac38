"""Housings across the centre plane: held and cut, or free."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.bike.bike import Bike
from frame3d.geometry.disc_hull import Flat
from frame3d.tubes.cuts.mitre import mitre_curve
from frame3d.tubes.cuts.vents import VENT
from frame3d.tubes.hardware import Housing
from frame3d.tubes.mass import masses_of
from tests.linked import (
    CHAINSTAY,
    OWN,
    OWN_TUBES,
    SEATSTAY,
    SINGLE,
    layout,
)
from tests.pivots.parts import Faulty, assert_fault, part


def test_tubes_are_mitred_to_the_housing_of_their_own_body() -> None:
    """The round branch on a round tube, in closed form: see `mitre_curve`."""
    bike = layout(OWN_TUBES, OWN, "{main_pivot: {housing: swingarm, width: 80, od: 36, axle: 15}}")
    housing = part(bike, Housing, "housing_main_pivot")
    assert housing.link == "swingarm"
    assert housing.inset
    phi = np.arange(0.0, 360.0, 0.25)
    for name, radius in (("beam", 15.0), ("chainstay_left", 10.0)):
        tube = bike.tube(name)
        assert tube.start.target == "housing_main_pivot"
        assert tube.start.cut == "mitre"
        assert tube.start.angle is not None
        edge = mitre_curve(radius, 18.0, tube.start.angle, tube.start.offset, phi)
        assert tube.start.long_point == pytest.approx(edge.min(), abs=1e-3)
        assert tube.start.short_point == pytest.approx(edge.max(), abs=1e-3)


def test_a_housing_in_a_tube_cuts_it() -> None:
    section = SINGLE.replace("[10, 75]", "{on: seat_tube, from_start: 90}")
    bike = layout(CHAINSTAY + SEATSTAY, section)
    housing = part(bike, Housing, "housing_main_pivot")
    assert housing.inset
    assert housing.webs == ()
    assert "housing_main_pivot" in bike.tube("seat_tube").cut_by
    weight = masses_of(bike.frame).parts["housing_main_pivot"]
    # A bored cylinder of 6061, 2.70 g/cm³, with the seat tube's vent through both of its walls.
    vent = np.pi / 4 * VENT**2 * (30 - 12) * 2.70e-3
    weight += vent
    assert weight == pytest.approx(np.pi / 4 * (30**2 - 12**2) * 65 * 2.70e-3, abs=0.02 * vent)


def test_a_housing_that_hangs_free_has_a_web_that_reaches_a_tube(rocker: Bike) -> None:
    housing = part(rocker, Housing, "housing_rocker_pivot")
    assert not housing.inset
    assert not any(housing.name in tube.cut_by for tube in rocker.tubes)
    (web,) = housing.webs
    assert web.to == "seat_tube"
    assert isinstance(web.metal, Flat)
    seat = rocker.tube("seat_tube")
    inside = seat.axis.points(seat.axis.nearest(np.array([housing.at])))
    assert float(web.metal.depth(inside)[0]) > 5.0
    assert float(web.metal.depth(np.array([housing.at]))[0]) > 5.0


FAULTS: dict[str, Faulty] = {
    "tube cut in two": (
        (CHAINSTAY, SINGLE.replace("[10, 75]", "{on: seat_tube, from_start: 90}"),
         "{main_pivot: {od: 40}}"),
        "section", "suspension.pivots.main_pivot.od", "cuts seat_tube in two", "at most 32.9",
    ),
    "housing in a tube": (
        (
            CHAINSTAY,
            SINGLE.replace("[10, 75]", "{on: seat_tube, from_start: 90}"),
            "{main_pivot: {width: 20, od: 24}}",
        ),
        "section",
        "suspension.pivots.main_pivot.width",
        "ends inside of seat_tube",
        "more than 34.9",
    ),
    "shell in the axle's way": (
        (CHAINSTAY, SINGLE.replace("[10, 75]", "[10, 20]"), ""),
        "inconsistent", "suspension.points.main_pivot", "runs into the bottom bracket shell",
        "at least 26.0 mm away",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", FAULTS)
def test_faults(name: str) -> None:
    assert_fault(FAULTS[name])
