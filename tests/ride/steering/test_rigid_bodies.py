"""The four bodies of a bike: the mass model's masses and places, with an extent."""

import numpy as np
import pytest

from frame3d.bike.mass_model import mass_model, together
from frame3d.ride.steering.rigid_bodies import grip_lever, rigid_bodies_of, tyre_size
from tests.built_forks import fork_bike
from tests.ride.steering.bikes import FULL, HARDTAIL, MIXED, NO_RIDER, RIGID, bike


@pytest.mark.parametrize("name", [HARDTAIL, FULL, MIXED, RIGID])
def test_all_mass_is_there_where_mass_model_and_rider_have_it(name: str) -> None:
    own = bike(name)
    model = mass_model(own)
    bodies = rigid_bodies_of(own, model, None)
    rider = own.rider
    assert bodies is not None
    assert rider is not None
    assert rider.seated is not None
    assert own.spec.build.rider is not None
    four = (bodies.rear_wheel, bodies.body, bodies.front_assembly, bodies.front_wheel)
    mass = own.spec.build.rider.mass_kg
    assert sum(piece.mass_kg for piece in four) == pytest.approx(mass + model.total_kg)
    centre = rider.seated.centre_of_mass
    expected = together([(mass, (centre[0], centre[2])), (model.total_kg, model.centre)])
    found = together([(piece.mass_kg, (piece.at[0], piece.at[2])) for piece in four])
    assert found == pytest.approx(expected, abs=1e-6)
    assert bodies.rider.at == pytest.approx(centre, abs=1e-6)


@pytest.mark.parametrize("name", [HARDTAIL, FULL, MIXED])
def test_wheels_at_sag_are_where_the_bike_stands(name: str) -> None:
    own = bike(name)
    assert own.sagged is not None
    bodies = rigid_bodies_of(own, mass_model(own), own.sagged)
    assert bodies is not None
    assert bodies.front_wheel.at == pytest.approx(own.sagged.nodes["front_axle"], abs=1e-6)
    assert bodies.rear_wheel.at == pytest.approx(own.sagged.nodes["rear_axle"], abs=1e-6)


@pytest.mark.parametrize("name", [HARDTAIL, FULL, RIGID])
def test_inertia_is_of_the_order_of_the_published_bicycles(name: str) -> None:
    """Table 1 of Meijaard et al. (2007), 85 kg with the rear frame: 9.2, 11, 2.8, +2.4 kg m²; wheels 0.76
    of mass times outside radius squared. Other riders, so only the order.
    """
    own = bike(name)
    bodies = rigid_bodies_of(own, mass_model(own), None)
    assert bodies is not None
    per_kg = bodies.body.inertia / bodies.body.mass_kg
    published = np.array([9.2, 11.0, 2.8]) / 85
    ratios = np.diag(per_kg) / published
    assert (ratios > 0.8).all()
    assert (ratios < 1.6).all()
    assert 0.0 < -per_kg[0, 2] < 0.04  # leans forward: z up here, down there
    for wheel, node in ((bodies.front_wheel, "front"), (bodies.rear_wheel, "rear")):
        radius = own.solved.values[f"{node}_wheel_radius"] / 1000
        assert 0.5 < wheel.inertia[1, 1] / (wheel.mass_kg * radius**2) < 0.85
        assert wheel.inertia[1, 1] == pytest.approx(2 * wheel.inertia[0, 0], rel=0.03)


def test_bodies_are_symmetric() -> None:
    own = bike(HARDTAIL)
    bodies = rigid_bodies_of(own, mass_model(own), own.sagged)
    assert bodies is not None
    for piece in (bodies.rider, bodies.body, bodies.front_assembly, bodies.front_wheel):
        assert piece.at[1] == pytest.approx(0.0, abs=1e-9)
        assert piece.inertia[[0, 1], [1, 2]] == pytest.approx([0.0, 0.0], abs=1e-9)


def test_a_built_fork_has_its_blades_on_either_side() -> None:
    own = fork_bike("segmented")
    model = mass_model(own)
    bodies = rigid_bodies_of(own, model, None)
    assert bodies is not None
    assert own.fork is not None
    front = bodies.front_assembly
    assert front.at[1] == pytest.approx(0.0, abs=1e-9)
    assert front.inertia[[0, 1], [1, 2]] == pytest.approx([0.0, 0.0], abs=1e-9)
    # About an axis in the middle plane, blades of m at y = 54 mm add at least 2 m y² (Steiner).
    grams = own.fork.frame.masses.parts
    beside = 2 * grams["fork_blade_left"] / 1000 * 0.053**2
    fork = [part for part in model.parts if part.name in grams]
    assert sum(part.mass_kg for part in fork) == pytest.approx(own.fork.frame.masses.total / 1000)
    bar = 0.36 * 0.46**2 / 12  # bar and grips as a rod of 460 mm
    assert front.inertia[2, 2] > beside + bar
    assert bodies.front_assembly.mass_kg < 3.5


def test_a_wheel_of_known_mass_keeps_its_usual_shares() -> None:
    usual, known = bike(HARDTAIL), bike(HARDTAIL, "build.front_wheel.mass_kg=1.9")
    before, after = (rigid_bodies_of(one, mass_model(one), None) for one in (usual, known))
    assert before is not None
    assert after is not None
    assert after.front_wheel.mass_kg == pytest.approx(1.9)
    share = 1.9 / before.front_wheel.mass_kg
    assert after.front_wheel.inertia == pytest.approx(share * before.front_wheel.inertia)


def test_no_bodies_without_a_seated_rider() -> None:
    own = bike(NO_RIDER)
    assert rigid_bodies_of(own, mass_model(own), None) is None


def test_grips() -> None:
    """A flat bar of 780 mm: 390 less the middle of the grip; a drop bar is held at its ends."""
    assert grip_lever(bike(HARDTAIL)) == 780 / 2 - 65
    rigid = bike(RIGID)
    bar = rigid.spec.build.handlebar
    assert bar is not None
    assert bar.width is not None
    assert bar.drop > 0
    assert grip_lever(rigid) == bar.width / 2
    assert grip_lever(bike(NO_RIDER)) is None


def test_tyre_size() -> None:
    """61-622: 61 wide on a bead seat of 622 (ETRTO): 744 outside."""
    assert tyre_size(bike(HARDTAIL).spec.build.front_wheel) == (61, 744)
    own = bike(HARDTAIL, "build.front_wheel.tyre={width: 50, diameter: 700}")
    assert tyre_size(own.spec.build.front_wheel) == (50, 700)
    assert tyre_size(bike(NO_RIDER).spec.build.front_wheel) is None
