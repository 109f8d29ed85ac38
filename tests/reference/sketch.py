"""The side view of a bike as points, lines and constraints for SolveSpace's solver (package slvs).

None of the program's formulas are used here: each chart figure is drawn as its definition reads, e.g.
trail as the distance on the ground between the contact point and the point where the line of the
steering axis meets the ground.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
import slvs

from frame3d.geometry.vector import Point

GIVEN, SOUGHT = 1, 2
"""SolveSpace groups: what stands still, and what is solved."""


class Sketch:
    """A bike's side view in SolveSpace; one at a time, since the solver keeps one global sketch."""

    def __init__(
        self,
        start: Mapping[str, Point],
        *,
        offset: bool,
        shake: float,
        seed: int,
        cup_angle: float = 0.0,
    ) -> None:
        """Points near `start`.

        Args:
            start: nodes of the bike, as `nodes_of` gives them; only start values.
            offset: whether the seat tube passes the bottom bracket at a distance.
            shake: start values are moved at random by up to this much [mm].
            seed: of the random numbers.
            cup_angle: of angle-adjusting headset cups [degrees].
        """
        slvs.clear_sketch()
        self.plane = slvs.add_base_2d(GIVEN)
        self._random = np.random.default_rng(seed)
        self._shake = shake
        self.points: dict[str, Any] = {"bottom_bracket": slvs.add_point_2d(GIVEN, 0, 0, self.plane)}
        east = slvs.add_point_2d(GIVEN, 1, 0, self.plane)
        north = slvs.add_point_2d(GIVEN, 0, 1, self.plane)
        self.level = slvs.add_line_2d(GIVEN, self.points["bottom_bracket"], east, self.plane)
        self.upright = slvs.add_line_2d(GIVEN, self.points["bottom_bracket"], north, self.plane)
        for name, p in start.items():
            if name != "bottom_bracket":
                self.point(name, p[0], p[2])
        self._structure(start, offset, cup_angle)

    # --- drawing ----------------------------------------------------------------------------------

    def point(self, name: str, x: float, z: float) -> Any:
        """A point near (x, z)."""
        dx, dz = self._random.uniform(-self._shake, self._shake, 2)
        self.points[name] = slvs.add_point_2d(SOUGHT, x + dx, z + dz, self.plane)
        return self.points[name]

    def line(self, a: str, b: str) -> Any:
        """A line from point a to point b."""
        return slvs.add_line_2d(SOUGHT, self.points[a], self.points[b], self.plane)

    def on(self, name: str, line: Any) -> None:
        """The point lies on the line.

        As a distance of 0: SolveSpace's own point-on-line seeks a place along the line too, and often
        fails to find it.
        """
        self.left_of(name, line, 0.0)

    def middle(self, name: str, line: Any, x: float, z: float) -> None:
        """A point near (x, z), the middle of a line."""
        slvs.midpoint(SOUGHT, self.point(name, x, z), line, self.plane)

    def above(self, upper: str, lower: str) -> None:
        """One point lies straight above (or below) another."""
        slvs.vertical(SOUGHT, self.line(lower, upper), self.plane)

    def apart(self, a: str, b: str, value: float) -> None:
        """Two points are this far apart [mm]."""
        slvs.distance(SOUGHT, self.points[a], self.points[b], value, self.plane)

    def left_of(self, name: str, line: Any, value: float) -> None:
        """A point lies this far to the left of a line's direction [mm]; negative: to the right."""
        slvs.distance(SOUGHT, self.points[name], line, -value, self.plane)

    def angle(self, a: Any, b: Any, value: float) -> None:
        """Two lines' directions make this angle [degrees]."""
        slvs.angle(SOUGHT, a, b, value, self.plane)

    def _structure(self, start: Mapping[str, Point], offset: bool, cup_angle: float) -> None:
        """What every bike is, before any figure."""
        p = {name: np.array([q[0], q[2]]) for name, q in start.items()}
        # Wheels stand upright over their contact points, which lie on one level line.
        self.above("rear_axle", "rear_contact")
        self.above("front_axle", "front_contact")
        self.ground = self.line("rear_contact", "front_contact")
        slvs.horizontal(SOUGHT, self.ground, self.plane)
        # Head tube and steering axis; the plane of the head tube's lower face, to tell above from below.
        self.head = self.line("head_tube_bottom", "head_tube_top")
        rear = p["head_tube_bottom"] - 100 * np.array([1.0, 0.4])
        self.point("lower_face", *rear)
        self.lower_face = self.line("lower_face", "head_tube_bottom")
        slvs.perpendicular(SOUGHT, self.lower_face, self.head, self.plane)
        self.apart("lower_face", "head_tube_bottom", 100.0)
        if cup_angle == 0:
            self.steering = self.head
            self.on("crown_race", self.head)
        else:
            middle = (p["head_tube_bottom"] + p["head_tube_top"]) / 2
            self.middle("head_tube_middle", self.head, *middle)
            self.steering = self.line("crown_race", "head_tube_middle")
            self.angle(self.head, self.steering, abs(cup_angle))
        # The foot of the perpendicular from the front axle.
        down = p["crown_race"] - p["head_tube_top"]
        down /= np.linalg.norm(down)
        foot = p["crown_race"] + ((p["front_axle"] - p["crown_race"]) @ down) * down
        self.point("fork_foot", *foot)
        self.on("fork_foot", self.steering)
        fork = self.line("fork_foot", "front_axle")
        slvs.perpendicular(SOUGHT, fork, self.steering, self.plane)
        # Seat tube: its axis, the foot of the bottom bracket on it, the saddle on it.
        up = p["saddle"] - p["seat_tube_top"]
        up /= np.linalg.norm(up)
        seat_foot = p["seat_tube_top"] - (p["seat_tube_top"] @ up) * up
        if offset:
            self.point("seat_foot", *seat_foot)
            self.seat = self.line("seat_foot", "seat_tube_top")
            square = self.line("bottom_bracket", "seat_foot")
            slvs.perpendicular(SOUGHT, square, self.seat, self.plane)
        else:
            self.points["seat_foot"] = self.points["bottom_bracket"]
            self.seat = self.line("seat_foot", "seat_tube_top")
        self.on("saddle", self.seat)
        # The seatpost axis at the height of the head tube's top.
        share = (p["head_tube_top"][1] - p["seat_tube_top"][1]) / up[1]
        self.point("seat_level", *(p["seat_tube_top"] + share * up))
        self.on("seat_level", self.seat)
        slvs.horizontal(SOUGHT, self.line("seat_level", "head_tube_top"), self.plane)
        # The steering axis on the ground, and the foot of the front contact point on it.
        to_ground = (p["front_contact"][1] - p["crown_race"][1]) / down[1]
        self.point("steering_on_ground", *(p["crown_race"] + to_ground * down))
        self.on("steering_on_ground", self.steering)
        self.on("steering_on_ground", self.ground)
        trail_foot = p["crown_race"] + ((p["front_contact"] - p["crown_race"]) @ down) * down
        self.point("trail_foot", *trail_foot)
        self.on("trail_foot", self.steering)
        normal = self.line("front_contact", "trail_foot")
        slvs.perpendicular(SOUGHT, normal, self.steering, self.plane)

    # --- figures ----------------------------------------------------------------------------------

    def figure(self, name: str, value: float) -> None:
        """Hold a chart figure [mm or degrees]."""
        if name == "reach":
            self.left_of("head_tube_top", self.upright, -value)
        elif name == "stack":
            self.left_of("head_tube_top", self.level, value)
        elif name == "head_tube_angle":
            # Against the ground behind: from the level line forward it is the supplement.
            self.angle(self.level, self.steering, 180 - value)
        elif name == "head_tube_length":
            self.apart("head_tube_bottom", "head_tube_top", value)
        elif name == "actual_seat_tube_angle":
            self.angle(self.level, self.seat, 180 - value)
        elif name in ("effective_seat_tube_angle", "effective_seat_tube_angle_at_stack"):
            self.angle(self.level, self.line("bottom_bracket", "seat_level"), 180 - value)
        elif name == "effective_seat_tube_angle at the saddle":
            self.angle(self.level, self.line("bottom_bracket", "saddle"), 180 - value)
        elif name == "saddle_height":
            self.apart("bottom_bracket", "saddle", value)
        elif name == "seat_tube_length":
            self.apart("seat_foot", "seat_tube_top", value)
        elif name == "seat_tube_offset":
            self.left_of("bottom_bracket", self.seat, value)
        elif name == "effective_top_tube":
            self.apart("seat_level", "head_tube_top", value)
        elif name == "chainstay_length":
            self.apart("bottom_bracket", "rear_axle", value)
        elif name == "front_centre":
            self.apart("bottom_bracket", "front_axle", value)
        elif name == "wheelbase":
            self.apart("rear_contact", "front_contact", value)
        elif name == "bb_drop":
            self.left_of("rear_axle", self.level, value)
        elif name == "bb_height":
            self.left_of("bottom_bracket", self.ground, value)
        elif name == "fork_axle_to_crown":
            self.apart("crown_race", "fork_foot", value)
        elif name == "fork_length_straight":
            self.apart("crown_race", "front_axle", value)
        elif name == "fork_offset":
            self.left_of("front_axle", self.steering, -value)
        elif name == "lower_headset_stack":
            self.left_of("crown_race", self.lower_face, -value)
        elif name == "middle_to_crown":
            self.apart("head_tube_middle", "crown_race", value)
        elif name == "front_wheel_radius":
            self.apart("front_axle", "front_contact", value)
        elif name == "rear_wheel_radius":
            self.apart("rear_axle", "rear_contact", value)
        elif name == "trail":
            self.apart("front_contact", "steering_on_ground", value)
        elif name == "mechanical_trail":
            self.apart("front_contact", "trail_foot", value)
        elif name == "wheel_flop":
            # trail·sin·cos of the angle = the height of the trail's foot on the axis above the ground
            self.left_of("trail_foot", self.ground, value)
        else:
            raise KeyError(name)

    # --- solving ----------------------------------------------------------------------------------

    def solve(self) -> dict[str, tuple[float, float]]:
        """Solve it; (x, z) of every point [mm].

        Raises:
            AssertionError: SolveSpace finds no solution, or one that may still move.
        """
        result, bad = slvs.solve_sketch(SOUGHT, True)
        assert result["result"] == slvs.ResultFlag.OKAY, (result, bad)
        assert result["dof"] == 0, result
        return {
            name: (slvs.get_param_value(p["param"][0]), slvs.get_param_value(p["param"][1]))
            for name, p in self.points.items()
        }
