"""Bearings in housings: metal around them, room for both, a seat that no tube reaches into."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from frame3d import load, solve
from frame3d.bike.bike import Bike
from frame3d.errors import TubeError
from frame3d.solids.bodies import bodies
from frame3d.solids.body import SolidBody
from frame3d.tubes.hardware import Housing, Lug, Seat

CONFIGS = Path(__file__).parents[2] / "configs"
BEARING = "suspension.pivots.{}.bearing={{od: {}, width: {}}}"


def bike(*sets: str) -> Bike:
    return solve(load(CONFIGS / "trail_full_140.yaml", sets=sets))


def housing(layout: Bike, point: str = "main_pivot") -> Housing:
    (found,) = (p for p in layout.pivots if isinstance(p, Housing) and p.pivot == point)
    return found


def body(layout: Bike, name: str) -> SolidBody:
    return next(b for b in bodies(layout) if b.name == name)


def faults(*sets: str) -> list[tuple[str, str, str]]:
    with pytest.raises(TubeError) as caught:
        bike(*sets)
    return [(f.code, f.path, f"{f.message} | {f.hint}") for f in caught.value.faults]


def test_a_housing_is_bored_for_both_bearings() -> None:
    """Two seats of 26 × 8 around an axle of 15: the rest of the width keeps the axle's bore."""
    made = bike(BEARING.format("main_pivot", 26, 8))
    found = housing(made)
    assert found.seat == Seat(26, 8)
    assert found.opening == 26
    assert housing(bike()).opening == 15
    (void,) = body(made, found.name).holes or body(made, found.name).voids
    seats = math.pi / 4 * (2 * 8 * 26**2 + (found.width - 16) * 15**2)
    out = math.pi / 4 * 26**2 * 2  # a millimetre out of either face
    assert void.volume == pytest.approx(seats + out)


def test_bearings_that_meet_leave_one_bore() -> None:
    width = housing(bike()).width
    made = bike(BEARING.format("main_pivot", 26, width / 2))
    name = housing(made).name
    (void,) = body(made, name).holes or body(made, name).voids
    assert set(void.height) == {26}


@pytest.mark.parametrize(
    ("od", "width", "key", "says"),
    [
        (31, 8, "od", "leaves 1.0 mm of wall in a housing of 33 mm | at most 29"),
        (15, 8, "od", "no more than its axle of 15 mm"),
        (26, 40, "width", "two of them in a housing"),
    ],
)
def test_a_bearing_without_a_seat_is_a_fault(od: float, width: float, key: str, says: str) -> None:
    ((code, path, text),) = faults(BEARING.format("main_pivot", od, width))
    assert (code, path) == ("section", f"suspension.pivots.main_pivot.bearing.{key}")
    assert says in text


def test_one_bearing_goes_through_each_of_two_housings() -> None:
    """The rear pivot's housings are 7 mm wide, left and right, on the seatstay's link."""
    made = bike(BEARING.format("rear_pivot", 16, 7))
    bores = {p.name: p.bore for p in made.pivots if isinstance(p, Lug) and p.pivot == "rear_pivot"}
    assert {b for n, b in bores.items() if "seatstay" in n} == {16}
    assert {b for n, b in bores.items() if "chainstay" in n} == {8}
    ((_, path, text),) = faults(BEARING.format("rear_pivot", 16, 7.5))
    assert path.endswith("bearing.width")
    assert "at most 7" in text


def test_no_bearing_at_the_shocks_eye() -> None:
    from frame3d.errors import SpecError

    with pytest.raises(SpecError, match="the shock's eye stands"):
        bike(BEARING.format("shock_front", 16, 5))


@pytest.mark.parametrize(("offset", "deep"), [(30.5, 0.5), (30.9, 0.1), (31.1, None), (27.0, None)])
def test_a_tube_in_a_free_housings_seat_is_a_fault(offset: float, deep: float | None) -> None:
    """Seat tube 36, bearing 26: 18 + 13 mm apart they touch; 3 mm in, the housing cuts the tube."""
    sets = (
        f"suspension.points.rocker_pivot.offset={offset}",
        BEARING.format("rocker_pivot", 26, 8),
    )
    if deep is None:
        assert housing(bike(*sets), "rocker_pivot").inset is (offset < 30)
        return
    ((code, path, text),) = faults(*sets)
    assert (code, path) == ("section", "suspension.points.rocker_pivot")
    assert f"seat_tube reaches {deep:.1f} mm into the seat of 26 mm" in text
