"""Places of parts on a solved bike: wheels, hubs, the steering's own axes, the pedals."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.bodies.forms import Axes
from frame3d.bodies.motion.mounts import (
    CRANK,
    FRAME,
    Mount,
    crank_mounts,
    fork_mounts,
    link_mount,
    with_spindle,
)
from frame3d.bodies.motion.tensioned import (
    Insert,
    Slots,
    insert_of,
    slide_mount,
    slots_of,
    spindle_mount,
)
from frame3d.bodies.shapes import standing
from frame3d.geometry.vector import Point, Vector, point, unit, vector
from frame3d.parameters.models.parts import BuildSpec, HubSpec, TyreSpec, WheelSpec
from frame3d.parameters.sizes import standards

End = Literal["front", "rear"]
Side = Literal["left", "right"]

SIDES: tuple[tuple[Side, float], ...] = (("left", 1.0), ("right", -1.0))
"""Each side with its sign of y."""


@dataclass(frozen=True, slots=True)
class TyreSize:
    """Size of a tyre [mm]."""

    width: float
    radius: float
    """Outside radius, unloaded."""
    bead_seat: float
    """Diameter of the bead seat."""
    designated: bool
    """Whether it comes from a designation; else the section is taken as round."""


@dataclass(frozen=True)
class Placement:
    """A solved bike, with the places and mounts of its parts."""

    bike: Bike
    drawn_only: bool = False
    """Whether bodies that only checks use may be left out, where making them takes time."""
    only: frozenset[str] | None = None
    """Names of the bodies that are wanted: others may be left out, where making them takes time."""

    def is_wanted(self, name: str) -> bool:
        """Return whether a body that takes time to make is wanted."""
        return self.only is None or name in self.only

    @property
    def build(self) -> BuildSpec:
        """The parts that the file gives."""
        return self.bike.spec.build

    def node(self, name: str) -> Vector:
        """Return a node of the bike: (3,) float [mm]."""
        return vector(self.bike.nodes[name])

    def figure(self, name: str) -> float:
        """Return a chart figure that every solved bike has [mm or degrees].

        Raises:
            ValueError: the chart does not have it.
        """
        value = self.bike.chart[name]
        if value is None:
            raise ValueError(f"the chart has no {name}")
        return value

    @property
    def frame_names(self) -> frozenset[str]:
        """Names of the frame's own bodies: tubes, shell, plates, what the suspension turns on."""
        features = {f.named(label) for f in self.bike.frame.features for label in f.labels}
        bike = self.bike
        mounts = (one.mount for one in bike.dropouts)
        features |= {block.name for one in mounts if one is not None for block in one.blocks}
        own = (*bike.tubes, *bike.dropouts, *bike.pivots, *bike.plates)
        return frozenset({part.name for part in own} | features | {"bottom_bracket"})

    # The frame: what the file places in the axes that it was designed in.

    def framed(self, p: Point, link: str | None = None) -> Point:
        """Return where a point of the frame, or of a link, is now [mm].

        The point is given in the position that the frame was designed in.
        """
        return self.bike.frame.motion(link).point(p)

    @cached_property
    def designed(self) -> Placement:
        """Places on the bike that the frame was built for."""
        return self if self.bike.designed is None else Placement(self.bike.designed)

    def steered_along(self, p: Point, *, fork: bool) -> Point:
        """Return where a point is that turns with the bar, or also travels with the front wheel [mm].

        The point is given in the axes that the frame was designed in. It keeps its place in the
        steering's own axes, from the crown race or the front axle.
        """
        if not self.bike.exchanged:
            return p
        node = "front_axle" if fork else "crown_race"
        before = self.designed
        way = np.array(before.steering_axes) @ (vector(p) - before.node(node))
        return point(self.node(node) + way @ np.array(self.steering_axes))

    # The steering: from the crown race, ahead, to the left, and up the axis.

    @cached_property
    def up(self) -> Vector:
        """Unit direction of the steering axis toward the bar: (3,) float."""
        angle = np.radians(self.figure("head_tube_angle"))
        return np.array([-np.cos(angle), 0.0, np.sin(angle)])

    @cached_property
    def ahead(self) -> Vector:
        """Unit direction forward, square to the steering axis: (3,) float."""
        return np.array([self.up[2], 0.0, -self.up[0]])

    @cached_property
    def steering_axes(self) -> Axes:
        """Forward, left, and up the steering axis."""
        return standing(self.up, self.ahead)

    @cached_property
    def _fork_mounts(self) -> tuple[Mount, Mount]:
        return fork_mounts(self.node("crown_race"), self.up)

    @property
    def steering(self) -> Mount:
        """Mount of what turns with the bar."""
        return self._fork_mounts[0]

    @property
    def fork(self) -> Mount:
        """Mount of what also travels with the front wheel."""
        return self._fork_mounts[1]

    def steered(self, forward: float, lateral: float, rise: float) -> Point:
        """Return a point by its distances ahead of the steering axis, left, and above the crown race."""
        at = self.node("crown_race") + forward * self.ahead + rise * self.up
        return point(at + np.array([0.0, lateral, 0.0]))

    @cached_property
    def axle_drop(self) -> float:
        """Distance of the front axle below the crown race, along the steering axis [mm]."""
        return float((self.node("crown_race") - self.node("front_axle")) @ self.up)

    @cached_property
    def axle_offset(self) -> float:
        """Distance of the front axle ahead of the steering axis [mm]."""
        return float((self.node("front_axle") - self.node("crown_race")) @ self.ahead)

    def wheel(self, end: End) -> WheelSpec | None:
        """Return what the file says about a wheel."""
        return self.build.front_wheel if end == "front" else self.build.rear_wheel

    def wheel_mount(self, end: End) -> Mount:
        """Return the mount of a wheel."""
        return self.fork if end == "front" else self.rear

    # The rear suspension: what moves with its links.

    @cached_property
    def _links(self) -> dict[str, Mount]:
        linkage = self.bike.linkage
        if linkage is None:
            return {}
        from frame3d.bodies.motion.linked import link_swings

        names = tuple(linkage.links)
        swings = link_swings(linkage, names)
        return {name: link_mount(name, swing) for name, swing in zip(names, swings, strict=True)}

    def link(self, name: str | None) -> Mount:
        """Return the mount of what moves with a link; the frame's for None."""
        return FRAME if name is None else self._links.get(name, FRAME)

    @cached_property
    def shock(self) -> tuple[Mount, Mount]:
        """Mounts of what moves with the shock's start and end; only on a bike with a rear suspension."""
        from frame3d.bodies.motion.linked import shock_swings

        linkage = self.bike.linkage
        assert linkage is not None
        start, end = shock_swings(linkage)
        return link_mount("shock body", start), link_mount("shock shaft", end)

    @property
    def rear(self) -> Mount:
        """Mount of what moves with the rear axle."""
        linkage = self.bike.linkage
        return self._slid if linkage is None else self.link(linkage.axle_link)

    @property
    def brake(self) -> Mount:
        """Mount of what moves with the rear caliper; in slots it goes with the axle."""
        linkage = self.bike.linkage
        return self._slid if linkage is None else self.link(linkage.brake_link)

    # What tensions the chain

    @cached_property
    def insert(self) -> Insert | None:
        """The shell's eccentric insert."""
        return insert_of(self.bike)

    @cached_property
    def slots(self) -> Slots | None:
        """The axle's slots in sliding dropouts."""
        return slots_of(self.bike)

    @cached_property
    def _slid(self) -> Mount:
        return slide_mount(self.slots, "rear wheel")

    @cached_property
    def spindle(self) -> Mount:
        """Mount of what stands on the bottom bracket without turning with the cranks."""
        return spindle_mount(self.insert)

    @cached_property
    def crank(self) -> Mount:
        """Mount of what turns with the cranks."""
        return with_spindle(CRANK, self.spindle)

    # Wheels

    def axle(self, end: End) -> Point:
        """Return the middle of an axle [mm]."""
        return self.bike.nodes[f"{end}_axle"]

    def tyre(self, end: End) -> TyreSize | None:
        """Return the size of a wheel's tyre; None where the file gives none."""
        wheel = self.wheel(end)
        if wheel is None or wheel.tyre is None:
            return None
        if isinstance(wheel.tyre, TyreSpec):
            width, diameter = wheel.tyre.width, wheel.tyre.diameter
            return TyreSize(width, diameter / 2, diameter - 2 * width, False)
        size = standards.tyre(wheel.tyre)
        return TyreSize(size.width, size.radius, size.bead_seat, True)

    def hub(self, end: End) -> tuple[float, float] | None:
        """Return a hub's width between the dropouts and its axle's diameter [mm]; None if not given."""
        wheel = self.wheel(end)
        if wheel is None or wheel.hub is None:
            return None
        hub = wheel.hub if isinstance(wheel.hub, HubSpec) else standards.hub(wheel.hub)
        return hub.width, hub.axle

    # The seat tube's axis

    @cached_property
    def seat_up(self) -> Vector:
        """Unit direction up the seatpost's axis: (3,) float."""
        angle = np.radians(self.figure("actual_seat_tube_angle"))
        return unit(np.array([-np.cos(angle), 0.0, np.sin(angle)]))

    # Pedals

    @property
    def has_q_factor(self) -> bool:
        """Whether the file gives the Q factor."""
        return self.build.crank is not None and self.build.crank.q_factor is not None

    @property
    def pedal_lateral(self) -> float | None:
        """Distance of the pedals' centres from the centre plane [mm]."""
        crank, pedal = self.build.crank, self.build.pedal
        if crank is None or crank.q_factor is None or pedal is None:
            return None
        return crank.q_factor / 2 + pedal.axle

    def pedal_mounts(self, side: Side, lateral: float) -> tuple[Mount, Mount]:
        """Return the mounts of what moves with a pedal, and with the shoe on it."""
        assert self.build.crank is not None
        sign = 1.0 if side == "left" else -1.0
        centre = np.array([0.0, sign * lateral, 0.0])
        level, shoe = crank_mounts(self.build.crank.length, side, centre)
        return with_spindle(level, self.spindle), with_spindle(shoe, self.spindle)
