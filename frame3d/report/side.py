"""The solved bike in the side view: the points and lines between which figures are measured."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Container
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.bodies.body import Bodies
from frame3d.bodies.shapes import Tubular
from frame3d.geometry.closed_path import Path
from frame3d.geometry.disc_hull import Flat
from frame3d.geometry.section import Section
from frame3d.linkage.structure import FRAME
from frame3d.report.drawing.sheet import XZ, path
from frame3d.report.markup import Markup, el
from frame3d.report.outline import Loops, Outline, outlines, tube_loop
from frame3d.solids.dropout import dropout_metal
from frame3d.solids.sweep import Sweep
from frame3d.tubes.standover import place_of

SADDLE = "saddle"
LEFT_OUT = frozenset({"shoe"})
"""Parts that are left out of drawings of the frame."""


@dataclass(frozen=True)
class Side:
    """The side view of a bike as it is drawn."""

    bike: Bike
    bodies: Bodies

    def at(self, node: str) -> XZ:
        """Return a node's (x, z) [mm]."""
        x, _, z = self.bike.nodes[node]
        return (x, z)

    def figure(self, name: str) -> float | None:
        """Return a chart figure [mm or degrees]."""
        return self.bike.chart[name]

    def known(self, name: str) -> float:
        """Return a chart figure that every solved bike has."""
        value = self.figure(name)
        assert value is not None, name
        return value

    @property
    def ground(self) -> float:
        """Height of the ground [mm]."""
        return -self.known("bb_height")

    @cached_property
    def down(self) -> XZ:
        """Unit vector down the steering axis."""
        angle = math.radians(self.known("head_tube_angle"))
        return (math.cos(angle), -math.sin(angle))

    @property
    def ahead(self) -> XZ:
        """Unit vector forward, normal to the steering axis."""
        return (-self.down[1], self.down[0])

    @cached_property
    def seat_up(self) -> XZ:
        """Unit vector up the seat tube."""
        angle = math.radians(self.known("actual_seat_tube_angle"))
        return (-math.cos(angle), math.sin(angle))

    @cached_property
    def steer_foot(self) -> XZ:
        """Intersection of the steering axis with the ground."""
        x, z = self.at("crown_race")
        t = (z - self.ground) / -self.down[1]
        return (x + t * self.down[0], self.ground)

    @cached_property
    def axle_foot(self) -> XZ:
        """Foot of the front axle on the steering axis."""
        x, z = self.at("crown_race")
        length = self.known("fork_axle_to_crown")
        return (x + length * self.down[0], z + length * self.down[1])

    @cached_property
    def contact_foot(self) -> XZ:
        """Foot of the front contact point on the steering axis."""
        contact = self.at("front_contact")
        m = self.known("mechanical_trail")
        return (contact[0] + m * self.ahead[0], contact[1] + m * self.ahead[1])

    @cached_property
    def seat_foot(self) -> XZ:
        """Foot of the bottom bracket on the seat tube's axis."""
        offset = self.known("seat_tube_offset")
        return (offset * self.seat_up[1], -offset * self.seat_up[0])

    @cached_property
    def seat_at_stack(self) -> XZ:
        """Point of the seatpost axis at the height of the head tube's top."""
        top = self.at("head_tube_top")
        return (top[0] - self.known("effective_top_tube"), top[1])

    def top_tube_edge(self, figure: str) -> XZ | None:
        """Return the point of the top tube's upper edge at which a standover is measured."""
        standover, x = self.figure(figure), place_of(figure, self.bike.tubes)
        if standover is None or x is None:
            return None
        return (x, self.ground + standover)

    @cached_property
    def corners(self) -> tuple[XZ, XZ]:
        """Return the lower rear and upper front corner of everything drawn [mm]."""
        r, f = self.known("rear_wheel_radius"), self.known("front_wheel_radius")
        xs = [self.at("rear_axle")[0] - r, self.at("front_axle")[0] + f]
        zs = [self.ground, self.at("head_tube_top")[1], self.at("saddle")[1]]
        for outline in self.outlines:
            for piece in outline.pieces:
                xs += [float(piece[0][:, 0].min()), float(piece[0][:, 0].max())]
                zs += [float(piece[0][:, 1].min()), float(piece[0][:, 1].max())]
        return (min(xs), min(zs)), (max(xs), max(zs))

    @cached_property
    def outlines(self) -> tuple[Outline, ...]:
        """Outlines of all parts that are drawn, far ones first."""
        return outlines(self.bodies, LEFT_OUT)

    def solids(self, names: Container[str]) -> tuple[Loops, ...]:
        """Return the loops of all solids of some parts, far ones first."""
        return tuple(
            piece for outline in self.outlines if outline.name in names for piece in outline.pieces
        )

    def marks(self) -> list[Markup]:
        """Return the drawing of the bike: the parts that it carries, then the frame over them."""
        out: list[Markup] = []
        names = {outline.name for outline in self.outlines}
        for end in ("rear", "front"):
            if f"{end}_tyre" not in names:
                out.append(self._circle(f"{end}_axle", self.known(f"{end}_wheel_radius"), "part"))
        if not any(outline.family == "fork" for outline in self.outlines):
            out.append(path([self.fork_line], "part open", closed=False))
        for outline in self.outlines:
            if outline.family != "frame":
                class_ = "part up" if outline.name == SADDLE else "part"
                out += [path(piece, class_, closed=True) for piece in outline.pieces]
        out += [path(loops, "frame", closed=True) for loops in self.dropout_solids()]
        for outline in self.outlines:
            if outline.family == "frame":
                out += [path(piece, "frame", closed=True) for piece in outline.pieces]
        if not self.bike.tubes:
            lines = (*self.front_lines, *self.rear_lines)
            out += [path([line], "frame open", closed=False) for line in lines]
        return [*out, *self._links()]

    def lowered_saddle(self, by: XZ) -> list[Markup]:
        """Return the saddle moved from its place [mm]; nothing where there is none."""
        return [
            path([loop + np.array(by) for loop in piece], "part", closed=True)
            for outline in self.outlines
            if outline.name == SADDLE
            for piece in outline.pieces
        ]

    @property
    def fork_line(self) -> list[XZ]:
        """Line of a fork whose outline is not known."""
        return [self.at("crown_race"), self.axle_foot, self.at("front_axle")]

    @property
    def front_lines(self) -> tuple[list[XZ], ...]:
        """Lines of a front triangle whose tubes are not known."""
        bb, top, bottom = (
            self.at(node) for node in ("bottom_bracket", "head_tube_top", "head_tube_bottom")
        )
        seat = self.at("seat_tube_top")
        return [bottom, top], [self.seat_foot, seat], [bb, bottom], [seat, top]

    @property
    def rear_lines(self) -> tuple[list[XZ], ...]:
        """Lines of a rear triangle whose tubes are not known."""
        rear = self.at("rear_axle")
        return [self.at("bottom_bracket"), rear], [rear, self.at("seat_tube_top")]

    def _links(self) -> list[Markup]:
        """Return the pivots of the rear links, and lines for links that have no tubes or plates."""
        linkage = self.bike.linkage
        if linkage is None:
            return []
        turned = Counter(name for points in linkage.bodies.values() for name in points)
        out = []
        for line in self.link_lines:
            closed = len(line) > 2
            out.append(path([line[:-1] if closed else line], "link", closed=closed))
        for name, (x, z) in linkage.drawn.items():
            if turned[name] > 1 or name in linkage.shock:
                out.append(el("circle", cx=f"{x:.1f}", cy=f"{-z:.1f}", r=7, class_="pivot"))
        return out

    @property
    def link_lines(self) -> tuple[list[XZ], ...]:
        """Lines of rear links that have no tubes or plates, closed where a link has three points."""
        linkage = self.bike.linkage
        if linkage is None:
            return ()
        solid = {
            mount.name
            for body in self.bodies.bodies
            if body.family == "frame"
            for mount in (*(s.mount for s in body.shapes), *(t.mount for t in body.tubes))
        }
        return tuple(
            [linkage.drawn[name] for name in (points if len(points) < 3 else (*points, points[0]))]
            for body, points in linkage.bodies.items()
            if body != FRAME and body not in solid and len(points) > 1
        )

    def _circle(self, node: str, radius: float, class_: str) -> Markup:
        x, z = self.at(node)
        turns = [math.radians(5 * i) for i in range(72)]
        ring = [(x + radius * math.cos(t), z + radius * math.sin(t)) for t in turns]
        return path([ring], class_, closed=True)

    def dropout_solids(self) -> tuple[Loops, ...]:
        """Return the loops of the right dropout's solids; the left one is behind it."""
        tubes = {tube.name: tube for tube in self.bike.tubes}
        found: list[Loops] = []
        for dropout in self.bike.dropouts:
            if dropout.side != "right":
                continue
            for solid in dropout_metal(dropout, tubes):
                if isinstance(solid, Sweep):
                    still = (0.0,) * len(solid.s)
                    section = Section(solid.s, solid.height, solid.width, still, solid.rounds)
                    found.append((tube_loop(Tubular(dropout.name, solid.axis, section)),))
                elif isinstance(solid, Flat):
                    found.append((Path.of_flat(solid).points(0.05),))
            if dropout.plate is not None:
                plate = dropout.plate
                paths = (plate.outline.outer, *plate.outline.inner)
                rims = [path.points(0.05) for path in paths]
                flat = [np.column_stack([rim, np.zeros(len(rim))]) for rim in rims]
                found.append(tuple(plate.plane.place(rim)[:, [0, 2]] for rim in flat))
        return tuple(found)
