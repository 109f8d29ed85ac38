"""Mass and common centre of mass of rider and bicycle, and the weight on each wheel."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import cos, radians, sin

from frame3d.bike.bike import Bike
from frame3d.bike.mass_model import MassModel, SideView, mass_model, together
from frame3d.bike.suspended import rear_sag
from frame3d.geometry.vector import Point
from frame3d.parameters.models.frame import FrameSpec
from frame3d.rider.posture import Posture

COM_HEIGHT = 1150.0
"""Assumed height of the centre of mass of rider and bicycle over the ground, where neither file nor
rider determine it [mm]; common practice, no source."""
REAR_SHARE = 0.6
"""Assumed share of the weight on the rear wheel, likewise; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Weight:
    """Rider and bicycle together, as drawn: standing still on level ground, fork extended."""

    mass_kg: float | None
    """Mass [kg]; None where the file has no rider."""
    centre: SideView
    rear_share: float
    """Share of the weight on the rear wheel, 0 to 1."""
    assumptions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FrontShares:
    """Share of the weight of rider and bicycle on the front wheel, 0 to 1, by posture."""

    static: Mapping[str, float]
    """As drawn, on level ground."""
    sagged: Mapping[str, float]
    """Under the rider's weight; empty where nothing is sprung."""
    assumptions: tuple[str, ...]


def weigh(bike: Bike, masses: MassModel | None = None) -> Weight:
    """Return mass and centre of mass of rider and bicycle.

    The common centre of mass is that of the seated rider (see `rider`) and the bicycle (see
    `mass_model`). Values that the file gives under suspension, rear_share and centre_of_mass_height,
    take precedence.

    Args:
        bike: a solved bike.
        masses: of the bicycle, if already computed.
    """
    spec, nodes = bike.spec, bike.nodes
    rider, suspension = spec.build.rider, spec.suspension
    share = None if suspension is None else suspension.rear_share
    height = None if suspension is None else suspension.centre_of_mass_height
    rear, front = nodes["rear_contact"], nodes["front_contact"]
    wheelbase = front[0] - rear[0]
    model = mass_model(bike) if masses is None else masses
    assumptions: list[str] = []
    source = "common practice, no source"
    found = (REAR_SHARE, COM_HEIGHT)
    posture = None if bike.rider is None else bike.rider.seated
    if rider is not None and posture is not None:
        x, z = _with_rider(bike, posture, model)
        found = ((front[0] - x) / wheelbase, z - rear[2])
        if share is None or height is None:
            assumptions += ["rider seated", *model.assumptions]
            source = "of rider and bicycle together"
    if share is None:
        share = found[0]
        assumptions.append(f"{100 * share:.0f} % of the weight on the rear wheel ({source})")
    if height is None:
        height = found[1]
        assumptions.append(f"centre of mass {height:.0f} mm over the ground ({source})")
    return Weight(
        None if rider is None else rider.mass_kg + model.total_kg,
        _centre(nodes, share, height),
        share,
        tuple(assumptions),
    )


def given_centre(spec: FrameSpec, nodes: Mapping[str, Point]) -> SideView | None:
    """Return the centre of mass of rider and bicycle as drawn, as `weigh` does, where the file gives it.

    None where it follows from masses.
    """
    suspension = spec.suspension
    if suspension is None:
        return None
    share, height = suspension.rear_share, suspension.centre_of_mass_height
    return None if share is None or height is None else _centre(nodes, share, height)


def _centre(nodes: Mapping[str, Point], share: float, height: float) -> SideView:
    """Return the place at a height over the ground where a share of the weight is on the rear wheel."""
    rear, front = nodes["rear_contact"], nodes["front_contact"]
    return front[0] - share * (front[0] - rear[0]), rear[2] + height


def front_shares(bike: Bike, masses: MassModel | None = None) -> FrontShares:
    """Return the weight on the front wheel in every posture that the rider can take.

    Args:
        bike: a solved bike.
        masses: of the bicycle, if already computed.
    """
    rider = bike.rider
    if rider is None or not rider.postures:
        return FrontShares({}, {}, ())
    model = mass_model(bike) if masses is None else masses
    static = {name: front_share(bike, posture, model) for name, posture in rider.postures.items()}
    sagged: dict[str, float] = {}
    if bike.sagged is not None and bike.sagged.rider is not None:
        postures = bike.sagged.rider.postures
        sagged = {n: front_share(bike, p, model, sagged=True) for n, p in postures.items()}
    return FrontShares(static, sagged, model.assumptions)


def front_share(
    bike: Bike, posture: Posture, masses: MassModel | None = None, *, sagged: bool = False
) -> float:
    """Return the share of the weight on the front wheel in one posture, at rest on level ground.

    Args:
        bike: a solved bike.
        posture: of its rider, in the axes of the bike as drawn, or as sagged.
        masses: of the bicycle, if already computed.
        sagged: whether the bike stands under the rider's weight.
    """
    model = mass_model(bike) if masses is None else masses
    nodes = bike.nodes if not sagged or bike.sagged is None else bike.sagged.nodes
    x, _ = _with_rider(bike, posture, model, sagged=sagged)
    rear, front = nodes["rear_contact"][0], nodes["front_contact"][0]
    return (x - rear) / (front - rear)


def _with_rider(
    bike: Bike, posture: Posture, model: MassModel, *, sagged: bool = False
) -> SideView:
    """Return the common centre of mass of a rider in a posture and the bicycle."""
    rider = bike.spec.build.rider
    assert rider is not None
    own = sagged_centre(bike, model) if sagged else model.centre
    person = posture.centre_of_mass
    return together([(rider.mass_kg, (person[0], person[2])), (model.total_kg, own)])


def sagged_centre(bike: Bike, masses: MassModel) -> SideView:
    """Return the bicycle's centre of mass under the rider's weight, z vertical.

    That is the drawn one where nothing is sprung.
    """
    if bike.sagged is None:
        return masses.centre
    fork = bike.spec.build.fork
    rear = 0.0 if bike.linkage is None else rear_sag(bike.spec, bike.linkage)
    parts = masses.moved(bike, rear, 0.0 if fork is None else fork.sag * fork.travel)
    return turned(together((part.mass_kg, part.at) for part in parts), bike.sagged.pitch)


def turned(at: SideView, pitch: float) -> SideView:
    """Return a point of the frame turned about the bottom bracket by a pitch, nose up [degrees]."""
    c, s = cos(radians(pitch)), sin(radians(pitch))
    return (at[0] * c - at[1] * s, at[0] * s + at[1] * c)
