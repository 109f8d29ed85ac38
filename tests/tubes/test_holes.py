"""Holes of features: what a drilling takes from a wall, by integration over its section."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from scipy.integrate import dblquad

from frame3d.tubes.cuts.drilled import drilled
from frame3d.tubes.features.holes import holes
from tests.featured import featured, of, one_tube


@pytest.mark.parametrize(
    "port",
    [
        {"width": 10.0},
        {"width": 6.0, "length": 18.0},
        {"width": 6.0, "length": 18.0, "turn": 90},
    ],
)
def test_a_port_takes_the_wall_over_its_section(port: dict[str, Any]) -> None:
    """∫∫ √(R² − v²) − √(r² − v²) over the slot; v across the tube (scipy)."""
    bike = one_tube({"kind": "port", "from_start": 200, "angle": 30, **port}, wall=2.0)
    tube = bike.tube("beam")
    (hole,) = holes(of(bike, "it"), tube)
    radius = port["width"] / 2
    half = port.get("length", port["width"]) / 2 - radius

    def depth(a: float, b: float) -> float:
        v = b if port.get("turn") else a
        return float(np.sqrt(400 - v * v) - np.sqrt(324 - v * v))

    expected, _ = dblquad(
        depth, -half - radius, half + radius,
        lambda b: -np.sqrt(max(radius**2 - max(abs(b) - half, 0) ** 2, 0)),
        lambda b: np.sqrt(max(radius**2 - max(abs(b) - half, 0) ** 2, 0)),
    )  # fmt: skip
    volume, moment = drilled(hole, tube, (), ())
    assert volume == pytest.approx(expected, rel=5e-3)
    assert (moment / volume)[0] == pytest.approx(0.0, abs=1e-6)
    assert np.arctan2(moment[1], moment[2] - 100 * volume) == pytest.approx(
        np.radians(30), abs=1e-6
    )


def test_a_slot_opens_the_tube_s_top_and_ends_in_its_hole() -> None:
    bike = featured({"seat_tube": {"slot": {"kind": "clamp_slot", "length": 30, "end_hole": 7}}})
    tube = bike.tube("seat_tube")
    hole, slit = holes(of(bike, "slot"), tube)
    top = tube.axis.at(tube.axis.length)
    along = tube.axis.tangent(tube.axis.length)
    assert hole.diameter == 7
    assert (hole.axis.at(0.0) - top) @ along == pytest.approx(-30)
    ends = (slit.axis.at(0.0) - top) @ along + np.array([-0.5, 0.5]) * slit.length
    assert ends[0] == pytest.approx(-30)
    assert ends[1] > slit.diameter / 2
    assert slit.axis.tangent(0.0)[0] < 0  # behind
