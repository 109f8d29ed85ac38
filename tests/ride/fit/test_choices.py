"""A bike's cockpit and the sizes to be had for it."""

from __future__ import annotations

import pytest

from frame3d import exchange
from frame3d.bike.bike import Bike
from frame3d.ride.fit.choices import front_of, most_spacers_of, present_of, sizes_of
from frame3d.ride.fit.cockpit import Cockpit, grips, stem_and_spacers, sweep_and_spacers
from frame3d.ride.fit.offers import RISES, STEMS
from tests.ride.fit.samples import FAMILY, FULL, HARDTAIL, RIGID, bike

BIKES = {
    "hardtail": (HARDTAIL, None),
    "full": (FULL, None),
    "rigid": (RIGID, None),
    "XL": (FAMILY, "XL"),
}


@pytest.fixture(params=BIKES, scope="module")
def demo(request: pytest.FixtureRequest) -> Bike:
    name, size = BIKES[request.param]
    return bike(name, size=size)


def hands(of: Bike) -> tuple[float, float]:
    assert of.rider is not None
    x, _, z = of.rider.contacts["hands"]
    return (x, z)


def test_the_grips_are_where_the_hands_are(demo: Bike) -> None:
    front, present = front_of(demo), present_of(demo)
    assert front is not None
    assert present is not None
    assert grips(front, present) == pytest.approx(hands(demo), abs=1e-9)


def parts(cockpit: Cockpit, spacers: float) -> dict[str, object]:
    return {
        "build.stem.length": cockpit.stem,
        "build.stem.angle": cockpit.stem_angle,
        "build.stem.spacers": spacers,
        "build.handlebar.rise": cockpit.rise,
        "build.handlebar.forward": cockpit.forward,
    }


@pytest.mark.parametrize("turned_over", [False, True])
def test_an_exact_answer_exchanged_on_the_bike_keeps_the_hands(
    demo: Bike, turned_over: bool
) -> None:
    front, present = front_of(demo), present_of(demo)
    assert front is not None
    assert present is not None
    at, angle = hands(demo), present.stem_angle * (-1 if turned_over else 1)
    for exact in (
        stem_and_spacers(front, at, present.rise - 5, present.forward - 4, angle),
        sweep_and_spacers(front, at, present.stem + 5, present.rise - 10, angle),
    ):
        assert exact.spacers >= 0
        changed = exchange(demo, parts(exact, exact.spacers))
        assert hands(changed) == pytest.approx(at, abs=1e-9)


def test_sizes_of_the_file_and_its_own() -> None:
    own = sizes_of(bike(HARDTAIL))
    assert own.stems == STEMS
    assert own.rises == RISES
    assert own.forwards == (-50, -40, -30, -20)
    assert own.most_spacers is None
    listed = sizes_of(
        bike(HARDTAIL, "build.stem.lengths=[35, 50]", "build.handlebar.rises=[20, 40]")
    )
    assert listed.stems == (35, 45, 50)
    assert listed.rises == (20, 25, 40)


def test_a_drop_bar_keeps_the_place_of_the_hands() -> None:
    sizes = sizes_of(bike(RIGID))
    assert (sizes.rises, sizes.forwards) == ((0,), (75,))
    assert sizes.stem_angles == (6, -6)


def test_a_stem_without_a_bar_holds_straight() -> None:
    plain = bike(HARDTAIL, "build.handlebar=null")
    present = present_of(plain)
    assert present == Cockpit(45, 15, 0, 0, 0)
    assert sizes_of(plain).stem_angles == (0,)


def test_without_a_stem_there_is_no_cockpit() -> None:
    none = bike(HARDTAIL, "build.stem=null")
    assert front_of(none) is None
    assert present_of(none) is None


def test_most_spacers_are_the_files_or_what_the_steerer_has_room_for() -> None:
    """The demo asks for 179 mm with 15 of spacers."""
    assert most_spacers_of(bike(HARDTAIL, "build.stem.most_spacers=30")) == 30
    assert most_spacers_of(bike(HARDTAIL, "build.fork.steerer_length=189")) == pytest.approx(25)
    both = bike(HARDTAIL, "build.fork.steerer_length=200", "build.stem.most_spacers=30")
    assert most_spacers_of(both) == 30
    assert most_spacers_of(bike(HARDTAIL, "build.fork.steerer_length=150")) == 0
