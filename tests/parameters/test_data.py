"""Plain data of a tree, and the sources of its values."""

from __future__ import annotations

import pytest

from frame3d.errors import Fault, SourceLocation, SpecError
from frame3d.parameters.reading import tree
from frame3d.parameters.reading.data import (
    Reading,
    first_of_each,
    in_order,
    no_mapping,
    places,
    refuse_unprintable,
)

WHOLE = SourceLocation("a.yaml")


def read(text: str) -> tuple[dict[str, object], Reading]:
    root = tree.parse(text, places(text, "a.yaml")).root
    assert isinstance(root, tree.Mapping)
    reading = Reading(WHOLE)
    return reading.mapping(root, ""), reading


def test_values_and_their_lines() -> None:
    data, reading = read('a: 1\nb.c: {d: [2, "3"]}\n')
    assert data == {"a": 1, "b.c": {"d": (2, "3")}}
    assert {p: (v.line, v.column) for p, v in reading.values.items() if p} == {
        "a": (1, 4),
        "b.c": (2, 6),
        "b.c.d": (2, 10),
        "b.c.d.0": (2, 11),
        "b.c.d.1": (2, 14),
    }
    assert reading.keys["b.c.d"].column == 7


def test_traps_are_faults_and_words_count_only_where_text_is_wanted() -> None:
    _, reading = read("a: 0600\nb: yes\nc: 1.0e-9\n")
    assert [(f.code, f.path) for f in reading.faults] == [
        ("yaml-trap", "a"),
        ("out-of-range", "c"),
    ]
    assert [f.path for f in reading.words] == ["b"]


@pytest.mark.parametrize(
    ("text", "what"), [("", "empty"), ("[1]", "a list"), ("word", "plain text")]
)
def test_a_text_that_is_no_mapping(text: str, what: str) -> None:
    fault = no_mapping(tree.parse(text, places(text, "a.yaml")).root, WHOLE, "begin with a: 1")
    assert what in fault.message
    assert fault.hint == "begin with a: 1"


def test_characters_that_nothing_shows_are_refused_with_their_place() -> None:
    text = "a: 1\nb: \x07\n"
    with pytest.raises(SpecError) as raised:
        refuse_unprintable(text, places(text, "a.yaml"))
    place = raised.value.faults[0].place
    assert place is not None
    assert (place.line, place.column) == (2, 4)


def test_each_path_has_its_first_fault_and_overrides_come_last() -> None:
    one = Fault("wrong-type", "a", "one", "", SourceLocation("a.yaml", 2, 1))
    two = Fault("out-of-range", "a", "two", "", SourceLocation("a.yaml", 1, 1))
    three = Fault("out-of-range", "b", "three", "", SourceLocation("--set b=1"))
    assert first_of_each([one], [two, three]) == [one, three]
    assert sorted([three, one], key=in_order) == [one, three]
