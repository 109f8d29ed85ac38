"""The two invented suspensions: solved as wished, with curves that common practice calls plausible."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.linkage import (
    Ride,
    asked_sag,
    curves,
    found_sag,
    shock_load,
    solve_linkage,
    spring_of,
    wheel_load,
)
from tests.linkage.bikes import spec_of
from tests.linkage.demos import FOUR_LINK_140, FOUR_LINK_AXLE, ROCKER_170, ROCKER_AXLE

COGS = (10, 12, 14, 16, 18, 21, 24, 28, 32, 36, 42, 51)


@pytest.mark.parametrize(
    ("section", "axle", "radius", "front", "travel", "length"),
    [
        (FOUR_LINK_140, FOUR_LINK_AXLE, 372, (772, 36), 140, 210),
        (ROCKER_170, ROCKER_AXLE, 352, (800, 28), 170, 230),
    ],
    ids=["four links, air", "driven rocker, coil"],
)
def test_demos(
    section: str,
    axle: tuple[float, float],
    radius: float,
    front: tuple[float, float],
    travel: float,
    length: float,
) -> None:
    """Leverage ratio between 3.2 and 2.2 and falling (but for a hundredth), anti-squat 90 to 130 % at sag in a middle gear,
    anti-rise below 100 %: common practice, no source.
    """
    spec = spec_of(section)
    linkage = solve_linkage(spec, axle, count=201)
    assert linkage.full_travel == pytest.approx(travel, abs=1e-8)
    assert linkage.eye_to_eye == pytest.approx(length, abs=1e-8)
    sag, load = asked_sag(linkage, 0.3), wheel_load(95, 0.65)
    assert spec.suspension is not None
    assert spec.suspension.spring is not None
    spring = spring_of(spec.suspension.spring, shock_load(linkage, load, sag.stroke), sag.stroke)
    settled = found_sag(linkage, spring, load)
    assert settled is not None
    assert settled.stroke_share == pytest.approx(0.3, abs=1e-9)
    ride = Ride(radius, 372, front, (80, 1150 - radius + axle[1]), 32, COGS)
    found = curves(linkage, ride, spring)
    assert found.leverage.max() < 3.2
    assert found.leverage.min() > 2.2
    assert (np.maximum.accumulate(found.leverage[::-1])[::-1] - found.leverage).max() < 0.02
    assert 0.1 < found.progression < 0.35
    assert found.mean_leverage == pytest.approx(travel / linkage.full_stroke)
    at_sag = int(np.abs(linkage.stroke - sag.stroke).argmin())
    assert 90 < found.gears[32, 21].anti_squat[at_sag] < 130
    assert 40 < found.anti_rise[at_sag] < 100
    order = [found.gears[32, cog].anti_squat[at_sag] for cog in COGS]
    assert order == sorted(order, reverse=True)
    assert found.pitch[0] == pytest.approx(0, abs=1e-9)
    assert found.pitch[-1] > 3  # the rear sinks, the nose points up
    assert found.forces is not None
    assert 3 < found.forces.bottom_out_wheel / load < 6
    assert set(found.gears) == {(32, cog) for cog in COGS}
    for gear in found.gears.values():
        assert gear.chain_growth[0] == 0
        assert 0 < gear.crank_rotation[-1] < 45
        assert gear.anti_squat.shape == found.stroke.shape
        assert gear.chain_line.shape == (201, 2, 2)


def test_curves_at_other_strokes_and_fork_places() -> None:
    """At strokes of one's own; a fork that gives way as the rear does keeps the frame level."""
    linkage = solve_linkage(spec_of(FOUR_LINK_140), FOUR_LINK_AXLE)
    motion = linkage.at_strokes(np.array([10.0, 20.0]))
    front = np.stack((np.full(2, 772.0), 36 + motion.travel), axis=-1)
    found = curves(linkage, Ride(372, 372, front, (80, 800)), motion=motion)
    assert found.stroke.tolist() == [10, 20]
    assert found.pitch == pytest.approx([0, 0], abs=1e-9)
    assert found.wheelbase == pytest.approx(772 - motion.axle[:, 0])
    assert found.gears == {}
    assert found.forces is None


def test_the_slope_of_the_anti_rise_line_points_at_the_instant_centre() -> None:
    linkage = solve_linkage(spec_of(FOUR_LINK_140), FOUR_LINK_AXLE)
    found = curves(linkage, Ride(372, 372, (772, 36), (80, 800)))
    to_centre = found.brake_instant_centre - found.rear_contact
    slope = np.degrees(np.arctan2(to_centre[:, 1], to_centre[:, 0]))
    assert slope + found.pitch == pytest.approx(np.degrees(np.arctan(found.brake_slope)), abs=1e-9)
