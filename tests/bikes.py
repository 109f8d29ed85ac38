"""Bikes for tests: complete, plausible layouts from hand-made nodes; all invented."""

from __future__ import annotations

import copy
import math
from typing import Any

from frame3d.bike.bike import Bike
from frame3d.bike.place_tubes import place_tubes
from frame3d.chart.solve import Solved
from frame3d.geometry.vector import Point
from frame3d.parameters.models.figures import FIGURES
from frame3d.parameters.models.frame import FrameSpec
from frame3d.tubes.frame import Frame

HEAD, SEAT = 65.5, 75.5

_HARDTAIL: dict[str, Any] = {
    "format": 1,
    "name": "Trail hardtail 29",
    "geometry": {
        "reach": 455.0,
        "head_tube_angle": HEAD,
        "head_tube_length": 115.0,
        "effective_seat_tube_angle": SEAT,
        "seat_tube_length": 430.0,
        "chainstay_length": 432.0,
        "bb_drop": 62.0,
    },
    "build": {
        "fork": {
            "axle_to_crown": 531.0,
            "measured": "straight",
            "offset": 44.0,
            "travel": 130.0,
            "sag": "25%",
        },
        "headset": {"upper": "ZS44/28.6", "lower": "ZS56/40", "lower_stack": 4.0},
        "front_wheel": {"tyre": "61-622"},
        "rear_wheel": {"tyre": "61-622", "hub": "148x12"},
        "bottom_bracket": {"shell": "threaded-73"},
        "seatpost": {"diameter": 31.6},
    },
    "tubes": {
        "head_tube": {
            "od": {"start": 62.0, "end": 50.0},
            "wall": {"butted": [3.2, 2.8, 4.2], "lengths": [26.0, 30.0], "transition": 20.0},
        },
        "seat_tube": {
            "od": 34.9,
            "wall": {"butted": [1.0, 1.65], "lengths": [250.0], "transition": 40.0},
        },
        "down_tube": {
            "start": {"on": "bottom_bracket"},
            "end": {"on": "head_tube", "above_bottom": 36.0},
            "od": 38.1,
            "wall": {"butted": [0.9, 0.6, 0.9], "lengths": [90.0, 120.0], "transition": 50.0},
        },
        "top_tube": {
            "start": {"on": "seat_tube", "below_top": 40.0},
            "end": {"on": "head_tube", "angle": 86.0},
            "od": 31.8,
            "wall": 0.8,
        },
        "chainstay": {
            "pair": True,
            "start": {"on": "bottom_bracket", "y": 26.0},
            "bends": [
                {"along": 110.0, "y": 37.0, "radius": 180.0},
                {"along": 300.0, "y": 69.0, "radius": 200.0},
            ],
            "end": {"on": "rear_dropout", "stop_short": 26.0},
            "od": {"start": {"height": 30.0, "width": 17.0}, "end": 16.0},
            "wall": 1.0,
        },
        "seatstay": {
            "pair": True,
            "start": {"on": "seat_tube", "below_top": 70.0, "y": 10.0},
            "bends": [{"along": 100.0, "y": 46.0, "radius": 120.0}],
            "end": {"on": "rear_dropout", "stop_short": 26.0},
            "od": 16.0,
            "wall": 0.8,
        },
        "seatstay_bridge": {
            "start": {"on": "seatstay", "side": "left", "from_start": 150.0},
            "end": {"on": "seatstay", "side": "right", "from_start": 150.0},
            "od": 12.0,
            "wall": 1.0,
        },
        "chainstay_bridge": {
            "start": {"on": "chainstay", "side": "left", "from_start": 75.0},
            "end": {"on": "chainstay", "side": "right", "from_start": 75.0},
            "od": 12.0,
            "wall": 1.0,
        },
    },
}


def hardtail_data() -> dict[str, Any]:
    """The parameter file of `hardtail_spec` as plain data, a fresh copy to change at will."""
    return copy.deepcopy(_HARDTAIL)


def hardtail_spec() -> FrameSpec:
    """A trail hardtail: threaded-73 shell, 148x12 hub, tapered head tube, butted tubes, bent stays."""
    return FrameSpec.model_validate(hardtail_data())


def hardtail_nodes() -> dict[str, Point]:
    """Nodes of the hardtail with 29 inch wheels, computed by hand from its figures."""
    c, s = math.cos(math.radians(HEAD)), math.sin(math.radians(HEAD))
    drop, radius, offset = 62.0, 372.0, 44.0
    fork = math.sqrt(531.0**2 - offset**2)
    crown_z = drop + fork * s - offset * c
    bottom_z = crown_z + 4 * s
    top_z = bottom_z + 115 * s
    bottom_x = 455 + 115 * c
    crown_x = bottom_x + 4 * c
    axle_x = crown_x + fork * c + offset * s
    rear_x = -math.sqrt(432.0**2 - drop**2)
    cs, ss = math.cos(math.radians(SEAT)), math.sin(math.radians(SEAT))
    return {
        "bottom_bracket": (0.0, 0.0, 0.0),
        "rear_axle": (rear_x, 0.0, drop),
        "front_axle": (axle_x, 0.0, drop),
        "head_tube_top": (455.0, 0.0, top_z),
        "head_tube_bottom": (bottom_x, 0.0, bottom_z),
        "crown_race": (crown_x, 0.0, crown_z),
        "seat_tube_top": (-430 * cs, 0.0, 430 * ss),
        "rear_contact": (rear_x, 0.0, drop - radius),
        "front_contact": (axle_x, 0.0, drop - radius),
        "saddle": (-720 * cs, 0.0, 720 * ss),
    }


def hardtail_chart() -> dict[str, float | None]:
    """The figures of the hardtail's chart that tubes are placed by; the others are None."""
    chart: dict[str, float | None] = dict.fromkeys(FIGURES)
    return chart | {
        "actual_seat_tube_angle": SEAT,
        "seat_tube_length": 430.0,
        "seat_tube_offset": 0.0,
    }


def hardtail_layout() -> Bike:
    """The hardtail in place, without the chart solver."""
    return placed_layout(hardtail_spec())


def placed_layout(spec: FrameSpec) -> Bike:
    """Any tubes among the trail hardtail's nodes, without the chart solver."""
    nodes, chart = hardtail_nodes(), hardtail_chart()
    p = place_tubes(spec, nodes, chart)
    solved = Solved((), {}, (), (), ())
    frame = Frame(
        spec=spec,
        solved=solved,
        nodes=nodes,
        tubes=p.tubes,
        shell=p.shell,
        dropouts=p.dropouts,
        bores=p.bores,
        pivots=p.pivots,
        features=p.features,
        plates=p.plates,
        notes=p.notes,
    )
    return Bike(frame=frame, spec=spec, solved=solved, chart=chart, nodes=nodes, notes=p.notes)
