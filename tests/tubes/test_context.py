"""What is at hand while tubes are placed: names, and the hints of faults."""

from __future__ import annotations

from tests.tubes.placing import OTHER, refused, strut


def test_names_are_suggested() -> None:
    (fault,) = refused(strut({"on": "sead_tube", "below_top": 50.0}, OTHER))
    assert "did you mean seat_tube?" in fault.hint
    assert "rear_dropout" in fault.hint
    assert "strut" not in fault.hint
    (fault,) = refused(strut({"on": "seatstay_left", "from_start": 50.0}, OTHER))
    assert fault.hint == "seatstay_left is one of the pair seatstay: write on: seatstay, side: left"
