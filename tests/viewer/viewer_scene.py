"""A small made-up model for tests of the viewer: blocks, a tube and two tyres on every kind of mount."""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np

from frame3d.bodies.motion.mounts import (
    CIRCLE,
    FRAME,
    SHIFT,
    SWING,
    TURN,
    Mount,
    crank_mounts,
    fork_mounts,
    link_mount,
)
from frame3d.bodies.motion.swing import tabled
from frame3d.formats.glb import glb
from frame3d.solids.mesh import Mesh
from frame3d.solids.model import FrameModel, FramePart
from tests.bikes import hardtail_layout

TRAVEL = 120.0
ARM = 430.0
"""Length of the made-up swinging arm [mm]."""
CROWN, UP = np.array([600.0, 0.0, 520.0]), np.array([-0.4, 0.0, np.sqrt(0.84)])
OUTER, INNER = 40.0, 32.0
"""Diameters of the tube [mm]."""


def arm(travels: np.ndarray[Any, Any]) -> np.ndarray[Any, Any]:
    """An arm about (-40, 30) that lifts a point 430 mm behind it: rows as in `Swing.knots`."""
    x, z = -40.0, 30.0
    # Nose down: the rear end comes up.
    turn = -np.arcsin(travels / ARM)
    rate = -1 / np.sqrt(ARM**2 - travels**2)
    c, s = np.cos(turn), np.sin(turn)
    return np.stack(
        [
            x - (x * c - z * s), z - (x * s + z * c), np.degrees(turn),
            (x * s + z * c) * rate, -(x * c - z * s) * rate, np.degrees(rate),
        ],
        axis=1,
    )  # fmt: skip


@cache
def mounts() -> dict[str, Mount]:
    """One of each kind."""
    steering, fork = fork_mounts(CROWN, UP)
    pedal, shoe = crank_mounts(170.0, "left", np.array([0.0, 120.0, 0.0]))
    every = (FRAME, steering, fork, pedal, shoe, link_mount("arm", tabled(TRAVEL, arm)))
    return {mount.name: mount for mount in every}


def block(centre: tuple[float, float, float], size: float) -> Mesh:
    """A cube [mm]."""
    corners = np.array([(x, y, z) for x in (-1, 1) for y in (-1, 1) for z in (-1, 1)])
    quads = [(0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3)]
    triangles = [t for a, b, c, d in quads for t in ((a, b, c), (a, c, d))]
    return Mesh(np.array(centre) + corners * size / 2, np.array(triangles))


def turned(profile: np.ndarray[Any, Any], sides: int = 96) -> Mesh:
    """A closed profile of (radius, z), anticlockwise and clear of the axis, turned about z."""
    turn = 2 * np.pi * np.arange(sides)[:, None] / sides
    r, z = profile[:, 0], profile[:, 1]
    points = np.stack([np.cos(turn) * r, np.sin(turn) * r, z + 0 * turn], axis=2).reshape(-1, 3)
    n = len(profile)
    triangles = []
    for i in range(sides):
        for j in range(n):
            a, b = i * n + j, i * n + (j + 1) % n
            c, d = (i + 1) % sides * n + (j + 1) % n, (i + 1) % sides * n + j
            triangles += [(a, d, c), (a, c, b)]
    return Mesh(points, np.array(triangles))


def tube() -> Mesh:
    """An upright tube about the origin, from z = -100 to 100 [mm]."""
    outer, inner = OUTER / 2, INNER / 2
    return turned(np.array([(inner, -100.0), (outer, -100.0), (outer, 100.0), (inner, 100.0)]))


def tyre(x: float) -> Mesh:
    """A wheel's tyre, 360 mm in radius and 60 mm wide, with its axle at (x, 0, 60) [mm]."""
    around = 2 * np.pi * np.arange(24) / 24
    ring = turned(np.stack([330.0 + 30.0 * np.cos(around), 30.0 * np.sin(around)], axis=1))
    # About y instead of z.
    return Mesh(ring.vertices[:, [0, 2, 1]] * (1.0, -1.0, 1.0) + (x, 0.0, 60.0), ring.triangles)


