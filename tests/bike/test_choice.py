"""One of a file's bikes: the same as a file of that size with those parts exchanged."""

from __future__ import annotations

import pytest

from frame3d import variant
from frame3d.bike.bike import Bike
from frame3d.bike.choice import Choice, solve_choice
from frame3d.bike.exchange import exchange_values
from frame3d.bike.solve import solve
from frame3d.errors import SpecError
from frame3d.parameters.reading.reader import loads
from tests.hardening.running import SMALL

TEXT = SMALL.read_text("utf-8")
FAMILY = f"""{TEXT}
sizes:
  S: {{geometry.reach: 430}}
  L: {{geometry.reach: 480}}
settings:
  long: {{build.fork.axle_to_crown: {{S: 541, L: 551}}}}
  quick: {{build.fork.offset: 37}}
"""


def stands(bike: Bike) -> dict[str, object]:
    return {"chart": dict(bike.chart), "nodes": dict(bike.nodes), "exchanged": bike.exchanged}


def test_a_size_is_the_bike_of_its_values() -> None:
    by_hand = solve(loads(TEXT, sets=["geometry.reach=480"]))
    chosen = solve_choice(FAMILY, "family.yaml", Choice("L"))
    assert chosen.bike is chosen.drawn
    assert stands(chosen.bike) == stands(by_hand)


def test_settings_are_exchanges_on_the_frame_of_the_size() -> None:
    drawn = solve(loads(TEXT, sets=["geometry.reach=480"]))
    values = {"build.fork.axle_to_crown": 551, "build.fork.offset": 37}
    chosen = solve_choice(FAMILY, "family.yaml", Choice("L", ("long", "quick")))
    assert stands(chosen.bike) == stands(exchange_values(drawn, values))
    assert stands(chosen.drawn) == stands(drawn)
    assert chosen.bike.spec.title.endswith("size L, long, quick")


def test_an_exchange_comes_after_a_setting() -> None:
    swapped = solve_choice(
        FAMILY, "f", Choice("S", ("long",), swaps=["build.fork.axle_to_crown=531"])
    )
    assert swapped.bike.spec.build.fork is not None
    assert swapped.bike.spec.build.fork.axle_to_crown == 531
    assert swapped.bike.exchanged == ("build.fork.axle_to_crown",)


def test_a_setting_that_changes_nothing_changes_nothing() -> None:
    text = f"{TEXT}\nsettings: {{same: {{}}}}\n"
    chosen = solve_choice(text, "f", Choice(settings=("same",)))
    assert chosen.bike is chosen.drawn
    assert stands(chosen.bike) == stands(solve(loads(TEXT)))


def test_a_setting_that_is_no_exchange_is_told_with_its_line() -> None:
    text = f"{TEXT}\nsettings:\n  wide: {{geometry.reach: 500}}\n"
    with pytest.raises(SpecError) as caught:
        solve_choice(text, "f.yaml", Choice(settings=("wide",)))
    fault = caught.value.faults[0]
    assert (fault.code, fault.path) == ("override", "geometry.reach")
    assert fault.place is not None
    assert fault.place.text == "  wide: {geometry.reach: 500}"


def test_the_verb_reads_the_same(tmp_path: object) -> None:
    one = variant(SMALL, sets=["geometry.reach=470"], swaps=["build.fork.offset=37"])
    drawn = solve(loads(TEXT, sets=["geometry.reach=470"]))
    assert stands(one) == stands(exchange_values(drawn, {"build.fork.offset": 37}))
