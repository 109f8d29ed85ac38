"""A brake mount stands where rotor, axle and caliper put it: against triangles worked by hand."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from frame3d.parameters.models.tube_features.feature import FeatureSpec
from frame3d.tubes.features.brake_mount import NoPlaceError, brake_of, mount_on
from frame3d.tubes.features.feature import Mount, Post
from frame3d.tubes.features.stand import directions
from frame3d.tubes.tube import Tube
from tests.featured import of
from tests.frames import bar, context
from tests.mounted import mounted, mounted_spec

AXLE = (-220.0, 0.0, 100.0)
FAR = 160 / 2 + 12 - 36 / 2
"""From the axle to the middle of the usual caliper on a rotor of 160."""


def level_stay(od: float = 20.0) -> Tube:
    """A level stay from 20 mm ahead of the axle on, 68 mm to the left."""
    ends = ((200.0, 68.0, 100.0), (-200.0, 68.0, 100.0))
    return context({"beam": bar(od, *ends, 1.0)}).tube("beam")


def placed(mount: dict[str, Any], **brake: Any) -> Mount:
    spec = mounted_spec(rotor=160.0, **brake)
    return mount_on(spec, FeatureSpec.model_validate(mount), level_stay(), AXLE)


def in_bike(post: Post, tube: Tube) -> tuple[np.ndarray[Any, Any], np.ndarray[Any, Any]]:
    basis = np.array([tube.axis.tangent(post.s), *directions(tube, post.s)])
    return tube.axis.at(post.s) + np.array(post.face) @ basis, np.array(post.way) @ basis


def test_the_rotor_is_the_mount_s_own_and_stands_beside_its_hub() -> None:
    """Middle of the rotor: 74 - 17.9 mm on 148x12, as `sizes.rotors` derives it."""
    brake = brake_of(mounted_spec(rotor=203.0, mount_rotor=160))
    assert (brake.rotor, brake.y) == pytest.approx((80.0, 56.1))
    assert brake.from_axle == FAR
    assert brake_of(mounted_spec(rotor=203.0)).rotor == 101.5
    for lacking in ("rear_brake", "rear_wheel"):
        spec = mounted_spec()
        build = spec.build.model_copy(update={lacking: None})
        with pytest.raises(NoPlaceError, match="follows from"):
            brake_of(spec.model_copy(update={"build": build}))


def test_the_caliper_s_middle_is_over_the_stay_by_the_mount_s_height() -> None:
    """Pythagoras: over the stay's axis by its radius, the height and half the caliper; so far ahead."""
    mount = placed({"kind": "post_mount"})
    high = 10 + 15 + 18
    ahead = math.sqrt(FAR**2 - high**2)
    assert mount.caliper == pytest.approx(math.degrees(math.asin(high / FAR)))
    assert mount.bolts == pytest.approx(90.0)
    tube = level_stay()
    for post, side in zip(mount.posts, (1, -1), strict=True):  # the stay runs back
        face, way = in_bike(post, tube)
        x = AXLE[0] + ahead + side * 74.2 / 2
        assert face == pytest.approx([x, 56.1 + 12.5, 100 + 25])
        assert way == pytest.approx([0, 0, 1])
        assert post.s == pytest.approx(200 - x)


def test_an_angle_of_the_caliper_says_how_high_the_faces_stand() -> None:
    mount = placed({"kind": "post_mount", "outward": 10}, angle=40)
    face, _ = in_bike(mount.posts[0], level_stay())
    assert mount.caliper == 40
    assert face[1:] == pytest.approx([66.1, 100 + FAR * math.sin(math.radians(40)) - 18])
    below = placed({"kind": "post_mount"}, angle=-40)
    face, way = in_bike(below.posts[0], level_stay())
    assert face[2] == pytest.approx(100 - FAR * math.sin(math.radians(40)) + 18)
    assert way == pytest.approx([0, 0, -1])
    with pytest.raises(NoPlaceError, match="keep one of the two"):
        placed({"kind": "post_mount", "height": 20}, angle=40)


def test_bolts_lean_toward_the_stay_s_end_and_stay_parallel_and_apart() -> None:
    mount = placed({"kind": "post_mount", "lean": 10})
    (one, way), (two, other) = (in_bike(post, level_stay()) for post in mount.posts)
    assert way == pytest.approx([-math.sin(math.radians(10)), 0, math.cos(math.radians(10))])
    assert other == pytest.approx(way)
    assert np.linalg.norm(one - two) == pytest.approx(74.2)
    assert (one - two) @ way == pytest.approx(0, abs=1e-9)
    middle = (one + two) / 2 + 18 * way - np.array(AXLE)
    assert np.hypot(middle[0], middle[2]) == pytest.approx(FAR)


@pytest.mark.parametrize("rotor", [140.0, 160.0, 180.0])
def test_a_native_rotor_20_mm_larger_moves_a_flat_mount_by_the_triangle(rotor: float) -> None:
    """The caliper lies on the sleeves: over the axis by radius, 2 mm and half of it."""
    bike = mounted({"kind": "flat_mount"}, rotor=200.0, mount_rotor=rotor, depth=24, overhang=10)
    feature, tube = of(bike, "brake", "left"), bike.tube("chainstay_left")
    assert feature.mount is not None
    assert feature.s[1] - feature.s[0] == pytest.approx(34.0)
    s = sum(feature.s) / 2
    axle = np.array(bike.nodes["rear_axle"])
    turn = math.radians(feature.mount.caliper)
    far = rotor / 2 + 10 - 12
    caliper = axle + far * np.array([math.cos(turn), 0.0, math.sin(turn)])
    off = caliper - tube.axis.at(s)
    ahead = tube.axis.tangent(s)
    assert off[[0, 2]] @ ahead[[0, 2]] == pytest.approx(0, abs=0.05)
    over = float(tube.section.height_at(s)) / 2 + 2 + 12
    assert np.hypot(off[0], off[2]) == pytest.approx(over, abs=0.1)  # the stay runs aslant


def test_where_nothing_fits_it_says_so() -> None:
    with pytest.raises(NoPlaceError, match="nowhere beside the tube"):
        placed({"kind": "post_mount", "height": 40}, overhang=0, depth=60)
    with pytest.raises(NoPlaceError, match="does not follow from the rotor"):
        placed({"kind": "flat_mount", "angle": 90})
    for name in ("down_tube", "seatstay_bridge"):
        bike = mounted()
        with pytest.raises(NoPlaceError, match="only a stay on the left"):
            mount_on(bike.spec, FeatureSpec(kind="post_mount"), bike.tube(name), AXLE)


def test_a_seatstay_has_it_within_the_rear_triangle() -> None:
    bike = mounted({"kind": "post_mount"}, on="seatstay")
    feature = of(bike, "brake", "left")
    assert feature.mount is not None
    _, way = in_bike(feature.mount.posts[0], bike.tube("seatstay_left"))
    assert way[0] > 0.5
    assert way[2] < 0
