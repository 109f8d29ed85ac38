"""The rider in drawings: the outline of the same figure as in 3D, seen from the drive side.

Each segment is a path. Drawn once with a wide line and once more filled over that, the lines between
overlapping segments vanish and what is left is the outline of all together. Layers are symbols of their
own, so that a drawing can put the bike between them: the far limbs (left), the body with the near leg,
and the near arm, whose outline shows before the trunk.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, Literal

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.geometry.vector import cross, unit, vector
from frame3d.looks.girths import Shape
from frame3d.looks.rider import Bone, Figure, Pose
from frame3d.mockup.solid import hull_of
from frame3d.report.drawing.sheet import XZ, path
from frame3d.report.markup import Markup, el, together

Layer = Literal["far", "body", "arm"]
LAYERS: Final[Sequence[Layer]] = ("far", "body", "arm")
FORESHORTENED: Final = 0.6
"""Length in the picture over a segment's own, below which its outline is its hull."""
ARM: Final = frozenset({"upper_arm", "forearm", "hand"})


def symbols(figure: Figure | None) -> Markup | None:
    """Return a figure in all postures as symbols for all drawings of a page; None without one."""
    if figure is None:
        return None
    groups = [
        el("g", *_paths(figure, pose, layer), id=_id(pose.name, layer))
        for pose in figure.poses
        for layer in LAYERS
    ]
    return el("svg", el("defs", together(*groups)), class_="store", aria_hidden="true")


def drawn(posture: str, layers: Sequence[Layer], line: float, class_: str) -> Markup:
    """Return layers of a posture in a drawing, one over the other. Needs `symbols` on the same page.

    Args:
        posture: its name.
        layers: far ones first.
        line: width of the outline [mm].
        class_: of the group.
    """
    uses = []
    for layer in layers:
        href = f"#{_id(posture, layer)}"
        uses.append(el("use", href=href, class_="skin-line", stroke_width=f"{2 * line:g}"))
        uses.append(el("use", href=href, class_="skin"))
    return el("g", *uses, class_=class_)


def corners(figure: Figure, pose: Pose) -> tuple[XZ, XZ]:
    """Return the lower rear and the upper front corner of a posture [mm]."""
    points = np.concatenate([outline(figure.shapes[b.shape], b) for b in pose.bones()])
    (x0, z0), (x1, z1) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
    return (x0, z0), (x1, z1)


def outline(shape: Shape, bone: Bone) -> Array:
    """Return the outline of a segment in the side view: (n, 2) float, x forward, z up [mm].

    Its ends are shut by straight lines, which are short: the rings there are all but points. Of a
    segment that points toward the viewer more than along the picture it is the hull of its rings.
    """
    start, end = vector(bone.start), vector(bone.end)
    axis = unit(end - start)
    front = vector(bone.front)
    ahead = unit(front - (front @ axis) * axis)
    left = cross(axis, ahead)
    s, across, deep, middle = np.array(shape.rings).T
    centres = start + np.outer(s, axis) + np.outer(middle, ahead)
    side = np.array([axis[0], axis[2]])
    if np.hypot(*side) < FORESHORTENED:
        turn = np.linspace(0, 2 * np.pi, 24, endpoint=False)
        around = np.outer(deep, np.cos(turn))[..., None] * ahead
        around = around + np.outer(across, np.sin(turn))[..., None] * left
        return hull_of((centres[:, None] + around)[..., [0, 2]].reshape(-1, 2))
    normal = np.array([-side[1], side[0]]) / np.linalg.norm(side)
    # The extent of |x/a|^p + |y/b|^p = 1 along a direction is the norm of the other exponent.
    p = shape.square
    q = p / (p - 1)
    reach = (
        (deep * abs(normal @ ahead[[0, 2]])) ** q + (across * abs(normal @ left[[0, 2]])) ** q
    ) ** (1 / q)
    flat = centres[:, [0, 2]]
    return np.concatenate([flat + np.outer(reach, normal), (flat - np.outer(reach, normal))[::-1]])


def _paths(figure: Figure, pose: Pose, layer: Layer) -> list[Markup]:
    bones = [b for b in pose.bones() if _layer(b) == layer]
    return [path([outline(figure.shapes[b.shape], b).round()], "bone", closed=True) for b in bones]


def _layer(bone: Bone) -> Layer:
    if bone.side == "left":
        return "far"
    return "arm" if bone.shape in ARM else "body"


def _id(posture: str, layer: Layer) -> str:
    return f"rider-{posture}-{layer}"
