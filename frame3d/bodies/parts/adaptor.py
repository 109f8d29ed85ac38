r"""Outline of the rear brake's adaptor: a block between its mount's faces and the caliper.

Seen from the side, square to the bolts; holes count as metal::

              .--------- caliper ---------.
              '---------------------------'
        .-------------------------------------.   as thick as the larger rotor moves the caliper
        '-------------------------------------'   out, along the bolts
          |  |                           |  |
          post                           post
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from frame3d.bike.brake_adaptor import adaptor_step
from frame3d.bodies.body import PRACTICE, Body
from frame3d.bodies.forms import slab
from frame3d.bodies.parts.brake import mounts_of, standing
from frame3d.bodies.parts.wheel import rotor_of
from frame3d.bodies.placement import Placement
from frame3d.geometry.arrays import Array
from frame3d.geometry.vector import point, vector
from frame3d.tubes.features.forms import forms
from frame3d.tubes.features.towers import towers

ADAPTOR = "rear_adaptor"
ROUNDING = 1.0
THINNEST = 1.0
"""An adaptor that would be thinner than this is none: washers do [mm]; common practice, no source."""


def rear_adaptor(place: Placement) -> Iterator[Body]:
    """Yield the adaptor, where the rotor is larger than the mount's and the mount is drawn."""
    spec, rotor = place.build.rear_brake, rotor_of(place, "rear")
    found = _faces(place)
    if spec is None or rotor is None or found is None or adaptor_step(place.bike) <= 0:
        return
    faces, width = found
    stand = standing(place, spec, rotor)
    off = stand.centre - spec.depth / 2 * stand.out - faces
    across, thick = off @ stand.along, float((off @ stand.out).mean())
    if thick < THINNEST:
        return
    # From over one face to over the other, and under the caliper's own bolts, as far apart.
    places = np.concatenate([across, across - across.mean()])
    low, high = float(-places.max()) - width / 2, float(-places.min()) + width / 2
    centre = stand.centre - (spec.depth / 2 + thick / 2) * stand.out
    centre = centre + (low + high) / 2 * stand.along
    centre[1] = faces[:, 1].mean()
    form = slab(
        ADAPTOR,
        point(centre),
        (high - low, width, thick),
        min(ROUNDING, thick / 2),
        stand.mount,
        axes=stand.axes,
        edges=True,
    )
    yield Body(
        name=ADAPTOR,
        part="build.rear_brake",
        family="rear_brake",
        shapes=form.shapes,
        tubes=form.tubes,
        colour="#6a7078",
        touches=("rear_caliper", *_under(place)),
        note=f"a plain block, as wide as the mount's faces, its holes count as metal: {PRACTICE}",
    )


def _under(place: Placement) -> Iterator[str]:
    """Yield the names of what it stands on: of posts not the stay below, which they stand clear of."""
    on_posts = {f.tube for f in place.bike.frame.features if f.spec.kind == "post_mount"}
    yield from (name for name in mounts_of(place) if name not in on_posts)


def _faces(place: Placement) -> tuple[Array, float] | None:
    """Return the middles of the faces of a mount, (n, 3) [mm], and their width; None without one."""
    tubes = {tube.name: tube for tube in place.bike.tubes}
    for feature in place.bike.frame.features:
        if feature.mount is None:
            continue
        tube = tubes[feature.tube]
        faces = [one.face for one in towers(feature, tube)]
        faces = faces or [one.end for one in forms(feature, tube)]
        return np.array(faces), feature.spec.outside
    for dropout in place.bike.dropouts:
        if dropout.mount is not None:
            blocks = dropout.mount.blocks
            return np.array([vector(one.face) for one in blocks]), blocks[0].width
    return None
