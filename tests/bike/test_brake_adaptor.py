"""Which rotor a mount takes by itself, and how far an adaptor carries the caliper out."""

from __future__ import annotations

import pytest

from frame3d.bike.brake_adaptor import adaptor_step, native_rotor
from tests.bikes import hardtail_layout, placed_layout
from tests.with_mount import POST, with_mount


@pytest.mark.parametrize(
    ("rotor", "mount", "native", "step"),
    [(203.0, 180.0, 180.0, 11.5), (203.0, None, 203.0, 0.0)],
)
def test_half_the_difference_of_the_diameters(
    rotor: float, mount: float | None, native: float, step: float
) -> None:
    bike = placed_layout(with_mount(POST, "plain", 112.0, rotor, mount))
    assert (native_rotor(bike), adaptor_step(bike)) == (native, step)


def test_without_a_mount_or_a_brake_nothing_is_known() -> None:
    assert native_rotor(placed_layout(with_mount({}, "plain"))) is None
    assert adaptor_step(hardtail_layout()) == 0.0
