"""Parts on plates: each in its print pose, within the bed, clear of the others."""

from __future__ import annotations

from functools import cache
from itertools import combinations

import numpy as np
import pytest

from frame3d.errors import MockupError
from frame3d.mockup.model import ScaleModel
from frame3d.mockup.options import EDGE
from frame3d.mockup.part import ModelPart
from frame3d.mockup.printing.plates import Plates, plates
from frame3d.mockup.solid import block
from tests.mockup.samples import drawing


def model_of(*sides: float, bed: tuple[float, float, float] = (100.0, 100.0, 100.0)) -> ScaleModel:
    """Cubes of so many millimetres, in two colours."""
    made = tuple(
        ModelPart(
            f"cube_{i + 1}",
            ("#000000", "#ffffff")[i % 2],
            block((50 * i, 5, 7), (50 * i + s, 5 + s, 7 + s)),
        )
        for i, s in enumerate(sides)
    )
    return ScaleModel(drawing(("saddle",), bed=bed), made, (), None, (), np.zeros((2, 3)))


@cache
def cubes(*sides: float) -> Plates:
    return plates(model_of(*sides))


def on_plate(item: object) -> np.ndarray:
    flat, motion = item.flat.vertices, item.transform  # type: ignore[attr-defined]
    return np.asarray(flat @ motion[:, :3].T + motion[:, 3])


def test_parts_lie_on_the_plate_within_the_bed_and_apart() -> None:
    found = cubes(40.0, 30.0, 40.0, 10.0, 40.0)
    assert [item.number for item in found.parts] == [1, 2, 3, 4, 5]
    boxes = {}
    for item in found.parts:
        assert item.flat.vertices.min(axis=0) == pytest.approx((0, 0, 0), abs=1e-6)
        assert item.flat.volume == pytest.approx(item.mesh.volume, rel=1e-5)
        motion = item.transform
        assert motion[:, :3] @ motion[:, :3].T == pytest.approx(np.eye(3), abs=1e-9)
        there = on_plate(item)
        low, high = there.min(axis=0), there.max(axis=0)
        assert low[2] == pytest.approx(0, abs=1e-6)
        assert min(low[:2]) > EDGE - 1e-6
        assert max(high[:2]) < 100 - EDGE + 1e-6
        boxes[item.number] = (item.plate, low, high)
    for (p, low, high), (q, other_low, other_high) in combinations(boxes.values(), 2):
        if p == q:
            assert (np.maximum(low, other_low)[:2] > np.minimum(high, other_high)[:2]).any()


def test_a_plate_has_one_colour_unless_they_may_be_mixed() -> None:
    for plate in cubes(40.0, 30.0, 40.0, 10.0, 40.0).plates:
        assert len(plate.colours) == 1


def test_all_parts_that_fit_no_plate_are_named_at_once() -> None:
    with pytest.raises(MockupError, match="cube 1") as caught:
        plates(model_of(120.0, 10.0, 130.0))
    (fault,) = caught.value.faults
    assert "cube 3 (130 x 130 x 130 mm)" in fault.message
    assert "cube 2" not in fault.message
