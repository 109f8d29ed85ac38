"""Posts under a bike: whole, thick enough to print, open upward, and where they hold it."""

from __future__ import annotations

import numpy as np
import pytest
from manifold3d import Manifold

from frame3d.mockup.options import THIN_WALL, Options
from frame3d.mockup.part import ModelPart
from frame3d.mockup.parts.posts import LOOSELY, Load, Posts, load_of, posts_under
from frame3d.mockup.solid import block, grown, rod, together
from tests.mockup.samples import drawing

OPTIONS = Options(1 / 10, ("cranks",))
TUBE = rod(np.array([-40.0, 0.0, 0.0]), np.array([70.0, 0.0, 12.0]), 2.3)
BAR = rod(np.array([-4.9, -5.0, 4.2]), np.array([-4.9, 5.0, 4.2]), 0.9)
"""A bar across, above the tube, nearly flush with the rear end of the first post."""
PLATE = block((-60, -20, 0), (90, 20, 3))


def under(bike: Manifold, *turning: ModelPart) -> Posts:
    return posts_under(Load(bike, turning, 3.0, -30.0, OPTIONS), 10.0)


def test_a_bar_at_the_edge_of_a_post_leaves_one_piece_that_prints() -> None:
    """Subtracted at steps of 1 mm upward, such a bar left loose leaves of 0.2 mm."""
    posts = under(together([TUBE, BAR]))
    assert posts.changes == ()
    for solid in posts.solids:
        assert len(solid.decompose()) == 1
        for z in np.arange(-10.0, 12.0, 0.7):
            section = solid.slice(float(z))
            thick = grown(grown(section, -0.45 * THIN_WALL), 0.46 * THIN_WALL)
            assert (section - thick).area() < 0.05, z


def test_the_bike_is_put_in_from_above_and_rests() -> None:
    bike = together([TUBE, BAR])
    stand = together(under(bike).solids)
    for up in np.arange(0.0, 20.0, 0.5):
        assert (bike.translate((0.0, 0.0, float(up))) ^ stand).volume() < 1e-6, up
    assert (bike.translate((0.0, 0.0, -0.05)) ^ stand).volume() > 0.01


def test_posts_are_as_wide_as_the_bike_needs_but_clear_of_what_turns() -> None:
    """A tube of radius 2.3 between walls of 1.2 with a fit of 0.2; an arm 3.7 from the middle."""
    assert under(TUBE).half == pytest.approx(2.3 + OPTIONS.fit + OPTIONS.wall, abs=0.02)
    arm = ModelPart("crank_arm_left", "#000000", block((-3, 3.7, -3), (40, 6, 3)))
    assert under(TUBE, arm).half == pytest.approx(3.7 - OPTIONS.turn)
    far = ModelPart("chainring", "#000000", block((-3, 2.0, -3), (3, 6, 3)))
    assert under(TUBE, far).half > 3.5, "the second post is beyond it"


def test_posts_are_moved_to_where_they_hold_the_bike() -> None:
    """A plate with one foot, behind the usual place of the first post."""
    posts = under(together([PLATE, block((-14, -2, -3), (-10, 2, 1))]))
    assert posts.at == (-12.0, 18.0)
    assert posts.changes == (
        "the stand's posts are 12 mm further back than usual, as they would not hold the bike there",
    )


def test_posts_that_hold_nothing_are_told() -> None:
    posts = under(PLATE)
    assert posts.at == (0.0, 30.0)
    assert posts.changes == (LOOSELY,)


def test_a_place_without_a_bike_above_gets_a_stub() -> None:
    posts = under(block((-20, -2, 0), (12, 2, 3)))
    assert posts.solids[1].bounding_box()[5] == pytest.approx(-29.0)


def test_the_load_of_a_model() -> None:
    """A spindle turns in the frame, so posts need not keep clear of it."""
    names = ("frame", "crank_spindle", "crank_arm_left")
    load = load_of(drawing(), [ModelPart(name, "#000000", TUBE) for name in names])
    assert [part.name for part in load.turning] == ["crank_arm_left"]
    assert load.floor == pytest.approx(TUBE.bounding_box()[2] - 27.0)
