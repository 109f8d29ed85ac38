"""What is left of a frame of which a tube cannot be made."""

from __future__ import annotations

import pytest

import frame3d
from frame3d.errors import TubeError
from frame3d.fabrication.partial_layout import salvaged
from tests.fabrication.bikes import CONFIGS


def refused(name: str, *sets: str) -> tuple[frame3d.FrameSpec, TubeError]:
    spec = frame3d.load(CONFIGS / f"{name}.yaml", sets=list(sets))
    with pytest.raises(TubeError) as caught:
        frame3d.solve(spec)
    return spec, caught.value


def test_what_sits_on_a_tube_that_goes_goes_too() -> None:
    spec, error = refused("trail_hardtail_29", "tubes.seatstay.bends.0.radius=2000")
    layout, faults = salvaged(spec, error)
    assert faults == tuple(error.faults)
    names = {tube.key for tube in layout.tubes}
    assert names == {
        "head_tube",
        "seat_tube",
        "down_tube",
        "top_tube",
        "chainstay",
        "chainstay_bridge",
    }


@pytest.mark.parametrize("name", ["trail_full_140", "enduro_170_mixed"])
def test_a_frame_does_not_do_without_the_tube_under_its_shock(name: str) -> None:
    """The seat tube stands on that down tube, too."""
    spec, error = refused(name, "tubes.down_tube.bends.0.radius=3000")
    with pytest.raises(TubeError) as caught:
        salvaged(spec, error)
    assert caught.value is error


def test_nor_without_a_seat_tube_that_leans_on_one_at_fault() -> None:
    spec, error = refused(
        "trail_hardtail_29",
        "tubes.down_tube.bends.0.radius=3000",
        "tubes.seat_tube.start={on: down_tube, from_start: 60}",
    )
    with pytest.raises(TubeError) as caught:
        salvaged(spec, error)
    assert caught.value is error
