"""The order over sizes: held to the cut list and parts list of each size."""

from __future__ import annotations

import csv
import io
from collections import Counter

import pytest

from frame3d.bike.bike import Bike
from frame3d.errors import OutputError
from frame3d.fabrication.cut_list import cut_list_csv
from frame3d.fabrication.ordering.order_list import Order, TubeSection, order_of
from frame3d.fabrication.ordering.stock import StockLength
from frame3d.fabrication.pack import Maker
from frame3d.fabrication.parts_list import items_of
from tests.fabrication.families import family, size

DROPPER = (
    "  bottom_bracket:",
    "  seatpost: {diameter: 32.5, travel: 150, insertion: 180}\n  bottom_bracket:",
)


def section_of(order: Order, tube: str) -> TubeSection:
    (found,) = (s for s in order.sections if any(p.tube == tube for p in s.pieces))
    return found


def cut_lists(bikes: tuple[tuple[str, Bike, int], ...]) -> Counter[tuple[str, str, str]]:
    """Size, tube and stock length, as the cut lists' own files have them, times the frames."""
    found: Counter[tuple[str, str, str]] = Counter()
    for name, bike, quantity in bikes:
        maker = Maker(bike, "A4", None)
        made = cut_list_csv(maker.facts, maker.cuttings, dict.fromkeys(maker.cuttings, 0.0))
        for row in csv.DictReader(io.StringIO(made.decode())):
            if row["stock_length_mm"]:
                found[(name, row["tube"], row["stock_length_mm"])] += quantity
    return +found


def test_each_piece_of_each_cut_list_is_ordered_once() -> None:
    order = order_of(family())
    pieces = [piece for section in order.sections for piece in section.pieces]
    assert Counter((p.size, p.tube, f"{p.length:.0f}") for p in pieces) == cut_lists(family())
    assert len({(p.size, p.tube, p.frame) for p in pieces}) == len(pieces) == 5 * 3
    for section in order.sections:
        if section.plan is not None:
            held = [piece for bar in section.plan.bars for piece in bar.pieces]
            key = lambda p: (p.size, p.tube, p.frame)  # noqa: E731
            assert sorted(held, key=key) == sorted(section.pieces, key=key)
    assert [(s.name, s.quantity) for s in order.sizes] == [("S", 2), ("M", 1)]
    assert order.frames == 3


def test_plain_tubes_come_from_bars_and_shaped_ones_by_themselves() -> None:
    order = order_of(family())
    assert [s.number for s in order.sections] == list(range(1, 6))
    assert section_of(order, "head_tube").plan is None  # tapered
    assert section_of(order, "top_tube").plan is None  # butted
    assert section_of(order, "top_tube").butts == "80 and 90 long, 40 transition"
    down = section_of(order, "down_tube")
    assert down.title == "38.1 × 0.9, 4130"
    # 3 down tubes of 720 or so: two a bar of 2000.
    assert down.plan is not None
    assert [len(bar.pieces) for bar in down.plan.bars] == [2, 1]
    oval = (("od: 38.1,", "od: {height: 40, width: 36},"),)
    assert section_of(order_of([("M", size("M", *oval), 1)]), "down_tube").plan is None
    bar = (("od: 20, wall: 1}", "od: 20, wall: solid}"),)
    rod = section_of(order_of([("M", size("M", *bar), 1)]), "brace")
    assert (rod.title, rod.plan is None) == ("20 solid, 4130", False)


def test_tubes_of_one_section_share_bars_and_others_do_not() -> None:
    alike = (("od: 20, wall: 1}", "od: 38.1, wall: 0.9}"),)
    order = order_of([("M", size("M", *alike), 1), ("S", size("S"), 1)])
    down = section_of(order, "down_tube")
    assert {p.tube for p in down.pieces} == {"down_tube", "brace"}
    assert [(p.size, p.tube) for p in down.pieces] == [
        ("M", "down_tube"), ("M", "brace"), ("S", "down_tube"),
    ]  # fmt: skip
    for another in ("wall: 0.8", "wall: 0.9, material: stainless"):
        other = (("od: 20, wall: 1}", f"od: 38.1, {another}}}"),)
        order = order_of([("M", size("M", *other), 1)])
        assert {p.tube for p in section_of(order, "down_tube").pieces} == {"down_tube"}


def test_bent_tubes_say_so() -> None:
    bent = (
        (
            "od: 38.1, wall: 0.9}",
            "od: 38.1, wall: 0.9, bends: [{along: 500, rise: -8, radius: 400}]}",
        ),
    )
    order = order_of([("M", size("M", *bent), 1), ("S", size("S"), 1)])
    assert [p.is_bent for p in section_of(order, "down_tube").pieces] == [True, False]


def test_parts_are_those_of_the_parts_lists() -> None:
    order = order_of(family())
    for at, (name, bike, quantity) in enumerate(one for one in family() if one[2]):
        wanted: Counter[tuple[str, str, str]] = Counter()
        for item in items_of(bike, Maker(bike, "A4", None).facts):
            if item.what != "head tube":  # ordered as a tube
                wanted[(item.what, item.size, item.standard)] += item.count * quantity
        listed = Counter({(p.what, p.size, p.standard): p.counts[at] for p in order.parts})
        assert +listed == wanted, name
    assert all("bridge" not in part.what for part in order.parts)


def test_parts_of_one_size_but_another_travel_are_two() -> None:
    fork = ("offset: 44}", "offset: 44, travel: 130}")
    order = order_of([("S", size("S", fork), 1), ("M", size("M"), 2)])
    forks = [part for part in order.parts if part.what == "fork"]
    assert [(part.note, part.counts) for part in forks] == [("130 travel", (1, 0)), ("", (0, 2))]


def test_a_post_is_one_part_though_it_stands_deeper_in_one_size() -> None:
    taller = ("seat_tube_length: 430", "seat_tube_length: 460")
    order = order_of([("S", size("S", DROPPER), 1), ("M", size("M", DROPPER, taller), 1)])
    (post,) = (part for part in order.parts if part.what == "seatpost")
    assert (post.size, post.note, post.counts) == ("32.5", "150 travel", (1, 1))


def test_a_piece_longer_than_any_bar_is_one_fault() -> None:
    with pytest.raises(OutputError) as raised:
        order_of(family(), stock=[StockLength(600), StockLength(700)], trim=5)
    (fault,) = raised.value.faults
    assert fault.path == "tubes.down_tube"
    longest = max(p.length for p in section_of(order_of(family()), "down_tube").pieces)
    assert fault.message == (
        f"down tube, M: a piece of {longest:g} mm is longer than any bar, 700 mm less 5 mm at either end"
    )
    assert fault.hint == f"give a stock length of {longest + 10:g} mm or more"
    assert fault.place is not None


def test_bars_that_run_out_are_a_fault_with_what_is_left() -> None:
    with pytest.raises(OutputError) as raised:
        order_of(family(), stock=[StockLength(2000, 1)])
    (fault,) = raised.value.faults
    assert fault.message.startswith(
        "there are bars of 1 × 2000 mm, which do not suffice: 1 pieces are left"
    )


@pytest.mark.parametrize("quantities", [(0, 0), (-1, 2)])
def test_numbers_that_cannot_be(quantities: tuple[int, int]) -> None:
    with pytest.raises(ValueError, match="one in all"):
        order_of([("S", size("S"), quantities[0]), ("M", size("M"), quantities[1])])
    with pytest.raises(ValueError, match="each size once"):
        order_of([("S", size("S"), 1), ("S", size("M"), 1)])
