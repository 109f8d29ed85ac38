"""The named points of the side view, computed from the solved variables."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from frame3d.geometry.vector import Point


def nodes_of(values: Mapping[str, float], saddle_height: float | None = None) -> dict[str, Point]:
    """Return the named points of a solved bike on level ground [mm].

    Args:
        values: variables, in mm or radians.
        saddle_height: straight distance from the bottom bracket to the saddle on the seatpost axis; with
            None the saddle's node is where that axis reaches the height of the head tube's top.

    Returns:
        name -> (x, y, z), in the order of `parameters.models.base.NODE_NAMES`.
    """
    steer = values["head_tube_angle"]
    tube = steer - values["cup_angle"]
    down = np.array([np.cos(steer), -np.sin(steer)])
    ahead = np.array([np.sin(steer), np.cos(steer)])
    tube_down = np.array([np.cos(tube), -np.sin(tube)])
    top = np.array([values["reach"], values["stack"]])
    half = values["head_tube_length"] / 2
    middle = top + half * tube_down
    bottom = top + 2 * half * tube_down
    crown = middle + (half + values["lower_headset_stack"]) * down
    front = crown + values["fork_axle_to_crown"] * down + values["fork_offset"] * ahead
    rear = np.array([-values["rear_axle_setback"], values["bb_drop"]])
    ground = -values["bb_height"]

    seat = values["actual_seat_tube_angle"]
    up = np.array([-np.cos(seat), np.sin(seat)])
    forward = np.array([np.sin(seat), np.cos(seat)])
    foot = values["seat_tube_offset"] * forward
    seat_top = foot + values["seat_tube_length"] * up
    if saddle_height is None:
        along = (values["stack"] - foot[1]) / up[1]
    else:
        along = float(np.sqrt(max(saddle_height**2 - values["seat_tube_offset"] ** 2, 0.0)))
    saddle = foot + along * up

    def node(p: np.ndarray[tuple[int], np.dtype[np.float64]]) -> Point:
        return (float(p[0]) + 0.0, 0.0, float(p[1]) + 0.0)

    return {
        "bottom_bracket": (0.0, 0.0, 0.0),
        "rear_axle": node(rear),
        "front_axle": node(front),
        "head_tube_top": node(top),
        "head_tube_bottom": node(bottom),
        "crown_race": node(crown),
        "seat_tube_top": node(seat_top),
        "rear_contact": node(np.array([rear[0], ground])),
        "front_contact": node(np.array([front[0], ground])),
        "saddle": node(saddle),
    }
