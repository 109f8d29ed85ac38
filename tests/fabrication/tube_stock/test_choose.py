"""What each tube of a small frame is cut from, by a list of tubes whose answer is known."""

from __future__ import annotations

from itertools import permutations

import pytest

from frame3d.bike.solve import solve
from frame3d.fabrication.pack import Maker
from frame3d.fabrication.tube_facts import TubeFacts
from frame3d.fabrication.tube_stock.choose import KERF, Choice, choose, stock_faults
from frame3d.parameters.reading.reader import loads
from frame3d.parameters.reading.tube_stock import TubeStock, loads_tube_stock
from tests.fabrication.samples import SMALL

HEAD = "format: 1\nname: Rack\ntubes:\n"


def rack(*tubes: str) -> TubeStock:
    lines = "".join(f'  - {{name: T{i}, material: "4130", {t}}}\n' for i, t in enumerate(tubes))
    return loads_tube_stock(HEAD + lines, "rack.yaml")


def facts() -> list[TubeFacts]:
    return Maker(solve(loads(SMALL, "small.yaml")), "A4", None).facts


def by_key(choices: list[Choice]) -> dict[str, Choice]:
    return {choice.facts.tube.key: choice for choice in choices}


def test_each_tube_has_its_own() -> None:
    made = by_key(
        choose(facts(), rack("od: 34.9, wall: 1.2, length: 500", "od: 20, wall: 1, length: 900"))
    )
    assert made["seat_tube"].stock is not None
    assert made["seat_tube"].stock.name == "T0"
    assert made["brace"].stock is not None
    assert made["brace"].stock.name == "T1"
    assert made["down_tube"].stock is None
    for choice in made.values():
        if choice.fit is not None and choice.stock is not None:
            long = choice.facts.long_to_long
            assert choice.fit.begin + choice.fit.rest + long == pytest.approx(choice.stock.length)


def test_the_shortest_that_will_do_is_taken_and_counts_hold() -> None:
    one = facts()
    seat = next(f for f in one if f.tube.key == "seat_tube")
    two = [seat, seat]
    stock = rack("od: 34.9, wall: 1.2, length: 600", "od: 34.9, wall: 1.2, length: 500, count: 1")
    assert [c.stock.name for c in choose(two, stock) if c.stock] == ["T1", "T0"]
    none = choose(two, rack("od: 34.9, wall: 1.2, length: 500, count: 1"))
    assert [c.stock is None for c in none] == [False, True]
    assert "too few are left of T0 (line 4)" in none[1].why


def test_plain_pieces_share_a_tube() -> None:
    brace = next(f for f in facts() if f.tube.key == "brace")
    long = brace.long_to_long
    room = f"od: 20, wall: 1, length: {2 * long + KERF + 10:.3f}"
    made = choose([brace, brace, brace], rack(room))
    assert sorted(choice.unit for choice in made) == [1, 1, 2]
    first, second, third = sorted(made, key=lambda c: (c.unit, c.fit.begin if c.fit else 0.0))
    assert second.fit is not None
    assert second.fit.begin == pytest.approx(long + KERF)
    assert first.waste == 0
    assert second.waste == pytest.approx(10, abs=1e-2)
    assert third.waste == pytest.approx(long + KERF + 10, abs=1e-2)


def test_the_least_waste_in_all() -> None:
    """Against every way to share out two top tubes and a shorter one."""
    bike = solve(loads(SMALL, "small.yaml"))
    tops = [f for f in Maker(bike, "A4", None).facts if f.tube.key == "top_tube"] * 3
    wall = "wall: {butted: [0.8, 0.5, 0.8], lengths: [110, 130], transition: 40}"
    lengths = (620.0, 650.0, 640.0)
    stock = rack(*(f"od: 31.8, {wall}, length: {x}, count: 1" for x in lengths))
    made = choose(tops, stock)
    fits = [c for c in made if c.stock is not None]
    most = max(sum(x >= tops[0].long_to_long for x in order) for order in permutations(lengths))
    assert len(fits) <= most
    assert len({c.stock.name for c in fits if c.stock}) == len(fits)


def test_a_stock_that_is_too_short_is_told_with_both_lines() -> None:
    text = SMALL
    bike = solve(loads(text, "small.yaml"))
    stock = rack("od: 38.1, wall: 0.9, length: 500")
    made = choose(Maker(bike, "A4", None).facts, stock)
    faults = {fault.path: fault for fault in stock_faults(bike, made, stock)}
    fault = faults["tubes.down_tube"]
    assert fault.code == "stock"
    assert "nearest is T0 (line 4), which is 500 mm long" in fault.message
    assert "less than" in fault.message
    assert fault.place is not None
    line = next(i for i, row in enumerate(text.splitlines(), 1) if "down_tube:" in row)
    assert fault.place.line == line


def test_the_rest_of_the_pack_is_written() -> None:
    bike = solve(loads(SMALL, "small.yaml"))
    made = Maker(bike, "A4", None, rack("od: 38.1, wall: 0.9, length: 500")).make()
    assert {"tube_stock.csv", "tube_stock.pdf", "templates.pdf", "parts_list.csv"} <= set(
        made.files
    )
    assert {fault.code for fault in made.faults} == {"stock"}
    row = made.files["tube_stock.csv"].decode().splitlines()[1]
    assert "none fits: nearest is T0 (line 4)" in row
