"""The bike's file of a study: what stands at its paths, and its own faults."""

from __future__ import annotations

import pytest

from frame3d.errors import SpecError
from frame3d.explore.study.bike_file import BikeFile, at_path, leaves
from frame3d.parameters.reading import tree
from frame3d.parameters.reading.data import places
from tests.explore.study.faults import FAMILY, FULL


def node(text: str) -> tree.Node:
    root = tree.parse(text, places(text, "a.yaml")).root
    assert root is not None
    return root


@pytest.mark.parametrize(
    ("path", "text"),
    [("a.b", "1"), ("c.0", "2"), ("c.1.d", "3"), ("e.f", "4"), ("e.g.h", "5"), ("a.x", None),
     ("c.2", None), ("c.x", None), ("a.b.c", None)],
)  # fmt: skip
def test_paths_lead_through_keys_lists_and_dotted_keys(path: str, text: str | None) -> None:
    root = node("{a: {b: 1}, c: [2, {d: 3}], e.f: 4, e: {g.h: 5}}")
    found = at_path(root, path.split("."))
    assert (found.text if isinstance(found, tree.Scalar) else None) == text


def test_leaves_are_told_with_their_paths() -> None:
    found = [(path, scalar.text) for path, scalar in leaves(node("{a: {b: 1}, c: [2, 3]}"))]
    assert found == [("a.b", "1"), ("c.0", "2"), ("c.1", "3")]


def test_numbers_of_the_file_without_names() -> None:
    numbers = BikeFile(FULL, "b.yaml").numbers
    assert "geometry.reach" in numbers
    assert "suspension.sag" in numbers
    assert "build.rear_wheel.tyre" not in numbers
    assert "format" not in numbers


def test_a_size_gives_its_own_value_and_the_file_its_rule() -> None:
    bike = BikeFile(FAMILY, "b.yaml")
    assert bike.text_at("geometry.reach", "S") == "440"
    assert bike.text_at("geometry.reach", "M") == "460"
    assert bike.text_at("geometry.reach.from") == "440"
    assert bike.text_at("geometry") is None
    assert bike.spec(["geometry.reach.from=445"], "M").geometry.reach == 465


@pytest.mark.parametrize("text", ["a: [1\n", "a: \x07\n", "sizes: {s: {}}\n"])
def test_faults_of_the_file_are_told_as_its_own(text: str) -> None:
    with pytest.raises(SpecError) as raised:
        BikeFile(text, "b.yaml")
    fault = raised.value.faults[0]
    assert fault.message.startswith("the bike's own file is at fault: ")
    assert fault.place is not None
    assert fault.place.source == "b.yaml"
