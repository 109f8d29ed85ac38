"""The text as YAML: what is not well-formed, beyond the limits, or has no place in a parameter file."""

from __future__ import annotations

import pytest

from frame3d.errors import SpecError
from frame3d.parameters import loads
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
