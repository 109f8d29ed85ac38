"""The text as YAML: what is not well-formed, beyond the limits, or has no place in a parameter file."""

from __future__ import annotations

from io import StringIO
from typing import Any

import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st
from ruamel.yaml import YAML
from ruamel.yaml.error import YAMLError

from frame3d.errors import SourceLocation, SpecError
from frame3d.parameters import loads
from frame3d.parameters.reading.tree import (
    MAX_LINE,
    MAX_VALUES,
    Mapping,
    Node,
    Scalar,
    Sequence,
    join,
    parse,
)
from tests.parameters.faults import GEO, HEAD, Row, hold, row_name

ROWS: list[Row] = [
    (HEAD + "geometry:\n\treach: 455\n", "yaml-syntax", "", (4, 1), "tab", "spaces"),
    (HEAD + "notes: a: b\n", "yaml-syntax", "", (3, 9), "': '", "quotes"),
    (HEAD + "notes: 'open\n", "yaml-syntax", "", (3, 8), "not closed", "close the quote"),
    (HEAD + 'notes: "a\\q"\n', "yaml-syntax", "", (3, 11), "escape", "single quotes"),
    (HEAD + 'notes: "\\UFFFFFFFF"\n', "yaml-syntax", "", (3, 1), "not well-formed", "escape"),
    (HEAD + "geometry: {reach: 1\n", "yaml-syntax", "", (3, 11), "not closed", "{key: value"),
    (HEAD + "notes: @home\n", "yaml-syntax", "", (3, 8), "cannot start", "quotes"),
    (HEAD + "geometry:\n  reach: 1\n stack: 2\n", "yaml-syntax", "", (5, 2), "indented", "alike"),
    (HEAD + "geometry\n", "yaml-syntax", "", (3, 1), "colon|': '", "key: value"),
    (GEO + "---\nformat: 1\n", "yaml-syntax", "", (4, 1), "second document", "one bike a file"),
    ("%YAML 1.1\n---\n" + GEO, "yaml-syntax", "", (2, 1), "YAML 1.2", "%YAML"),
    (GEO + "notes: " + "[" * 40 + "]" * 40, "yaml-depth", "", (4, 31), "24 levels", "bracket"),
    (GEO + "notes: !!python/name:os.system x\n", "yaml-tag", "notes", (4, 8), "!!python", "take"),
    (GEO + "notes: !mine x\n", "yaml-tag", "notes", (4, 8), "!mine", "take the tag out"),
    (HEAD + "geometry: !!set {reach: 455}\n", "yaml-tag", "geometry", (3, 11), "!!set", "take"),
    (HEAD + "geometry: &g {reach: *g}\n", "yaml-alias", "", (3, 22), "itself", "write"),
    (HEAD + "geometry: {reach: *r}\n", "yaml-alias", "", (3, 19), "stands for nothing", "none"),
    (HEAD + "geometry: {<<: 5}\n", "wrong-type", "geometry.<<", (3, 12), "mapping", "<<: *anchor"),
    (GEO + "name: Again\n", "duplicate-key", "name", (4, 1), "twice here, first on line 2", "keep"),
    (
        HEAD + "geometry: {reach: 1, reach: 2}\n",
        "duplicate-key",
        "geometry.reach",
        (3, 22),
        "twice",
        "keep one",
    ),
    (
        GEO + "? [1, 2]\n: 3\n",
        "wrong-type",
        "",
        (4, 3),
        "key must be plain text",
        "key: value",
    ),
]


@pytest.mark.parametrize("row", ROWS, ids=row_name)
def test_fault(row: Row) -> None:
    hold(row)


@pytest.mark.parametrize(
    ("text", "line", "column"),
    [
        ("format: 1\nname: X\ngeometry:\n  reach 455\n  stack: 600\n", 4, 3),
        ("format: 1\nname: X\ngeometry:\n  reach 455   # long\n\n  # a note\n  stack: 600\n", 4, 3),
        ("format: 1\nname: X\ngeometry:\n  stack: 600\n  reach 455\n  bb_drop: 60\n", 5, 3),
        ("format: 1\nname: X\nbuild:\n  fork\n    travel: 130\n", 4, 3),
        ("format: 1\nname: X\nbuild:\n  fork:\n    travel 130\n    offset: 44\n", 5, 5),
    ],
)
def test_a_missing_colon_is_told_where_it_is_missing(text: str, line: int, column: int) -> None:
    with pytest.raises(SpecError) as caught:
        loads(text)
    (fault,) = caught.value.faults
    assert fault.code == "yaml-syntax"
    assert "a key without its ': ' and value" in fault.message
    assert fault.place is not None
    assert (fault.place.line, fault.place.column) == (line, column)


