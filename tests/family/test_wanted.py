"""Which bikes are meant: files with sizes and settings, as typed."""

from __future__ import annotations

from pathlib import Path

import pytest

from frame3d.errors import SpecError
from frame3d.family.wanted import Unread, Wanted, read_name, wanted_of
from tests.family.files import PLAIN, SIZES, family_file, written


@pytest.fixture
def file(tmp_path: Path) -> str:
    return family_file(tmp_path)


@pytest.fixture
def plain(tmp_path: Path) -> str:
    return written(tmp_path, "plain.yaml", PLAIN)


def bikes(*named: str, **options: object) -> list[tuple[str | None, tuple[str, ...]]]:
    """Return size and settings of each bike."""
    found = wanted_of(named, **options)  # type: ignore[arg-type]
    assert all(isinstance(one, Wanted) for one in found)
    return [
        (one.choice.size, tuple(one.choice.settings)) for one in found if isinstance(one, Wanted)
    ]


def test_files_with_sizes_and_settings(file: str, plain: str) -> None:
    typed = [plain, f"{file}:L", f"{file}+long", f"{file}:XL+long+same", f"{file}:XXL+long"]
    assert bikes(*typed) == [
        (None, ()),
        ("L", ()),
        (None, ("long",)),
        ("XL", ("long", "same")),
        ("XXL", ("long",)),
    ]


def test_all_stands_for_each(file: str) -> None:
    assert bikes(file, size="all") == [(size, ()) for size in SIZES]
    assert bikes(f"{file}:all") == [(size, ()) for size in SIZES]
    settings = [(None, ()), (None, ("long",)), (None, ("same",))]
    assert bikes(file, settings=["all"]) == settings
    assert bikes(f"{file}:S+all", f"{file}:M") == [
        *(("S", chosen) for _, chosen in settings),
        ("M", ()),
    ]


def test_what_a_name_says_comes_before_the_options(file: str, plain: str) -> None:
    options = {"size": "M", "settings": ["long"]}
    assert bikes(f"{file}:S", f"{file}+same", f"{file}+drawn", **options) == [
        ("S", ("long",)),
        ("M", ("same",)),
        ("M", ()),
    ]


def test_one_bike_with_changes_is_compared_with_itself(file: str, plain: str) -> None:
    assert bikes(f"{file}:L", settings=["long"]) == [("L", ()), ("L", ("long",))]
    found = wanted_of([plain], sets=["geometry.reach=470"], swaps=["build.fork.offset=37"])
    choices = [one.choice for one in found if isinstance(one, Wanted)]
    assert [(c.sets, c.swaps) for c in choices] == [
        ((), ()),
        (("geometry.reach=470",), ("build.fork.offset=37",)),
    ]


def test_a_size_alone_is_compared_with_the_default_where_one_is_enough(
    file: str, plain: str
) -> None:
    assert bikes(f"{file}:L", fewest=1) == [("M", ()), ("L", ())]
    assert bikes(file, size="XL", fewest=1) == [("M", ()), ("XL", ())]
    assert bikes(file, fewest=1) == [(None, ())]
    assert bikes(f"{file}:M", fewest=1) == [("M", ())]
    assert bikes(f"{file}:L+long", fewest=1) == [("L", ()), ("L", ("long",))]
    assert bikes(f"{plain}:L", fewest=1) == [("L", ())]  # a size that it has not, told when solved
    with pytest.raises(SpecError, match="one bike is nothing"):
        wanted_of([f"{file}:L"])


def test_a_name_with_a_colon_or_another_ending(tmp_path: Path) -> None:
    odd = written(tmp_path, "a:b.yaml", PLAIN)
    text = written(tmp_path, "bike.txt", PLAIN)
    assert bikes(odd, text) == [(None, ()), (None, ())]
    assert bikes(odd, f"{text}:M") == [(None, ()), ("M", ())]


def test_a_file_that_cannot_be_read_stands_in_its_place(plain: str, tmp_path: Path) -> None:
    found = wanted_of([str(tmp_path / "none.yaml:L"), plain])
    assert isinstance(found[0], Unread)
    assert found[0].faults[0].code == "file-missing"
    bad = written(tmp_path, "bad.yaml", "format: 1\nsizes: [S, S]\n")
    found = wanted_of([plain, bad])
    assert isinstance(found[1], Unread)
    assert found[1].faults[0].code == "duplicate-key"
    found = wanted_of([plain, f"{plain}:all"])
    assert isinstance(found[1], Unread)
    assert found[1].faults[0].message == "the file has no sizes"


@pytest.mark.parametrize(
    ("count", "said"),
    [(0, "no bike is named"), (1, "one bike is nothing"), (9, "9 bikes; at most 8")],
)
def test_fewer_than_two_and_more_than_eight(plain: str, count: int, said: str) -> None:
    with pytest.raises(SpecError) as caught:
        wanted_of([plain] * count)
    fault = caught.value.faults[0]
    assert (fault.code, fault.message.startswith(said)) == ("comparison", True)
    assert fault.place is not None
    assert fault.place.source.startswith("compare")


def test_one_that_cannot_be_read_alone_is_told(tmp_path: Path) -> None:
    with pytest.raises(SpecError) as caught:
        wanted_of([str(tmp_path / "none.yaml")])
    assert caught.value.faults[0].code == "file-missing"


def test_a_name_is_read_as_file_size_and_settings() -> None:
    assert read_name("trail.yaml") == ("trail.yaml", None, ())
    assert read_name("trail.yaml:L+low+long") == ("trail.yaml", "L", ("low", "long"))
    assert read_name("trail.yaml+low") == ("trail.yaml", None, ("low",))
