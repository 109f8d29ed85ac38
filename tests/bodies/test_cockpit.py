"""Stem, bar and levers: where the hands are, and end to end."""

from __future__ import annotations

import numpy as np
import pytest

from tests.bodies.bike import bodies, body, layout
from tests.bodies.distance import Array, union

DROP = (
    "rise: 20, forward: -25, width: 780, levers: {}",
    "forward: 75, drop: 120, width: 460, levers: {}",
)


def corners(name: str, *changes: tuple[str, str]) -> Array:
    return np.array([p for t in body(name, *changes).tubes for p in (t.axis.start, t.axis.end)])


def test_the_grips_are_where_the_riders_hands_are() -> None:
    """The bar's axis, 65 mm in from its ends, in the side view."""
    rider = layout().rider
    assert rider is not None
    hands = np.array(rider.contacts["hands"])
    for sign in (1, -1):
        grip = hands + np.array([0, sign * (390 - 65), 0])
        assert union(body("handlebar").shapes, grip[None])[0] == pytest.approx(-16, abs=1e-9)


def test_end_to_end() -> None:
    tips = corners("handlebar")[:, 1]
    assert tips.max() + 16 == pytest.approx(390)
    assert tips.min() - 16 == pytest.approx(-390)


def test_the_stem_reaches_from_the_steerer_to_the_bar() -> None:
    """45 mm at 6 degrees over square to the axis: the clamp is where the bar's middle is."""
    neck = body("stem").tubes[1].axis
    assert neck.length == pytest.approx(45)
    middle = corners("handlebar")[0]
    assert np.array(neck.end) == pytest.approx(middle)
    up = np.array(layout().nodes["head_tube_top"]) - np.array(layout().nodes["head_tube_bottom"])
    rise = neck.tangent(0.0) @ up / np.linalg.norm(up)
    assert np.degrees(np.arcsin(rise)) == pytest.approx(6)


def test_a_drop_bar_drops() -> None:
    points = corners("handlebar", DROP)
    clamp = points[0]
    assert points[:, 2].min() - clamp[2] == pytest.approx(-120)
    assert points[:, 0].max() - clamp[0] == pytest.approx(75)
    assert np.abs(points[:, 1]).max() == pytest.approx(230)


@pytest.mark.parametrize("change", [(), (DROP,)])
def test_levers_stand_ahead_of_the_bar(change: tuple[tuple[str, str], ...]) -> None:
    for side, sign in (("left", 1), ("right", -1)):
        lever = body(f"brake_lever_{side}", *change).shapes[0]
        assert np.sign(lever.origin[1]) == sign
        half = np.array(lever.shape.half)
        back = np.array(lever.origin) - half[0] * np.array(lever.axes[0])
        # Its back face runs through the bar.
        assert union(body("handlebar", *change).shapes, back[None])[0] < 0


@pytest.mark.parametrize(
    ("change", "needs"),
    [
        (("  stem: {length: 45, angle: 6, spacers: 10}\n", ""), "build.stem"),
        ((", width: 780", ""), "build.handlebar.width"),
    ],
)
def test_no_bar_without_its_stem_or_width(change: tuple[str, str], needs: str) -> None:
    absent = {a.name: a.needs for a in bodies(change).absent}
    assert absent["handlebar"] == absent["brake_lever"] == needs
