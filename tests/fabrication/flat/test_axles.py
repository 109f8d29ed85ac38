"""What stands on the pivots' axles."""

from __future__ import annotations

from itertools import pairwise

import pytest

from frame3d.fabrication.flat.axles import Seat, axles_of, bearing_text
from tests.fabrication.flat.samples import BEARINGS, trail

HOUSED = (
    "suspension.pivots.main_pivot={od: 33, axle: 15, bearing: {od: 28, width: 7}}",
    "suspension.pivots.rear_pivot={housing: seatstay_link, width: 7, plate: 4, od: 26, "
    "bearing: {od: 16, width: 5}}",
)


def test_pieces_stand_beside_one_another() -> None:
    """Outwards, none in another; the axle is as long as all of them and its gaps together."""
    axles = axles_of(trail())
    assert [axle.point for axle in axles][:2] == ["main_pivot", "rocker_pivot"]
    for axle in axles:
        ends = [(piece.low, piece.high) for piece in axle.pieces]
        assert all(a[1] <= b[0] + 1e-9 for a, b in pairwise(ends))
        metal = sum(high - low for low, high in ends)
        sides = 2 if axle.stack.is_across else 1
        assert axle.stack.length == pytest.approx(sides * (metal + sum(axle.stack.gaps)))


def test_what_the_main_pivot_needs() -> None:
    """A housing of 55 mm, two lugs of 6 and half a millimetre beside each: 68 mm."""
    main = axles_of(trail())[0]
    said = list(main.said())
    assert said[0] == "axle 15 × 68.00 over all that it holds"
    assert said[1] == "2 spacers 0.50 thick, bore 15"
    assert [(p.bore, p.fit) for p in main.pieces] == [(15, "H7"), (15, "H7")]


def test_bearings_in_a_housing_and_in_lugs() -> None:
    """At both faces of a housing, 55 - 2 · 7 apart and bored for the axle; in a lug of 7 mm."""
    by_point = {axle.point: axle for axle in axles_of(trail(*HOUSED))}
    main, rear = by_point["main_pivot"], by_point["rear_pivot"]
    assert main.seats == (Seat(20.5, 27.5, 15, 28),)
    bores = [(p.low, p.high, p.bore, p.fit) for p in main.pieces]
    assert bores[:2] == [(0, 20.5, 15, "H7"), (20.5, 27.5, 28, "N7")]
    said = list(main.said())
    assert any("15 × 28 × 7: dimension series 19, sizes from memory of ISO 15" in s for s in said)
    assert "bearings 41.00 apart, from inner face to inner face" in said
    (seat,) = rear.seats
    lug = next(p for p in rear.pieces if p.fit == "N7")
    assert seat.low - lug.low == pytest.approx(lug.high - seat.high) == pytest.approx(1)


@pytest.mark.parametrize(
    ("seat", "said"),
    [
        (Seat(0, 5, 15, 24), "dimension series 18"),
        (Seat(0, 5, 12, 24), "24 × 5 has a bore of 15"),
        (Seat(0, 8, 12, 26), "none of the sizes known here"),
    ],
)
def test_what_is_said_of_a_bearing(seat: Seat, said: str) -> None:
    assert said in bearing_text(seat)
    assert "from memory of ISO 15" in bearing_text(seat)


def test_the_shocks_eye_is_bought() -> None:
    shock = next(axle for axle in axles_of(trail()) if axle.point == "shock_front")
    assert (shock.pieces[0].name, shock.pieces[0].fit) == ("shock's eye, bought", "")


def test_a_housing_through_its_own_plates_is_one_piece() -> None:
    """Its bearings are told once, and end with the plates' outer faces."""
    axle = next(axle for axle in axles_of(trail(BEARINGS)) if axle.point == "rocker_pivot")
    assert [p.name for p in axle.pieces] == [
        "housing, rocker",
        "its bearing seat",
        "lug, frame",
    ]
    assert len(axle.seats) == 1
    assert axle.pieces[1].high == axle.seats[0].high == 30
