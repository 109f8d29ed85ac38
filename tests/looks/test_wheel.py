"""Looks of wheels: hollow tyres, knobs on wide ones, spokes from flange to rim, flanges beside parts."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.looks.wheel import SPOKES, barrel, casing, flanges, hoop, spokes, tread, wheel
from tests.looks.demos import HARDTAIL, ODD, parts
from tests.looks.test_surfaces import volume


def test_a_tyre_is_hollow_and_open_toward_the_rim() -> None:
    made = casing(341.0, 30.0, 17.0)
    assert volume(made) < 0.25 * 2 * np.pi**2 * 341 * 30**2
    r = np.hypot(made.points[:, 0], made.points[:, 2])
    assert np.abs(made.points[r < 341 - 23, 1]).min() > 10, "nothing between the beads"
    knobs = tread(341.0, 30.0)
    tip = np.hypot(np.hypot(knobs.points[:, 0], knobs.points[:, 2]) - 341, knobs.points[:, 1])
    assert tip.max() == pytest.approx(30.0)


def test_only_wide_tyres_have_knobs() -> None:
    for name, front in ((HARDTAIL, True), (ODD, False)):
        bodies, _ = parts(name)
        made = [piece.make for part, piece in wheel(bodies, "front") if part == "front_tyre"]
        assert (tread in made) is front


def test_spokes_run_from_the_flanges_to_the_rim() -> None:
    made = spokes(290.0, 25.0, -20.0)
    r, y = np.hypot(made.points[:, 0], made.points[:, 2]), made.points[:, 1]
    assert r.min() > 23
    assert r.max() < 291.1
    assert (y.min(), y.max()) == pytest.approx((-22, 27), abs=1.5)
    heads = r > 288
    around = np.unique(
        np.round(np.degrees(np.arctan2(made.points[heads, 2], made.points[heads, 0])))
    )
    assert len(around) >= SPOKES


def test_flanges_stand_beside_rotor_and_cassette() -> None:
    bodies, place = parts(HARDTAIL)
    left, right = flanges(bodies, "rear", 74.0)
    assert left < bodies["rear_rotor"].shapes[0].origin[1] - 3
    cogs = bodies["cassette"].shapes
    assert right > max(y for s in cogs for _, y in s.shape.profile)  # type: ignore[union-attr]
    assert flanges({}, "front", 50.0) == (26.0, -26.0)
    del place


def test_deep_rims_are_hollow_below_the_bed_and_narrow_hubs_have_their_flanges() -> None:
    solid = np.pi * (316**2 - 251**2) * 2 * 14
    assert volume(hoop(251.0, 316.0, 14.0)) < 0.6 * solid
    assert volume(hoop(303.0, 316.0, 14.0)) > 0
    narrow = barrel(30.0, 6.0, -6.0)
    assert np.hypot(narrow.points[:, 0], narrow.points[:, 2]).max() == pytest.approx(28.0)
    assert volume(narrow) > 0
