"""Values put at dotted paths of a tree."""

from __future__ import annotations

import pytest

from frame3d.errors import SourceLocation, SpecError
from frame3d.parameters.reading.putting import Put, is_nothing, leaves, merged, steps_of
from frame3d.parameters.reading.tree import Mapping, Node, Scalar, parse
from frame3d.parameters.reading.tree import Sequence as Items

HERE = SourceLocation("here")


def tree_of(text: str) -> Mapping:
    root = parse(text, lambda line, column: SourceLocation("text", line, column)).root
    assert isinstance(root, Mapping)
    return root


def plain(node: Node) -> object:
    if isinstance(node, Mapping):
        return {key: plain(entry.node) for key, entry in node.entries.items()}
    return [plain(item) for item in node.items] if isinstance(node, Items) else node.text


@pytest.mark.parametrize(
    ("before", "changes", "after"),
    [
        ("a: 1", "a: 2", {"a": "2"}),
        ("a: {b: 1, c: 2}", "a: {b: 3}", {"a": {"b": "3", "c": "2"}}),
        ("a: {b: 1, c: 2}", "a.b: 3", {"a": {"b": "3", "c": "2"}}),
        ("a: {b: 1, c: 2}", " a . b : 3", {"a": {"b": "3", "c": "2"}}),
        ("a: {b: {c: 1, d: 2}}", "a.b: {c: 3}", {"a": {"b": {"c": "3", "d": "2"}}}),
        ("a: {b: 1, c: 2}", "a: {b: null}", {"a": {"c": "2"}}),
        ("a: {b: 1, c: 2}", "a: null", {}),
        ("a: [1, 2]", "a: [3]", {"a": ["3"]}),
        ("a: [1, 2]", "a.1: 3", {"a": ["1", "3"]}),
        ("a: [{b: 1, c: 2}]", "a.0: {b: 3}", {"a": [{"b": "3", "c": "2"}]}),
        ("a: [1, 2]", "a.2: 3", {"a": ["1", "2", "3"]}),
        ("a: [1, 2]", "a.0: null", {"a": ["2"]}),
        ("a: 1", "a: {b: 2}", {"a": {"b": "2"}}),
        ("a: 1", "b.c: {d: 2}", {"a": "1", "b": {"c": {"d": "2"}}}),
        ("a: 1", "b: {c.d: 2}", {"a": "1", "b": {"c": {"d": "2"}}}),
    ],
)
def test_merging(before: str, changes: str, after: object) -> None:
    root = tree_of(before)
    was = plain(root)
    assert plain(merged(root, tree_of(changes))) == after
    assert plain(root) == was


def test_a_value_keeps_its_line_and_created_keys_have_that_of_the_change() -> None:
    out = merged(tree_of("a: 1"), tree_of("\n\nb:\n  c.d: 2"))
    assert isinstance(out, Mapping)
    assert out.entries["b"].key.place.line == 3
    below = out.entries["b"].node
    assert isinstance(below, Mapping)
    assert below.entries["c"].key.place.line == 4


def test_without_merging_a_mapping_replaces() -> None:
    put = Put(HERE).at(tree_of("a: {b: 1, c: 2}"), ["a"], tree_of("b: 3"))
    assert plain(put) == {"a": {"b": "3"}}


@pytest.mark.parametrize(
    ("before", "changes", "path", "message"),
    [
        ("a: 1", "a.b.c: 2", "a", "is 1, which has no b in it"),
        ("a: [1]", "a.x: 2", "a", "is a list, without x"),
        ("a: [1]", "a.3: 2", "a", "is a list, without 3"),
        ("a: []", "a.0: null", "a", "nothing stands at 0"),
    ],
)
def test_ways_that_lead_nowhere(before: str, changes: str, path: str, message: str) -> None:
    with pytest.raises(SpecError) as caught:
        merged(tree_of(before), tree_of(changes))
    fault = caught.value.faults[0]
    assert (fault.path, fault.message) == (path, message)
    assert fault.place is not None
    assert fault.place.line == 1


def test_leaves_are_the_values_that_are_put() -> None:
    changes = tree_of("a.b: 1\nc: {d: [1, 2], e: {f: null}}\ng: {}")
    assert list(leaves(changes)) == ["a.b", "c.d", "c.e.f", "g"]
    assert steps_of(" a . b") == ["a", "b"]


def test_nothing() -> None:
    assert is_nothing(Scalar("null", True, HERE))
    assert is_nothing(Scalar("", True, HERE))
    assert not is_nothing(Scalar("null", False, HERE))
    assert not is_nothing(Mapping({}, HERE))
