"""Bodies on the rear links: certified gaps over the rear travel."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from frame3d.bike.solve import solve
from frame3d.bodies.motion.mounts import FRAME, Mount, fork_mounts, link_mount
from frame3d.bodies.motion.swing import Swing, tabled
from frame3d.bodies.shapes import PlacedShape, Shape, Torus, bar, box, capsule, cylinder
from frame3d.clearance.certify.distance import Gap, nearest
from frame3d.clearance.certify.motion import Range
from frame3d.clearance.check import check
from frame3d.parameters.reading.reader import load
from tests.bike.single import MINIMAL, SINGLE
from tests.bodies.test_swing import TRAVEL, rows


@pytest.fixture(scope="module")
def mounts() -> dict[str, Mount]:
    up = np.array([-np.cos(1.14), 0.0, np.sin(1.14)])
    return {
        "a": link_mount("a", tabled(TRAVEL, rows(complex(10, 60), 430.0, 7e-4))),
        "b": link_mount("b", tabled(TRAVEL, rows(complex(-30, 250), 300.0, -4e-4))),
        "fork": fork_mounts(np.array([420.0, 0.0, 600.0]), up)[1],
        "frame": FRAME,
    }


SHAPES: dict[str, Shape] = {
    "torus": Torus(320, 30),
    "box": box(60, 40, 90, 5),
    "capsule": capsule(120, 20, 10),
    "cylinder": cylinder(60, -5, 5),
}


@pytest.mark.parametrize("shape", list(SHAPES))
@pytest.mark.parametrize(
    ("on_tube", "on_shape"), [("a", "frame"), ("frame", "a"), ("a", "b"), ("b", "a"), ("fork", "b")]
)
def test_no_position_comes_nearer_than_the_certificate(
    mounts: dict[str, Mount], shape: str, on_tube: str, on_shape: str
) -> None:
    """Held at each of many travels the same two are never nearer than over all of them; and at the
    travel that it names, the gap is what `matrix` moves the two points to.
    """
    rng = np.random.default_rng(len(shape) + 10 * ord(on_tube[0]) + ord(on_shape[0]))
    a = rng.uniform(-250, 80, 3) * [1, 0.2, 1] + [0, 0, 150]
    b = a + rng.uniform(-250, 250, 3) * [1, 0.3, 1]
    tube = bar("t", tuple(a), tuple(b), 12.0, mounts[on_tube], 7.0)
    origin = (float(rng.uniform(-500, -250)), 5.0, float(rng.uniform(-200, 500)))
    placed = PlacedShape("s", SHAPES[shape], origin, mounts[on_shape])
    whole = nearest(tube, placed, [Range("rear", 0.0, TRAVEL)])
    assert isinstance(whole, Gap)
    held = []
    for t in np.linspace(0, TRAVEL, 61):
        one = nearest(tube, placed, [Range("rear", float(t), float(t))], tolerance=1e-3)
        assert isinstance(one, Gap)
        held.append(one.gap)
    least = min(held)
    if whole.gap > 0:
        assert whole.gap - whole.error - 1e-3 <= least
        assert whole.error <= 0.01
        # Between two of 61 travels, 2.5 mm apart, a gap can fall by no more than the bodies move.
        assert least - whole.gap < 2.5 * 2
        apart = np.linalg.norm(np.subtract(whole.tube_point, whole.shape_point))
        assert apart == pytest.approx(whole.gap, abs=1e-9)
        there = nearest(tube, placed, [Range("rear", whole.at["rear"], whole.at["rear"])])
        assert isinstance(there, Gap)
        assert there.gap <= whole.gap + 1e-9
    else:
        assert least < 0.01


def test_checks_name_the_rear_travel(tmp_path: Path) -> None:
    file = tmp_path / "bike.yaml"
    text = MINIMAL + SINGLE
    assert "build:" in text
    file.write_text(
        text.replace("build:", "build:\n  rear_wheel: {tyre: {width: 55, diameter: 736}}", 1)
    )
    moved = solve(load(file))
    assert moved.linkage is not None
    shock = next(r for r in check(moved).results if r.name == "shock_to_rear_tyre")
    assert set(shock.at) == {"rear"}
    assert 0 <= shock.at["rear"] <= moved.linkage.full_travel


def test_a_swing_is_told_apart_by_itself(mounts: dict[str, Mount]) -> None:
    """Equal tables of two links are still two motions."""
    step = mounts["a"].steps[0]
    assert isinstance(step.swing, Swing)
    again = Swing(step.swing.travel, step.swing.knots)
    assert again != step.swing