@cache
def parts() -> dict[str, tuple[str, str, str, Mesh]]:
    """Name -> group, mount, colour, mesh."""
    return {
        "tube": ("frame", "frame", "#4a6b57", tube()),
        "block_a": ("frame", "frame", "#b05a3c", block((200.0, 0.0, 300.0), 40.0)),
        "block_b": ("seat", "frame", "#3c6bb0", block((200.0, 0.0, 400.0), 40.0)),
        "carrier": ("linkage", "arm", "#88733c", block((-300.0, 0.0, 60.0), 40.0)),
        "stem": ("cockpit", "steering", "#3a3d42", block((560.0, 0.0, 640.0), 40.0)),
        "crown": ("fork", "fork", "#3a3d42", block((610.0, 0.0, 480.0), 40.0)),
        "pedal": ("crank", "left pedal", "#3a3d42", block((170.0, 120.0, 0.0), 40.0)),
        "shoe": ("crank", "left shoe", "#6b5745", block((190.0, 120.0, 60.0), 40.0)),
        "rear_tyre": ("rear_wheel", "arm", "#262628", tyre(-430.0)),
        "front_tyre": ("front_wheel", "fork", "#262628", tyre(720.0)),
    }


@cache
def model() -> bytes:
    """The model as GLB."""
    made = [
        FramePart(
            name=name,
            key=name,
            side=None,
            colour=rgb(colour),
            material="",
            density=0.0,
            shape=None,
            volume=0.0,
            centre=(0.0, 0.0, 0.0),
        )
        for name, (_, _, colour, _) in parts().items()
    ]
    meshes = {name: mesh for name, (_, _, _, mesh) in parts().items()}
    return glb(FrameModel(hardtail_layout(), (), tuple(made), meshes))


def scene() -> dict[str, Any]:
    """Its scene, a fresh copy to change at will."""
    swings: dict[str, Any] = {}
    steps: dict[str, Any] = {}
    kinds = {TURN: "turn", SHIFT: "shift", CIRCLE: "circle", SWING: "swing"}
    for name, mount in mounts().items():
        steps[name] = []
        for step in mount.steps:
            entry: dict[str, Any] = {"kind": kinds[step.kind], "motion": step.name}
            entry |= {"point": list(step.point), "axis": list(step.axis)}
            if step.swing is not None:
                entry["swing"] = name
                knots = step.swing.knots.tolist()
                swings[name] = {"low": 0, "high": step.swing.travel, "knots": knots}
            steps[name].append(entry)
    return {
        "parts": [
            {
                "name": name, "title": name.replace("_", " "), "group": group, "mount": mount,
                "facts": [["Size", "40 mm"]], "colour": colour,
            }
            for name, (group, mount, colour, _) in parts().items()
        ],
        "mounts": steps,
        "swings": swings,
        "motions": [
            {"name": "rear", "low": 0, "high": TRAVEL, "unit": "mm", "sag": 30},
            {"name": "fork", "low": 0, "high": 130, "unit": "mm", "sag": 26},
            {"name": "steer", "low": -60, "high": 60, "unit": "°", "sag": None},
            {"name": "crank", "low": 0, "high": 360, "unit": "°", "sag": None},
        ],
        "checks": checks(),
    }  # fmt: skip


def checks() -> list[dict[str, Any]]:
    """One that holds, one that falls short, one over rear travel with a track, one without points."""
    common = {"error": 0, "unit": "mm", "source": "made up", "note": "", "mend": [], "track": None}
    middle = 480.0 - 20.0
    made = [
        common | {
            "id": "holds", "name": "holds", "title": "Block to block", "gap": 60.0, "required": 6,
            "between": ["block_a", "block_b"], "ok": True, "at": {},
            "points": [[200, 0, 320], [200, 0, 380]],
        },
        common | {
            "id": "short", "name": "short", "title": "Block to tube", "gap": 160.0, "required": 170,
            "between": ["block_a", "tube"], "ok": False, "at": {},
            "points": [[180, 0, 280], [20, 0, 100]],
        },
        common | {
            "id": "moving", "name": "moving", "title": "Carrier to tube", "gap": 200.0, "ok": True,
            "required": 5.5, "between": ["carrier", "tube"], "at": {"rear": 100.0},
            "points": [[-270, 0, 60], [-20, 0, 60]],
            "track": {
                "motion": "rear", "values": [0, 50, 100], "gaps": [260.0, 230.0, 200.0],
                "points": [[[-270, 0, 60], [-20, 0, 60]]] * 3,
            },
        },
        common | {
            "id": "steered", "name": "steered", "title": "Crown to block", "gap": 1.0, "ok": False,
            "required": 8, "between": ["crown", "block_a"], "at": {"fork": 130.0, "steer": 30.0},
            "points": [[590, 0, middle], [220, 0, 300]],
        },
        common | {
            "id": "figure", "name": "figure", "title": "Standover", "gap": 12.0, "required": 25,
            "between": None, "ok": False, "at": {}, "points": None,
        },
    ]  # fmt: skip
    return [check | {"least": check["gap"], "decimals": 1} for check in made]


def rgb(colour: str) -> tuple[float, float, float]:
    """#rrggbb as three numbers from 0 to 1."""
    r, g, b = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    return (r, g, b)
