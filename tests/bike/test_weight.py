"""The common centre of mass of rider and bicycle, and the weight on each wheel, by hand."""

from __future__ import annotations

from math import cos, radians, sin
from pathlib import Path

import pytest

from frame3d.bike.bike import Bike
from frame3d.bike.mass_model import mass_model
from frame3d.bike.solve import solve
from frame3d.bike.weight import front_share, front_shares, sagged_centre, turned, weigh
from frame3d.parameters.reading.reader import load, loads
from frame3d.rider.posture import Posture
from tests.bike.single import MINIMAL, SINGLE

CONFIGS = Path(__file__).parents[2] / "configs"


def bike(*changes: tuple[str, str]) -> Bike:
    text = SINGLE
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return solve(loads(MINIMAL + text))


def seat(layout: Bike) -> Posture:
    assert layout.rider is not None
    assert layout.rider.seated is not None
    return layout.rider.seated


def test_rider_and_bicycle() -> None:
    """Moments about the contacts at x -431.51 and 727.63, on the ground at z -313."""
    layout = bike()
    person, model = seat(layout).centre_of_mass, mass_model(layout)
    x, z = (
        (80 * p + 15 * own) / 95
        for p, own in zip((person[0], person[2]), model.centre, strict=True)
    )
    found = weigh(layout)
    assert found.mass_kg == pytest.approx(95)
    assert found.centre == pytest.approx((x, z), abs=1e-9)
    assert found.rear_share == pytest.approx((727.63 - x) / 1159.14, abs=1e-5)
    assert 0.55 < found.rear_share < 0.65
    said = "; ".join(found.assumptions)
    assert "rider seated" in said
    assert "on the rear wheel (of rider and bicycle together)" in said
    assert f"centre of mass {z + 313:.0f} mm over the ground" in said


def test_what_the_file_says_counts() -> None:
    """1100 - 313 over the bottom bracket; 727.63 - 0.65·1159.14 behind the front wheel."""
    given = ("  sag: 30%", "  sag: 30%\n  rear_share: 65%\n  centre_of_mass_height: 1100")
    found = weigh(bike(given))
    assert found.rear_share == 0.65
    assert found.centre == pytest.approx((-25.81, 787.0), abs=0.01)
    assert found.assumptions == ()


def test_a_height_alone_leaves_the_place_along_the_bicycle() -> None:
    found = weigh(bike(("  sag: 30%", "  sag: 30%\n  centre_of_mass_height: 1100")))
    assert found.centre == pytest.approx((weigh(bike()).centre[0], 787.0), abs=0.01)
    assert not any("over the ground" in said for said in found.assumptions)


def test_without_a_rider() -> None:
    """1150 mm over ground at -313; 727.63 - 0.6·1159.14."""
    found = weigh(bike(("  rider: {mass_kg: 80, height: 1765, inseam: 830}\n", "")))
    assert found.mass_kg is None
    assert found.centre == pytest.approx((32.14, 837.0), abs=0.01)
    assert all("common practice, no source" in said for said in found.assumptions)


def test_a_rider_of_unknown_posture_has_a_mass() -> None:
    found = weigh(bike(("  stem: {length: 45}\n", "")))
    assert found.mass_kg == 95
    assert found.rear_share == 0.6


@pytest.mark.parametrize("name", ["trail_hardtail_29", "trail_full_140", "adventure_rigid"])
def test_the_table_of_postures_and_the_weight_agree(name: str) -> None:
    """One bike has one share of weight in front, whoever asks."""
    layout = solve(load(CONFIGS / f"{name}.yaml"))
    shares = front_shares(layout)
    assert shares.static["seated"] == pytest.approx(1 - weigh(layout).rear_share, abs=1e-12)
    assert set(shares.sagged) == (set() if layout.sagged is None else set(shares.static))
    for share in (*shares.static.values(), *shares.sagged.values()):
        assert 0.2 < share < 0.55
    assert front_share(layout, seat(layout)) == shares.static["seated"]


def test_at_sag_everything_moves_with_what_carries_it() -> None:
    """By hand for a hardtail: front wheel and lower legs rise along the stanchions, then all pitches."""
    layout = solve(load(CONFIGS / "trail_hardtail_29.yaml"))
    model, fork = mass_model(layout), layout.spec.build.fork
    angle = layout.chart["head_tube_angle"]
    assert fork is not None
    assert layout.sagged is not None
    assert angle is not None
    up = fork.sag * fork.travel
    moved = sum(part.mass_kg for part in model.on("front_wheel", "fork_legs")) / model.total_kg
    x = model.centre[0] - moved * up * cos(radians(angle))
    z = model.centre[1] + moved * up * sin(radians(angle))
    p = radians(layout.sagged.pitch)
    by_hand = (x * cos(p) - z * sin(p), x * sin(p) + z * cos(p))
    assert sagged_centre(layout, model) == pytest.approx(by_hand, abs=1e-9)


def test_nothing_sprung_stays() -> None:
    layout = solve(load(CONFIGS / "adventure_rigid.yaml"))
    model = mass_model(layout)
    assert sagged_centre(layout, model) == model.centre


def test_a_point_turns_as_the_frames_own_nodes() -> None:
    layout = solve(load(CONFIGS / "trail_full_140.yaml"))
    assert layout.sagged is not None
    for name in ("head_tube_top", "seat_tube_top", "saddle"):
        x, _, z = layout.nodes[name]
        after = layout.sagged.nodes[name]
        assert turned((x, z), layout.sagged.pitch) == pytest.approx((after[0], after[2]), abs=1e-9)
