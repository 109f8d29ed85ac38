"""Stem, spacers and bar in the side view, against a search that knows no closed form."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import least_squares

from frame3d.ride.fit.cockpit import (
    Cockpit,
    Front,
    grips,
    in_steps,
    nearest_sold,
    sold,
    stem_and_spacers,
    sweep_and_spacers,
)

FRONT = Front(top=(480.0, 630.0), angle=65.0, upper_stack=8.0, clamp_height=40.0)
HERE = Cockpit(stem=45.0, spacers=15.0, rise=25.0, forward=-30.0)

fronts = st.builds(
    Front,
    top=st.tuples(st.floats(300, 600), st.floats(450, 750)),
    angle=st.floats(58, 78),
    upper_stack=st.floats(0, 30),
    clamp_height=st.floats(25, 60),
)
cockpits = st.builds(
    Cockpit,
    stem=st.floats(20, 130),
    spacers=st.floats(0, 60),
    rise=st.floats(-20, 80),
    forward=st.floats(-80, 120),
    stem_angle=st.floats(-40, 40),
)


def test_grips_of_an_upright_steerer_are_sums() -> None:
    """A vertical steering axis, by hand: level lengths add up, upright ones too."""
    front = Front((400.0, 600.0), 90.0, 10.0, 40.0)
    x, z = grips(front, Cockpit(50.0, 20.0, 30.0, -25.0))
    assert (x, z) == pytest.approx((400 + 50 - 25, 600 + 10 + 20 + 20 + 30))
    raised = grips(front, Cockpit(50.0, 20.0, 30.0, -25.0, stem_angle=30.0))
    assert raised == pytest.approx((400 + 50 * math.sqrt(3) / 2 - 25, 680 + 25))


def test_grips_by_a_polygon_of_turned_lengths() -> None:
    """65° by complex numbers: each length turned from level."""
    up, ahead = np.exp(1j * np.radians(115)), np.exp(1j * np.radians(25))
    z = 480 + 630j + (8 + 15 + 20) * up + 45 * ahead * np.exp(1j * np.radians(6)) - 30 + 25j
    found = grips(FRONT, replace(HERE, stem_angle=6.0))
    assert found == pytest.approx((z.real, z.imag), abs=1e-9)


@given(fronts, cockpits, st.floats(-20, 80), st.floats(-80, 40), st.floats(-30, 30))
def test_stem_and_spacers_keep_the_grips(
    front: Front, before: Cockpit, rise: float, forward: float, angle: float
) -> None:
    at = grips(front, before)
    after = stem_and_spacers(front, at, rise, forward, angle)
    assert (after.rise, after.forward, after.stem_angle) == (rise, forward, angle)
    assert grips(front, after) == pytest.approx(at, abs=1e-9)


@given(fronts, cockpits, st.floats(30, 120), st.floats(-20, 80), st.floats(-30, 30))
def test_sweep_and_spacers_keep_the_grips(
    front: Front, before: Cockpit, stem: float, rise: float, angle: float
) -> None:
    at = grips(front, before)
    after = sweep_and_spacers(front, at, stem, rise, angle)
    assert (after.stem, after.rise, after.stem_angle) == (stem, rise, angle)
    assert grips(front, after) == pytest.approx(at, abs=1e-9)


@pytest.mark.parametrize("rise", [0.0, 20.0, 50.0])
@pytest.mark.parametrize("angle", [0.0, -17.0])
def test_against_least_squares(rise: float, angle: float) -> None:
    """A search over both lengths that only knows where grips are."""
    at = np.array(grips(FRONT, HERE))
    free = least_squares(
        lambda v: np.array(grips(FRONT, Cockpit(v[0], v[1], rise, -30.0, angle))) - at, [60.0, 0.0]
    )
    exact = stem_and_spacers(FRONT, (at[0], at[1]), rise, -30.0, angle)
    assert (exact.stem, exact.spacers) == pytest.approx(tuple(free.x), abs=1e-6)
    swept = least_squares(
        lambda v: np.array(grips(FRONT, Cockpit(50.0, v[0], rise, v[1], angle))) - at, [0.0, 0.0]
    )
    exact = sweep_and_spacers(FRONT, (at[0], at[1]), 50.0, rise, angle)
    assert (exact.spacers, exact.forward) == pytest.approx(tuple(swept.x), abs=1e-6)


def test_five_millimetres_of_rise_by_hand() -> None:
    """Up the axis 5 sin θ less of spacers, ahead 5 cos θ less of stem: the same bar 5 mm higher."""
    at = grips(FRONT, HERE)
    found = stem_and_spacers(FRONT, at, 30.0, -30.0)
    assert found.spacers == pytest.approx(15 - 5 * math.sin(math.radians(65)))
    assert found.stem == pytest.approx(45 - 5 * math.cos(math.radians(65)))


@given(fronts, cockpits, st.floats(-10, 60), st.floats(0, 60), st.floats(-25, 25))
def test_the_nearest_of_sold_sizes_is_the_best_of_all(
    front: Front, before: Cockpit, rise: float, most: float, angle: float
) -> None:
    """Against every stem with every number of spacers."""
    at, stems = grips(front, before), (35.0, 45.0, 50.0, 70.0)
    bar = Cockpit(0.0, 0.0, rise, -30.0, angle)
    best = nearest_sold(front, at, bar, stems, 2.5, most)
    every = [
        sold(front, at, replace(bar, stem=stem, spacers=2.5 * n)).miss
        for stem in stems
        for n in range(int(most / 2.5 + 1e-9) + 1)
    ]
    assert best.miss == pytest.approx(min(every), abs=2e-6)
    assert best.miss == pytest.approx(math.hypot(best.reach_miss, best.stack_miss))
    assert 0 <= best.cockpit.spacers <= most + 1e-6


def test_what_a_sold_set_misses_by_has_a_sign() -> None:
    """A stem 10 mm longer: ahead by 10 sin θ, up by 10 cos θ."""
    found = sold(FRONT, grips(FRONT, HERE), replace(HERE, stem=55.0))
    turn = math.radians(65)
    assert found.reach_miss == pytest.approx(10 * math.sin(turn))
    assert found.stack_miss == pytest.approx(10 * math.cos(turn))
    assert found.miss == pytest.approx(10)


@pytest.mark.parametrize(
    ("wanted", "most", "found"),
    [
        (11.2, math.inf, 10),
        (11.3, math.inf, 12.5),
        (-3, 40, 0),
        (44, 40, 40),
        (44, 38, 37.5),
        (9, 0, 0),
    ],
)
def test_steps(wanted: float, most: float, found: float) -> None:
    assert in_steps(wanted, 2.5, most) == found
