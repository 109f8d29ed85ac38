"""The seat collar: around the seat tube's top, with its gap where the file says."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from frame3d.bike.bike import Bike
from frame3d.tubes.features.collar import EARS, Collar, collar_in, collar_of
from tests.featured import featured, of, one_tube

SLOT: dict[str, Any] = {"kind": "clamp_slot"}


def with_collar(**keys: Any) -> Bike:
    return featured({"seat_tube": {"slot": SLOT, "clamp": {"kind": "collar"} | keys}})


def made(**keys: Any) -> Collar:
    bike = with_collar(**keys)
    return collar_of(of(bike, "clamp"), bike.tube("seat_tube"))


def test_it_sits_flush_with_the_tubes_top_on_its_outside() -> None:
    collar, tube = made(length=16), with_collar().tube("seat_tube")
    top = tube.axis.at(tube.axis.length)
    assert np.linalg.norm(collar.top - top) < 1e-9
    assert collar.length == pytest.approx(16.0)
    assert (collar.bore, collar.outside) == pytest.approx((34.9, 43.9))
    assert made(diameter=46).outside == 46.0


def test_its_screw_lies_across_the_gap_at_the_rear() -> None:
    collar = made()
    (a, b), width = collar.ears, EARS[0]
    assert np.linalg.norm(b - a) == pytest.approx(width)
    assert abs(float((b - a)[1])) == pytest.approx(width)
    assert (a + b)[0] / 2 < collar.top[0] - collar.outside / 2
    turned = made(angle=0)
    assert (turned.ears[0] + turned.ears[1])[0] / 2 > turned.top[0] + turned.outside / 2


def test_it_weighs_what_a_ring_of_aluminium_with_ears_and_a_screw_does() -> None:
    """Ring alone by hand: π/4 (43.9² - 34.9²) 14 mm × 2.7 g/cm³ = 21.05 g; ears and screw beside it."""
    collar = made()
    ring = np.pi / 4 * (43.9**2 - 34.9**2) * 14 * 2.7e-3
    assert ring == pytest.approx(21.05, abs=0.01)
    assert ring + 4.0 < collar.grams < ring + 14.0


def test_one_without_a_slot_is_warned_of_and_on_another_tube_left_out() -> None:
    assert not any("clamp" in note.path for note in with_collar().frame.notes)
    alone = featured({"seat_tube": {"clamp": {"kind": "collar"}}})
    (note,) = [note for note in alone.frame.notes if note.path.endswith("clamp")]
    assert "no clamp_slot" in note.message
    beam = one_tube({"kind": "collar"})
    assert collar_in(beam.frame.features) is None
    assert any("only the seat tube has a collar" in note.message for note in beam.frame.notes)


def test_one_with_no_ring_left_is_left_out() -> None:
    bike = with_collar(diameter=36)
    assert collar_in(bike.frame.features) is None
    assert any("leaves no ring around" in note.message for note in bike.frame.notes)


def test_one_that_reaches_down_to_a_joint_is_warned_of() -> None:
    """The top tube's joint begins some 20 mm below the seat tube's top."""
    low = with_collar(length=34)
    assert any("joint with" in note.message for note in low.frame.notes if "clamp" in note.path)
