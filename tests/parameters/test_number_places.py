"""Numbers of one bike of a family, and where they stand: a slider of one size moves what it should."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.errors import SpecError
from frame3d.parameters.reading.editing import with_numbers
from frame3d.parameters.reading.number_places import number_places, resolved_scalars

SIZES = ("S", "M", "L")
TEXT = """\
format: 1
name: Three
geometry:
  reach: {from: 430, step: 25}   # a rule
  seat_tube_length: {S: 390, M: 420, L: 450}
  bb_drop: 62
  head_tube_angle: 65.5
  chainstay_length: &stay 435
  front_centre: *stay
build:
  fork: {axle_to_crown: 531, sag: {from: 25%, step: 1%}}
  crank.length: 7
  rear_wheel: [1, {S: 2, M: {from: 3, step: 0.5}, L: 4}]
sizes:
  default: M
  S:
  M: {}
  L: {geometry.bb_drop: 60, build: {crank: {length: {from: 165, step: 2.5}}}}
settings:
  long: {build.fork: {axle_to_crown: {S: 551, M: 552, L: 553}}}
"""


def test_where_numbers_of_a_size_stand() -> None:
    here = number_places(TEXT, "L")
    told = {p: (n.text, n.written, float(n.above), n.by_rule, n.sizes) for p, n in here.items()}
    assert told == {
        "format": ("1", "format", 0, False, SIZES),
        "geometry.reach": ("480", "geometry.reach.from", 50, True, SIZES),
        "geometry.seat_tube_length": ("450", "geometry.seat_tube_length.L", 0, False, ("L",)),
        "geometry.bb_drop": ("60", "sizes.L.geometry.bb_drop", 0, False, ("L",)),
        "geometry.head_tube_angle": ("65.5", "geometry.head_tube_angle", 0, False, SIZES),
        "build.fork.axle_to_crown": ("531", "build.fork.axle_to_crown", 0, False, SIZES),
        "build.fork.sag": ("27%", "build.fork.sag.from", 2, True, SIZES),
        "build.crank.length": ("170.0", "sizes.L.build.crank.length.from", 5, True, ("L",)),
        "build.rear_wheel.0": ("1", "build.rear_wheel.0", 0, False, SIZES),
        "build.rear_wheel.1": ("4", "build.rear_wheel.1.L", 0, False, ("L",)),
    }


def test_what_one_size_changes_is_not_shared_with_it() -> None:
    assert number_places(TEXT, "S")["geometry.bb_drop"].sizes == ("S", "M")
    assert number_places(TEXT)["build.rear_wheel.1"].written == "build.rear_wheel.1.M.from"


def test_numbers_of_a_chosen_setting_stand_under_it() -> None:
    place = number_places(TEXT, "M", ["long"])["build.fork.axle_to_crown"]
    assert (place.text, place.written) == ("552", "settings.long.build.fork.axle_to_crown.M")
    assert (place.setting, place.sizes) == ("long", ("M",))
    assert number_places(TEXT, "M")["build.fork.axle_to_crown"].setting is None


def test_a_file_without_sizes_has_its_numbers_where_they_are() -> None:
    text = "format: 1\ngeometry: {reach: 455}\nname: x7\n"
    assert {p: (n.written, n.sizes) for p, n in number_places(text).items()} == {
        "format": ("format", ()),
        "geometry.reach": ("geometry.reach", ()),
    }
    assert number_places("") == {}


def test_of_two_numbers_with_one_path_only_the_first_can_be_changed() -> None:
    text = "sizes: {S: {a.b: 1, a: {b: 2}}, M: {}}\na: {b: 3}\n"
    assert "a.b" not in number_places(text, "S")
    assert number_places(text, "M")["a.b"].written == "a.b"


def test_a_size_that_cannot_be_read_shares_nothing() -> None:
    text = "a: 1\nb: [3]\nsizes: {S: {b.x: 1}, M: {}}\n"
    assert number_places(text, "M")["a"].sizes == ("M",)
    with pytest.raises(SpecError):
        number_places(text, "S")


def test_what_stands_at_the_paths_of_a_size() -> None:
    assert resolved_scalars("a: {S: x, M: 2}\nsizes: [S, M]\n", "S") == {"a": "x"}
    assert resolved_scalars("a: x\n") == {"a": "x"}


number = st.decimals(-999, 999, places=2, allow_nan=False).map(str)
step = st.decimals(-99, 99, places=6, allow_nan=False).map(lambda d: f"{d:f}")
sized = st.one_of(
    number,
    st.builds("{{from: {}, step: {}}}".format, number, step),
    st.builds("{{S: {}, M: {}, L: {}}}".format, number, number, number),
    st.builds("{{S: {}, M: {{from: {}, step: {}}}, L: {}}}".format, number, number, step, number),
)


def changes(values: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    """What a size or a setting changes."""
    some = st.dictionaries(st.sampled_from(["a.x", "a.y", "b"]), values, max_size=3)
    return some.map(lambda found: "{" + ", ".join(f"{k}: {v}" for k, v in found.items()) + "}")


texts = st.builds(
    "a:\n  x: {}\n  y: {}   # which\nb: {}\nc: [1, {}]\nsizes: {{S: {}, M: {}, L: {}}}\n"
    "settings: {{p: {}, q: {}}}\n".format,
    *(sized for _ in range(4)),
    *(changes(number) for _ in range(3)),
    *(changes(sized) for _ in range(2)),
)


@settings(max_examples=25, deadline=None)
@given(texts, st.sampled_from(SIZES), st.sampled_from([(), ("p",), ("q", "p")]), st.data())
def test_a_number_changed_in_one_size_moves_in_all_that_share_it(
    text: str, size: str, made: tuple[str, ...], data: st.DataObject
) -> None:
    places = number_places(text, size, made)
    assert {"a.x", "a.y", "b", "c.0", "c.1"} == set(places)
    place = places[data.draw(st.sampled_from(sorted(places)))]
    value = data.draw(st.decimals(-999, 999, places=4, allow_nan=False))
    new = with_numbers(text, {place.written: float(place.in_file(value))})
    before, after = _all(text, made), _all(new, made)
    assert after[size][place.path] == value
    moved = value - before[size][place.path]
    every = {other: number_places(text, other, made) for other in SIZES}
    for other, path in product(SIZES, before["S"]):
        shares = every[other][path].written == place.written
        assert not shares or other in place.sizes
        expected = before[other][path] + (moved if shares else 0)
        assert after[other][path] == expected
        if shares and not place.by_rule:
            assert after[other][path] == value


def _all(text: str, made: tuple[str, ...]) -> Mapping[str, Mapping[str, Decimal]]:
    """The numbers of each size, exact, from the values that its bike is read with."""
    found = {size: resolved_scalars(text, size, made) for size in SIZES}
    return {s: {path: Decimal(value) for path, value in v.items()} for s, v in found.items()}