@pytest.mark.parametrize(
    ("text", "line"), [("name: a: b\n", 1), ("format: 1\nname: X\n  geometry: 3\n", 3)]
)
def test_a_second_colon_stays_what_it_is(text: str, line: int) -> None:
    with pytest.raises(SpecError) as caught:
        loads(text)
    (fault,) = caught.value.faults
    assert "a second ': '" in fault.message
    assert fault.place is not None
    assert fault.place.line == line


def place(line: int, column: int) -> SourceLocation:
    return SourceLocation("bike.yaml", line, column)


def plain(node: Node | None) -> Any:
    """A tree as plain lists, mappings and texts."""
    if isinstance(node, Sequence):
        return [plain(item) for item in node.items]
    if isinstance(node, Mapping):
        return {key: plain(entry.node) for key, entry in node.entries.items()}
    return node.text if node is not None else None


def scalars(node: Node | None) -> list[Scalar]:
    """Every scalar of a tree, keys among them."""
    if isinstance(node, Sequence):
        return [s for item in node.items for s in scalars(item)]
    if isinstance(node, Mapping):
        return [s for e in node.entries.values() for s in (e.key, *scalars(e.node))]
    return [] if node is None else [node]


TEXTS = st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]), max_size=8)
DATA = st.recursive(
    TEXTS,
    lambda inner: st.one_of(
        st.lists(inner, max_size=3), st.dictionaries(TEXTS.filter(bool), inner, max_size=3)
    ),
    max_leaves=12,
)


def reads_back(text: str, data: Any) -> bool:
    """Whether ruamel.yaml reads what it wrote."""
    try:
        return bool(YAML(typ="safe", pure=True).load(text) == data)
    except YAMLError:
        return False


@settings(max_examples=50, deadline=None)
@given(DATA, st.booleans())
@example({"?0": "a"}, True)
@example([":0"], True)
def test_what_another_writer_wrote_is_read_with_its_places(data: Any, flow: bool) -> None:
    """Written by ruamel.yaml; places and spans held against the text itself.

    Left out is what it cannot read itself: in flow style it writes ``[?0]`` and ``{:0: a}`` (0.19.1).
    """
    out, yaml = StringIO(), YAML(typ="safe", pure=True)
    yaml.default_flow_style = flow
    yaml.dump(data, out)
    text = out.getvalue()
    assume(reads_back(text, data))
    parsed = parse(text, place)
    assert plain(parsed.root) == data
    rows = text.split("\n")
    for scalar in scalars(parsed.root):
        start, end = scalar.span
        assert scalar.plain == (text[start:end][:1] not in ("'", '"', "|", ">") or start == end)
        if scalar.plain and "\n" not in scalar.text:
            assert text[start:end] == scalar.text
        where = scalar.place
        assert where.line is not None
        assert where.column is not None
        assert sum(len(row) + 1 for row in rows[: where.line - 1]) + where.column - 1 == start


def test_an_alias_stands_for_its_anchor_and_both_are_shared() -> None:
    root = parse("a: &x {b: 1}\nc: *x\nd: {<<: *x, e: 2}\nf: 3\n", place).root
    assert plain(root) == {"a": {"b": "1"}, "c": {"b": "1"}, "d": {"b": "1", "e": "2"}, "f": "3"}
    shared = {scalar.text: scalar.is_shared for scalar in scalars(root)}
    assert shared["b"]
    assert shared["1"]
    assert not shared["2"]
    assert not shared["3"]


def test_what_a_mapping_says_itself_holds_against_what_it_takes_over() -> None:
    root = parse("a: &x {b: 1, c: 2}\nd: {b: 9, <<: *x}\ne: {<<: [*x, {b: 3, f: 4}]}\n", place).root
    assert plain(root)["d"] == {"b": "9", "c": "2"}
    assert plain(root)["e"] == {
        "b": "1",
        "c": "2",
        "f": "4",
    }  # the first of several, as YAML 1.1 has it


def test_as_many_values_as_allowed_and_one_more() -> None:
    """Aliases count as what they stand for: 1 + 199 · (1 + 99) + 99 values."""
    text = f"- &a [{'x, ' * 99}]\n" + "- *a\n" * 198 + "- x\n" * 99
    assert MAX_VALUES == 20_000
    assert len(scalars(parse(text, place).root)) == 199 * 99 + 99
    with pytest.raises(SpecError) as caught:
        parse(text + "- x\n", place)
    (fault,) = caught.value.faults
    assert fault.code == "yaml-alias"
    assert fault.place == place(299, 3)


def test_a_long_line_is_refused_only_where_it_holds_a_long_mark() -> None:
    parse("a: " + "b" * MAX_LINE, place)
    with pytest.raises(SpecError) as caught:
        parse("a: 1\nb: &" + "c" * MAX_LINE + " 1", place)
    (fault,) = caught.value.faults
    assert (fault.code, fault.place) == ("file-too-large", place(2, 1))


def test_paths_are_joined_by_dots() -> None:
    assert join(join("", "tubes"), "top_tube") == "tubes.top_tube"
