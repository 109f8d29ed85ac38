"""The rider in the scene document: shapes once, and where they stand in each posture."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, TypeAlias

from frame3d.bike.bike import Bike
from frame3d.bodies.motion.mounts import Mount
from frame3d.geometry.vector import Point
from frame3d.looks.girths import Ring
from frame3d.looks.rider import Bone, Limb, Pose, figure_of
from frame3d.report.texts import Texts

Key: TypeAlias = Callable[[Mount], str]


def figure_document(bike: Bike, key: Key, texts: Texts) -> dict[str, Any] | None:
    """Return the rider as plain data, in the frame's axes [mm]; None where there is none to show.

    Args:
        bike: whose rider it is.
        key: gives the key of a mount of the document, to which it is added.
        texts: for the postures' titles.
    """
    figure = figure_of(bike)
    if figure is None:
        return None
    return {
        "instead_of": ["shoe_left", "shoe_right"],
        "shapes": {
            name: {"square": shape.square, "rings": [_ring(ring) for ring in shape.rings]}
            for name, shape in figure.shapes.items()
        },
        "postures": [_posture(pose, key, texts) for pose in figure.poses],
    }


def _posture(pose: Pose, key: Key, texts: Texts) -> dict[str, Any]:
    return {
        "name": pose.name,
        "title": texts(f"mannequin.{pose.name}"),
        "fixed": [_bone(bone, key) for bone in pose.fixed],
        "limbs": [_limb(limb, key) for limb in pose.limbs],
        "drop": _place(pose.drop),
    }


def _bone(bone: Bone, key: Key) -> dict[str, Any]:
    return {
        "shape": bone.shape,
        "start": _place(bone.start),
        "end": _place(bone.end),
        "front": _way(bone.front),
        "mount": key(bone.mount),
    }


def _limb(limb: Limb, key: Key) -> dict[str, Any]:
    return {
        "root": _place(limb.root),
        "tip": _place(limb.tip),
        "bend": _way(limb.bend),
        "upper": _length(limb.upper),
        "lower": [_length(one) for one in limb.lower],
        "fronts": limb.fronts,
        "mount": key(limb.mount),
    }


def _length(one: tuple[str, float]) -> tuple[str, float]:
    return (one[0], round(one[1], 2))


def _ring(ring: Ring) -> list[float]:
    return [round(x, 1) + 0.0 for x in ring]


def _place(p: Point) -> list[float]:
    return [round(x, 2) + 0.0 for x in p]


def _way(p: Point) -> list[float]:
    """Return a direction as a unit vector."""
    size = math.hypot(*p)
    return [round(x / size, 4) + 0.0 for x in p]
