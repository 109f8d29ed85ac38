"""Pins of the rear suspension: through every part at a pivot, moved with their link."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.bodies.motion.pose import Pose
from frame3d.mockup.drawing import Drawing
from frame3d.mockup.options import KITS, Options
from frame3d.mockup.parts.links import links
from frame3d.mockup.solid import bounds
from frame3d.tubes.hardware import Housing, Lug
from tests.mockup.samples import FULL, drawing, layout


def made(travel: float = 0.0, scale: float = 1 / 6) -> tuple[Drawing, list[np.ndarray]]:
    """The bounding boxes of what joins the suspension [mm of the bike]."""
    drawn = Drawing(layout(FULL), Options(scale, KITS), Pose(rear=travel))
    return drawn, [bounds(solid) for solid in links(drawn)]


def about(boxes: list[np.ndarray], x: float, z: float) -> list[np.ndarray]:
    """Those whose middle is there in the side view."""
    return [b for b in boxes if np.hypot(*(b.mean(axis=0)[[0, 2]] - (x, z))) < 0.5]


def test_without_a_rear_suspension_there_is_nothing_to_join() -> None:
    assert list(links(drawing())) == []


@pytest.mark.parametrize("travel", [0.0, 70.0])
def test_a_pin_goes_through_every_part_at_its_pivot(travel: float) -> None:
    """At the pivot's place at the pose, by the mechanism itself."""
    drawn, boxes = made(travel)
    linkage = drawn.bike.linkage
    assert linkage is not None
    there = linkage.pose_at(travel=travel)
    for item in drawn.bike.pivots:
        if not isinstance(item, Housing | Lug):
            continue
        x, z = there.points[item.pivot]
        low, high = item.span if isinstance(item, Lug) else (-item.width / 2, item.width / 2)
        pins = about(boxes, x, z)
        assert any(b[0, 1] <= low + 1e-6 and high - 1e-6 <= b[1, 1] for b in pins), item.name
        # Wider than its bore, so that both become one.
        assert max(np.ptp(b[:, 0]) for b in pins) > item.bore


def test_thin_pins_are_thickened_and_told() -> None:
    drawn, boxes = made(scale=1 / 12)
    told = {entry.part: entry for entry in drawn.ledger.entries}
    assert "shock" in told
    assert told["shock"].size == "shaft's diameter"
    least = drawn.options.rod / drawn.scale
    pins = [b for b in boxes if np.ptp(b[:, 0]) == pytest.approx(np.ptp(b[:, 2]), rel=0.02)]
    assert min(np.ptp(b[:, 0]) for b in pins) > 0.97 * least


def test_the_shock_shortens_by_its_stroke() -> None:
    lengths = []
    for travel in (0.0, 140.0):
        drawn, _ = made(travel)
        linkage = drawn.bike.linkage
        assert linkage is not None
        *_, rod = links(drawn)
        points = linkage.pose_at(travel=min(travel, linkage.full_travel)).points
        ends = np.array([points[name] for name in linkage.shock])
        box = bounds(rod)[:, [0, 2]]
        shaft = max(16.0, drawn.options.rod / drawn.scale)
        span = np.abs(ends[1] - ends[0])
        assert np.ptp(box, axis=0) == pytest.approx(span, abs=shaft + 0.1)
        assert (np.ptp(box, axis=0) >= span - 0.1).all()
        lengths.append(float(np.linalg.norm(ends[1] - ends[0])))
    assert lengths[0] - lengths[1] == pytest.approx(52.5, abs=0.3)
