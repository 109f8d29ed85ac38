"""Bikes of a comparison: as each is solved by itself, named shortly, told apart."""

from __future__ import annotations

from pathlib import Path

import pytest

from frame3d import variant
from frame3d.bike.bike import Bike
from frame3d.chart.cache import Cache
from frame3d.errors import FrameError
from frame3d.family.members import labels, solve_family
from frame3d.family.wanted import wanted_of
from tests.family.files import PLAIN, SIZES, TEXT, family_file, written


def stands(bike: Bike) -> dict[str, object]:
    return {"chart": dict(bike.chart), "nodes": dict(bike.nodes), "title": bike.spec.title}


@pytest.fixture
def file(tmp_path: Path) -> str:
    return family_file(tmp_path)


def test_each_is_the_bike_that_is_solved_alone(file: str) -> None:
    family = solve_family(wanted_of([f"{file}:S", f"{file}:L+long", f"{file}:L"]))
    alone = [variant(file, size=s, settings=c) for s, c in (("S", ()), ("L", ("long",)), ("L", ()))]
    assert [stands(m.bike) for m in family.members] == [stands(bike) for bike in alone]
    assert family.first is family.members[0]
    assert family.members[1].drawn is family.members[2].bike


def test_a_setting_that_changes_nothing_changes_nothing(file: str) -> None:
    family = solve_family(wanted_of([f"{file}:L", f"{file}:L+same"]))
    drawn, same = (member.bike for member in family.members)
    assert same is drawn


def test_what_is_shared_is_made_once(file: str) -> None:
    """The frame of a size is solved once for all its settings, and not again with the same cache."""
    memory = Cache()
    first = solve_family(wanted_of([f"{file}:L", f"{file}:L+long"]), memory)
    again = solve_family(wanted_of([f"{file}:L+long", f"{file}:L"]), memory)
    frames = {id(member.drawn) for family in (first, again) for member in family.members}
    assert len(frames) == 1


def test_one_that_cannot_be_made_is_told_by_name_and_the_others_come(tmp_path: Path) -> None:
    broken = TEXT.replace("XL: {geometry.chainstay_length: 436}", "XL: {geometry.reach: 900}")
    file = written(tmp_path, "trail.yaml", broken)
    family = solve_family(wanted_of([file, str(tmp_path / "none.yaml")], size="all"))
    assert [member.label for member in family.members] == [
        f"trail {size}" for size in SIZES if size != "XL"
    ]
    assert [one.label for one in family.missing] == ["trail XL", str(tmp_path / "none.yaml")]
    assert family.faults[0].message.startswith("trail XL: 900 is above")
    assert family.faults[0].place is not None
    assert family.faults[0].place.text.strip().startswith("XL: {geometry.reach: 900}")


def test_fewer_than_two_that_can_be_made_are_no_comparison(file: str, tmp_path: Path) -> None:
    with pytest.raises(FrameError) as caught:
        solve_family(wanted_of([file, str(tmp_path / "none.yaml")]))
    assert [fault.code for fault in caught.value.faults] == ["file-missing"]


@pytest.mark.parametrize(("typed", "key"), [("{}:XXXL", "sizes"), ("{}:M+low", "settings")])
def test_a_size_that_nobody_named_is_told_with_the_line_that_names_them(
    file: str, typed: str, key: str
) -> None:
    family = solve_family(wanted_of([f"{file}:S", f"{file}:L", typed.format(file)]))
    fault = family.faults[0]
    assert fault.place is not None
    assert (fault.place.source, fault.place.text) == (file, f"{key}:")


def test_a_size_of_a_file_without_any(tmp_path: Path) -> None:
    plain = written(tmp_path, "plain.yaml", PLAIN)
    family = solve_family(wanted_of([plain, plain, f"{plain}:M"]))
    fault = family.faults[0]
    assert fault.hint == "the file has no sizes"
    assert fault.place is not None
    assert (fault.place.source, fault.place.line) == (plain, None)


def test_a_file_of_another_format_is_told_with_its_line(file: str, tmp_path: Path) -> None:
    other = written(tmp_path, "other.yaml", PLAIN.replace("format: 1", "format: 2"))
    family = solve_family(wanted_of([f"{file}:S", f"{file}:L", other]))
    assert [one.label for one in family.missing] == ["other"]
    fault = family.faults[0]
    assert fault.place is not None
    assert (fault.path, fault.place.text) == ("format", "format: 2")


def test_labels_are_short_and_unique(file: str, tmp_path: Path) -> None:
    plain = written(tmp_path, "plain.yaml", PLAIN)
    (tmp_path / "b").mkdir()
    twin = written(tmp_path / "b", "plain.yaml", PLAIN)

    def made(*named: str, **options: object) -> list[str]:
        return labels(wanted_of(named, **options))  # type: ignore[arg-type]

    assert made(file, size="all") == list(SIZES)
    assert made(file, f"{file}:L") == ["M", "L"]
    assert made(f"{file}:S+all") == ["S drawn", "S long", "S same"]
    assert made(file, plain) == ["trail", "plain"]
    assert made(f"{file}:L", f"{plain}") == ["trail L", "plain"]
    assert made(plain, twin) == [plain, twin]
    assert made(plain, plain, plain) == ["plain", "plain (2)", "plain (3)"]
    assert made(plain, swaps=["build.fork.offset=37"]) == ["drawn", "fork.offset=37"]
    swaps = ["build.fork.offset=37", "build.fork.travel=120"]
    assert made(plain, swaps=swaps) == ["drawn", "2 changes"]
    assert made(file, plain, swaps=swaps) == ["trail", "plain"]


def test_titles_say_everything(file: str) -> None:
    family = solve_family(wanted_of([f"{file}:L+long"], swaps=["build.fork.offset=37"]))
    assert [member.title for member in family.members] == [
        "Small bike, size L",
        "Small bike, size L, long, build.fork.offset=37",
    ]


def test_what_a_terminal_could_take_for_orders_is_escaped(tmp_path: Path) -> None:
    odd = written(tmp_path, "a\x1b[31m.yaml", PLAIN)
    plain = written(tmp_path, "plain.yaml", PLAIN)
    assert labels(wanted_of([odd, plain])) == [r"a\x1b[31m", "plain"]
