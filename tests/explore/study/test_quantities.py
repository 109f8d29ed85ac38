"""Names, labels, stages and scales of quantities."""

from __future__ import annotations

import pytest

from frame3d.explore.study.quantities import (
    KINDS,
    gap_of,
    label_of,
    quantity,
    ride_figure,
    scale_of,
    stiffness_in,
)
from frame3d.explore.study.study import STAGES, Quantity


@pytest.mark.parametrize(
    ("wanted", "label", "stage"),
    [
        (quantity("trail"), "trail", "chart"),
        (quantity("trail", stance="sag"), "trail.sag", "linkage"),
        (quantity("standover", beyond_chart=True), "standover", "placement"),
        (quantity("leverage", at="start"), "leverage.start", "linkage"),
        (quantity("leverage", at=60.0), "leverage.60mm", "linkage"),
        (quantity("kickback"), "kickback", "linkage"),
        (quantity("kickback", at="sag", gear=(32, 24)), "kickback.sag.32x24", "linkage"),
        (quantity("mass"), "mass", "placement"),
        (gap_of("rear_tyre_to_frame"), "gap.rear_tyre_to_frame", "pairs"),
        (gap_of("pedal_to_ground", single=True), "gap.pedal_to_ground", "figures"),
        (ride_figure("steering.stop_angle"), "ride.steering.stop_angle", "ride"),
        (stiffness_in("saddle_down"), "stiffness.saddle_down", "stiffness"),
    ],
)
def test_labels_and_stages(wanted: Quantity, label: str, stage: str) -> None:
    assert label_of(wanted) == label
    assert wanted.stage == stage


def test_units_and_scales_follow_the_kind() -> None:
    assert [quantity(n).unit for n in ("trail", "head_tube_angle", "mass")] == [
        "mm",
        "degrees",
        "g",
    ]
    assert [scale_of(u) for u in ("mm", "degrees", "%", "g", "")] == [1, 0.1, 1, 10, 0.01]
    assert all(kind.stage in STAGES for kind in KINDS.values())


def test_an_unknown_name_is_none() -> None:
    with pytest.raises(KeyError):
        quantity("levrage")
