"""Where rotors stand beside their hubs: worked by hand from the figures that `rotors` names."""

from __future__ import annotations

import pytest

from frame3d.parameters.sizes.rotors import rotor_inset, shoulder_of


@pytest.mark.parametrize(
    ("width", "shoulder", "inset"),
    [(135, 0, 14.4), (142, 3.5, 17.9), (148, 3.5, 17.9), (157, 3.5, 17.9)],
)
def test_rear_rotors_keep_their_place_from_the_shoulder(
    width: float, shoulder: float, inset: float
) -> None:
    assert shoulder_of("rear", width) == shoulder
    assert rotor_inset("rear", width) == pytest.approx(inset)


def test_front_rotors_and_those_that_the_file_places() -> None:
    assert (shoulder_of("front", 142), rotor_inset("front", 110)) == pytest.approx((0.0, 9.6))
    assert rotor_inset("rear", 148, 12.0) == 12.0
