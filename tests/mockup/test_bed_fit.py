"""Whether a part fits the bed, by the best of its turns."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.mockup.options import EDGE, Options
from frame3d.mockup.part import ModelPart
from frame3d.mockup.printing.bed_fit import fits_somehow, misfit, overhang, too_large, upright
from frame3d.mockup.printing.nesting import TURNS
from frame3d.mockup.solid import block

BED = (106.0, 86.0, 50.0)  # 100 × 80 × 50 without its edges
X, Y, Z = np.eye(3)


def part(*size: float, **more: object) -> ModelPart:
    return ModelPart("box", "#000000", block((3, 4, 5), tuple(np.add((3, 4, 5), size))), **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("size", "fits"),
    [
        ((100, 80, 50), True),
        ((80, 100, 50), True),  # turned a quarter
        ((50, 80, 100), True),  # laid on its side
        ((101, 80, 50), False),
        ((100, 80, 51), False),
        ((112, 3, 50), True),  # turned by 30°: 112 cos 30° + 3 sin 30° = 98.5
        ((135, 1, 1), False),
    ],
)
def test_boxes_fit_as_a_hand_would_lay_them(size: tuple[float, float, float], fits: bool) -> None:
    assert fits_somehow(part(*size), BED) is fits


def test_a_part_with_a_lower_side_lies_on_it() -> None:
    assert fits_somehow(part(50, 80, 100), BED)
    assert not fits_somehow(part(50, 80, 100, down=-Z), BED)
    assert fits_somehow(part(50, 80, 100, down=X), BED)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(*[st.floats(-70, 70)] * 3), min_size=4, max_size=8))
def test_the_overhang_is_that_of_the_best_pose(corners: list[tuple[float, float, float]]) -> None:
    """By trying each turn about each axis."""
    points = np.array(corners)
    best = math.inf
    for height, a, b in ((0, 1, 2), (1, 2, 0), (2, 0, 1)):
        for turn in np.radians(TURNS):
            for x, y in ((a, b), (b, a)):
                u = points[:, x] * math.cos(turn) + points[:, y] * math.sin(turn)
                v = points[:, y] * math.cos(turn) - points[:, x] * math.sin(turn)
                over = max(np.ptp(u) - BED[0] + 2 * EDGE, np.ptp(v) - BED[1] + 2 * EDGE,
                           np.ptp(points[:, height]) - BED[2])  # fmt: skip
                best = min(best, over)
    assert overhang(points, BED, None) >= best - 1e-9
    assert overhang(points, BED, None) == pytest.approx(best, abs=6.0)


@pytest.mark.parametrize("way", [X, -X, Y, Z, np.array([0.9, 0.1, 0.2])])
def test_axes_stand_on_a_direction(way: np.ndarray) -> None:
    turn = upright(way)
    assert turn.T @ turn == pytest.approx(np.eye(3))
    assert np.linalg.det(turn) == pytest.approx(1.0)
    assert turn[:, 2] == pytest.approx(way / np.linalg.norm(way))


def test_what_does_not_fit_is_named_with_its_size_and_a_way_out() -> None:
    missing = misfit("front_tyre", part(120, 120, 20).solid, BED)
    assert missing.size == pytest.approx((120, 120, 20))
    assert missing.over == pytest.approx(40.0)  # 120 over 80 across
    (fault,) = too_large([missing], Options(1 / 6, (), bed=BED)).faults
    assert "leaves 100 x 80 x 50 mm" in fault.message
    assert "front tyre (120 x 120 x 20 mm)" in fault.message
    assert "smaller scale than 1:6, a bed larger by about 40 mm" in fault.hint
    assert fault.place is not None
    assert fault.place.source == "--bed 106x86x50"
