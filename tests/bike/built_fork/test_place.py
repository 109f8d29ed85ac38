"""A fork that the shop builds: it hits the axle, and the bike stands as on a bought one."""

from __future__ import annotations

import math

import numpy as np
import pytest

from frame3d.bike.bike import Bike
from frame3d.bike.built_fork.layout import layout_of
from frame3d.bike.exchange import exchange_values
from frame3d.bike.mass_model import FRONT_ASSEMBLY, mass_model
from frame3d.bike.solve import solve
from frame3d.geometry.vector import vector
from tests.built_forks import BUILT, UNICROWN, fork_bike, fork_file

KINDS = tuple(BUILT)


def axes(bike: Bike) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Crown race, and the directions up and ahead of the steering axis."""
    turn = math.radians(bike.chart["head_tube_angle"] or 0.0)
    up = np.array([-math.cos(turn), 0.0, math.sin(turn)])
    return vector(bike.nodes["crown_race"]), up, np.array([up[2], 0.0, -up[0]])


@pytest.mark.parametrize("kind", KINDS)
def test_the_bike_is_that_on_a_bought_fork_of_these_figures(kind: str) -> None:
    bought, built = fork_bike("bought"), fork_bike(kind)
    assert bought.fork is None
    assert built.fork is not None
    assert built.chart == bought.chart
    assert built.nodes == bought.nodes
    assert built.frame.masses.total == bought.frame.masses.total


@pytest.mark.parametrize("kind", KINDS)
def test_dropouts_and_blades_hit_the_axle(kind: str) -> None:
    bike = fork_bike(kind)
    fork = bike.fork
    assert fork is not None
    axle = vector(bike.nodes["front_axle"])
    race, up, ahead = axes(bike)
    # Axle to crown along the axis and offset as the file says them: 420 and 50.
    assert (race - axle) @ up == pytest.approx(420.0, abs=1e-9)
    assert (axle - race) @ ahead == pytest.approx(50.0, abs=1e-9)
    built = bike.spec.build.fork.built  # type: ignore[union-attr]
    assert built is not None
    for side, sign in (("left", 1.0), ("right", -1.0)):
        plate = next(p for p in fork.plates if p.name == f"fork_dropout_{side}")
        hole = plate.outline.holes[0]
        inner = plate.low if side == "left" else plate.high
        at = vector(
            plate.plane.at((hole.x, hole.y), inner if plate.plane.normal[1] > 0 else -inner)
        )
        assert hole.diameter == 12
        assert at[[0, 2]] == pytest.approx(axle[[0, 2]], abs=1e-9)
        faces = sorted(abs(plate.plane.origin[1]) + s * plate.thickness / 2 for s in (-1, 1))
        assert faces[0] == pytest.approx(50.0)  # a hub of 100
        blade = fork.tube(f"fork_blade_{side}")
        end = blade.axis.at(blade.axis.length)
        foot = end + built.blades.stop_short * blade.axis.tangent(blade.axis.length)
        line = axle - built.dropout.lead * ahead
        assert foot[[0, 2]] == pytest.approx(line[[0, 2]], abs=1e-6)
        assert foot[1] == pytest.approx(sign * (50.0 + plate.thickness / 2), abs=1e-6)


@pytest.mark.parametrize("kind", KINDS)
def test_the_steerer_stands_on_the_steering_axis(kind: str) -> None:
    bike = fork_bike(kind)
    assert bike.fork is not None
    race, up, _ = axes(bike)
    layout = layout_of(bike.spec, bike.nodes, bike.chart)
    steerer = bike.fork.tube("fork_steerer")
    assert vector(steerer.axis.start) == pytest.approx(race - layout.below * up, abs=1e-9)
    assert vector(steerer.axis.end) == pytest.approx(race + layout.steerer * up, abs=1e-9)
    ring = bike.fork.tube("fork_race_seat")
    assert ring.section.height[-1] == 30.0  # EC34/30: a crown seat of 30.0 (SHIS)
    # From the race: lower stack 12, head tube, upper stack 16, spacers 10, stem 40 high, 3 recessed.
    head = bike.chart["head_tube_length"]
    assert head is not None
    assert bike.spec.build.stem is not None
    least = 12 + head + 16 + 10 + bike.spec.build.stem.clamp_height - 3
    assert layout.steerer == pytest.approx(least)


def test_left_and_right_are_mirror_images() -> None:
    fork = fork_bike("raked").fork
    assert fork is not None
    left, right = fork.tube("fork_blade_left"), fork.tube("fork_blade_right")
    s = np.linspace(0.0, left.axis.length, 30)
    assert right.axis.points(s) == pytest.approx(left.axis.points(s) * [1, -1, 1], abs=1e-9)
    assert left.cut_by == right.cut_by == ("fork_steerer",)


def test_masses() -> None:
    bike = fork_bike("raked")
    assert bike.fork is not None
    masses = bike.fork.frame.masses
    ring = masses.parts["fork_race_seat"]
    # A shoulder 36 wide and 4 high, of which 0.1 is a cone, and a seat 30 wide and 8 high, bored 28.6.
    cone = math.pi / 12 * 0.1 * (36**2 + 36 * 30 + 30**2)
    volume = math.pi / 4 * (36**2 * 3.9 + 30**2 * 8 - 28.6**2 * 12) + cone
    assert ring == pytest.approx(7.85e-3 * volume, rel=1e-3)
    model = mass_model(bike)
    placed = [part for part in model.parts if part.name.startswith("fork")]
    assert sum(part.mass_kg for part in placed) == pytest.approx(masses.total / 1000)
    assert all(part.on == FRONT_ASSEMBLY and part.known for part in placed)
    assert masses.centre is not None
    assert masses.centre[1] == pytest.approx(0.0, abs=1e-9)


def test_a_given_mass_of_the_front_less_than_the_fork_leaves_nothing_negative() -> None:
    bike = solve(fork_file(*UNICROWN, "build.front_assembly_kg=0.5"))
    assert min(part.mass_kg for part in mass_model(bike).parts) >= 0.0


def test_an_exchanged_part_leaves_the_fork_and_an_exchanged_fork_is_another() -> None:
    bike = fork_bike("segmented")
    tyre = exchange_values(bike, {"build.rear_wheel.tyre": "40-584"})
    assert tyre.fork is not None
    assert bike.fork is not None
    assert tyre.frame.pitch != 0
    for one, other in zip(bike.fork.tubes, tyre.fork.tubes, strict=True):
        assert one.axis.length == pytest.approx(other.axis.length, abs=1e-9)
        assert one.section.s == pytest.approx(other.section.s)
        assert one.section.height == other.section.height
    axle = vector(tyre.nodes["front_axle"])
    plate = tyre.fork.plates[0]
    assert np.array(plate.plane.origin)[[0, 2]] == pytest.approx(axle[[0, 2]], abs=1e-9)
    longer = exchange_values(bike, {"build.fork.axle_to_crown": 440.0})
    assert longer.fork is not None
    race, up, _ = axes(longer)
    assert (race - vector(longer.nodes["front_axle"])) @ up == pytest.approx(440.0, abs=1e-9)
    more = longer.fork.frame.masses.total - bike.fork.frame.masses.total
    # 20 mm more of two blades, about 21 outside and 1 wall: 4130 has 7.85 g/cm³.
    assert 10 < more < 30
