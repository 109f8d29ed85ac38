"""Labels of a plot: off its lines, off each other, nearer to their own line than to another."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from frame3d.report.drawing.labels import Label, Labels

ROOM = (56.0, 30.0, 442.0, 236.0)
X = np.linspace(ROOM[0], ROOM[2], 60)


def line(first: float, last: float) -> np.ndarray:
    return np.stack([X, np.linspace(first, last, 60)], axis=1)


def inside(points: np.ndarray, label: Label) -> bool:
    left, top, right, bottom = label.box
    u, v = points.T
    return bool(((u > left) & (u < right) & (v > top) & (v < bottom)).any())


@pytest.mark.parametrize(
    ("ends", "marks"),
    [
        ([(200, 40)], [120]),
        ([(60, 150), (90, 140), (100, 180)], [160]),
        ([(130, 60), (130, 100), (130, 120)], [70, 200]),
        ([(220, 220), (215, 215)], []),
    ],
)
def test_labels_keep_off_lines_and_off_each_other(
    ends: list[tuple[float, float]], marks: list[float]
) -> None:
    lines = [line(*pair) for pair in ends]
    lines += [np.array([(u, ROOM[1]), (u, ROOM[3])]) for u in marks]
    labels = Labels(ROOM, lines, [80.0, 130.0, 180.0])
    placed = [labels.along(i, "32/50 teeth" if i < len(ends) else "sag") for i in range(len(lines))]
    close = [np.stack([np.interp(np.linspace(0, 1, 900), np.linspace(0, 1, len(one)), one[:, i])
                       for i in (0, 1)], axis=1) for one in lines]  # fmt: skip
    for own, label in enumerate(placed):
        assert not any(inside(points, label) for points in close)
        left, top, right, bottom = label.box
        assert ROOM[0] <= left <= right <= ROOM[2] + 0.1
        assert ROOM[1] <= top <= bottom <= ROOM[3] + 0.1
        if own >= len(ends):
            assert min(abs(left - marks[own - len(ends)]), abs(right - marks[own - len(ends)])) < 6
    for a, b in combinations(placed, 2):
        assert a.box[2] <= b.box[0] or b.box[2] <= a.box[0] or a.box[3] <= b.box[1] or b.box[3] <= a.box[1]  # fmt: skip


def test_a_label_stays_beside_its_own_line() -> None:
    labels = Labels(ROOM, [line(80, 60), line(180, 200)], [])
    first, second = labels.along(0, "one"), labels.along(1, "two")
    assert first.y < 110
    assert second.y > 160


def test_a_line_without_points_and_a_label_without_room_are_placed_all_the_same() -> None:
    labels = Labels(ROOM, [np.zeros((0, 2)), line(100, 100)], [])
    assert labels.along(0, "nothing").x >= ROOM[0]
    assert labels.along(1, "a name that is far too long for the whole of this plot").x >= ROOM[0]
