"""How the load of a wheel changes with the rider's mass, posture and bicycle staying as they are."""

from __future__ import annotations

from frame3d.bike.bike import Bike
from frame3d.bike.weight import Weight
from frame3d.linkage import wheel_load


def rear_share_of_rider(bike: Bike, weight: Weight) -> float:
    """Return the share of the rider's own weight on the rear wheel, 0 to 1.

    By the centre of mass of the seated rider; the share of rider and bicycle together where the file
    gives that, or no posture.
    """
    suspension = bike.spec.suspension
    given = suspension is not None and suspension.rear_share is not None
    if given or bike.rider is None or bike.rider.seated is None:
        return weight.rear_share
    rear, front = bike.nodes["rear_contact"][0], bike.nodes["front_contact"][0]
    return (front - bike.rider.seated.centre_of_mass[0]) / (front - rear)


def load_under(load: float, own_kg: float, rider_kg: float, share: float) -> float:
    """Return the load of a wheel under a rider of another mass [N].

    Args:
        load: under the rider of the file [N].
        own_kg: mass of that rider.
        rider_kg: mass of the other.
        share: of a rider's weight on this wheel, 0 to 1.
    """
    return load + wheel_load(rider_kg - own_kg, share)
