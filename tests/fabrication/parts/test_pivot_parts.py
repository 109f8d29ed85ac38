"""Axles, bolts, bearings and spacers of the rear suspension, counted by hand."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from pathlib import Path

import pytest

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.fabrication.parts.item import Item
from frame3d.fabrication.parts.pivot_parts import Stack, pivot_parts, stacks_of
from frame3d.parameters.reading.reader import load
from frame3d.tubes.hardware import PLAY
from tests.fabrication.bikes import demo

FULL = Path("configs/trail_full_140.yaml")


def listed(bike: Bike) -> dict[str, list[Item]]:
    found = defaultdict(list)
    for item in pivot_parts(bike):
        found[item.what].append(item)
    return found


def test_an_axle_goes_over_all_that_it_holds() -> None:
    """Main pivot: 55 of housing, and on either side 0.5 of play and a lug of 6: 68 in all.

    Rear pivot: a housing of 7 and a lug of 4 on either side with 0.5 between them: 11.5.
    """
    bike = demo("trail_full_140")
    stacks = {stack.point: stack for stack in stacks_of(bike)}
    main, rear = stacks["main_pivot"], stacks["rear_pivot"]
    assert (main.is_across, main.axle, main.gaps) == (True, 15, [PLAY])
    assert main.length == pytest.approx(55 + 2 * (PLAY + 6))
    assert (rear.is_across, rear.axle, rear.gaps) == (False, 8, [PLAY])
    assert rear.length == pytest.approx(7 + PLAY + 4)
    items = listed(bike)
    axles = {item.note.partition(";")[0]: item.count for item in items["pivot axle"]}
    assert axles["at main pivot"] == 1
    assert axles["at rear pivot"] == 2
    assert sum(item.count for item in items["pivot bolt"]) == 2 * sum(axles.values())
    assert len(items["shock bolt"]) == len(items["shock bushing with spacers"]) == 2


def test_bearings_and_chips_where_the_file_gives_them() -> None:
    sets = [
        "suspension.pivots.main_pivot.bearing={od: 24, width: 8}",
        "suspension.pivots.rocker_rear.chip=rocker",
    ]
    bike = solve(load(FULL, sets))
    items = listed(bike)
    (bearing,) = items["bearing"]
    assert (bearing.count, bearing.size) == (2, "24 outside, 8 wide")
    (chip,) = items["flip chip"]
    assert (chip.count, chip.size) == (2, "in rocker at rocker rear")
    (main,) = [i for i in items["pivot axle"] if i.note.startswith("at main pivot")]
    assert "bearing not given" not in main.note


def test_a_trunnion_has_a_bolt_on_either_side() -> None:
    """185 x 52.5: the trunnion of 210 x 52.5 (common practice, no source)."""
    bike = demo("trail_full_140")
    suspension = bike.spec.suspension
    assert suspension is not None
    shock = suspension.shock.model_copy(update={"size": "185x52.5"})
    update = {"suspension": suspension.model_copy(update={"shock": shock})}
    items = listed(replace(bike, spec=bike.spec.model_copy(update=update)))
    assert [item.count for item in items["shock bolt, trunnion"]] == [2]
    assert len(items["shock bolt"]) == 1


def test_gaps_are_between_neighbours() -> None:
    stack = Stack("p", 8.0, ((0.0, 20.0), (20.5, 26.0), (30.0, 34.0)))
    assert stack.gaps == [0.5, 4.0]
    assert stack.length == 68.0


def test_a_frame_without_suspension_has_none() -> None:
    assert list(pivot_parts(demo("trail_hardtail_29"))) == []
