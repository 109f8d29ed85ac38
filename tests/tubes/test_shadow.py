"""What falls off behind a mitre's target: exactly what the tube's template does not keep."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from frame3d.bike.bike import Bike
from frame3d.solids.bodies import bodies
from frame3d.solids.body_meshes import part_mesh
from frame3d.tubes.cuts.edge import Cutting, bodies_of
from frame3d.tubes.cuts.shadow import WITHIN, Shadow, shadows
from tests.frames import bar, context

WAY = np.array([1.0, 0.0, 1.0]) / np.sqrt(2.0)


def crossed(arm: Any = 44.0, y: float = 0.0, **post: Any) -> Bike:
    """An arm at 45 degrees on an upright post of 30 mm, both hollow."""
    far = 200.0 * WAY + [0.0, y, 0.0]
    return context(
        {
            "post": bar(30.0, (0, 0, -200), (0, 0, 200), 1.5) | post,
            "arm": bar(arm, {"on": "post", "from_start": 200.0, "y": y}, far.tolist(), 2.0),
        }
    )


def of(bike: Bike) -> tuple[Shadow, ...]:
    return shadows(bike.tube("arm"), bodies_of(bike.frame))


@pytest.mark.parametrize("y", [0.0, 6.0])
def test_it_is_as_wide_as_the_target_and_behind_its_axis(y: float) -> None:
    (shadow,) = of(crossed(y=y))
    assert shadow.target == "post"
    x, z = np.meshgrid(np.linspace(-8.0, 8.0, 9), np.linspace(-10.0, 10.0, 5))
    for side in np.array([-15.0 + 2 * WITHIN, 0.0, 15.0 - 2 * WITHIN]):
        points = np.stack([x.ravel(), np.full(x.size, side), z.ravel()], axis=1)
        assert ((shadow.depth(points) > 0) == (points[:, 0] < 0)).all()
        assert (shadow.depth(points * (1.0, 0.0, 1.0) + (0.0, 15.1, 0.0)) < 0).all()
    assert shadow.near(np.array([[5.0, 0.0, 0.0]]), 5.1).all()
    assert not shadow.near(np.array([[5.0, 0.0, 0.0]]), 4.9).any()


@pytest.mark.parametrize(
    "bike",
    [
        {"arm": 30.0},  # as wide as the post
        {"arm": 24.0, "y": 2.0},
        {"bends": [{"along": 200.0, "rise": 20.0, "radius": 300.0}]},  # the post
    ],
)
def test_none_where_all_of_it_meets_or_the_target_is_bent(bike: Any) -> None:
    assert of(crossed(**bike)) == ()


def test_none_square_to_its_target() -> None:
    """Cut square at the middle of the post, it leaves nothing behind it."""
    tubes = {
        "post": bar(30.0, (0, 0, -200), (0, 0, 200), 1.5),
        "arm": bar(44.0, {"on": "post", "from_start": 200.0}, (200, 0, 0), 2.0),
    }
    assert of(context(tubes)) == ()


def test_oval_targets_have_that_of_their_size_across() -> None:
    (shadow,) = of(crossed(od={"height": 40.0, "width": 28.0}))
    assert shadow.width == (28.0 - 2 * WITHIN, 28.0 - 2 * WITHIN)


@pytest.mark.parametrize("y", [0.0, 6.0])
def test_the_solid_is_what_the_template_keeps(y: float) -> None:
    """Volume of the mesh, and of the wall beyond the edges that are drawn on the template.

    The edge through the wall is taken in the middle of it, and at both faces (Simpson's rule).
    """
    bike = crossed(y=y)
    arm = bike.tube("arm")
    made = part_mesh(next(body for body in bodies(bike) if body.name == "arm"))
    cutting = Cutting(arm, bodies_of(bike.frame))
    place = cutting.place("start")
    kept = []
    for depth in (0.0, 0.5, 1.0):
        (edge,) = cutting.outlines(place, depth)
        kept.append(200.0 - float(np.trapezoid(edge.s, edge.phi)) / 360.0)
    lengths = np.array(kept)
    ring = 2 * np.pi * np.array([22.0, 21.0, 20.0]) * 2.0
    volume = float(ring * lengths @ np.array([1.0, 4.0, 1.0])) / 6
    assert made.volume == pytest.approx(volume, rel=2e-3)


def test_metal_inside_ends_at_the_targets_near_side() -> None:
    """Points of the arm's middle on either side of the post, and past it."""
    cutting = Cutting(crossed().tube("arm"), bodies_of(crossed().frame))
    s = np.array([-14.0, 14.0, 24.0, -14.0])
    v = np.array([0.0, 0.0, 0.0, 19.0])
    inside = cutting.is_metal_inside(np.zeros(4), v, s)
    assert inside.tolist() == [False, False, True, True]
