"""Names: of bikes, tubes and files."""

from __future__ import annotations

from pathlib import PurePosixPath, PureWindowsPath

import pytest

from frame3d.parameters.models.names import file_name, wrong_with
from frame3d.parameters.reading.reader import loads
from tests.parameters.faults import GEO, TUBE, Row, hold, row_name

ROWS: list[Row] = [
    (GEO.replace("Test", ".."), "bad-name", "name", (2, 1), "dot", "Trail hardtail 29"),
    (GEO.replace("Test", "../a"), "bad-name", "name", (2, 1), "dot", "letters"),
    (GEO.replace("Test", ".hidden"), "bad-name", "name", (2, 1), "dot", "letters"),
    (GEO.replace("Test", '"a\\u0007b"'), "bad-name", "name", (2, 1), "U+0007", "letters"),
    (GEO.replace("Test", '"a\\u202eb"'), "bad-name", "name", (2, 1), "U+202E", "letters"),
    (GEO.replace("Test", '" "'), "bad-name", "name", (2, 1), "empty", "letters"),
    (GEO.replace("Test", "nul.bike"), "bad-name", "name", (2, 1), "device", "letters"),
    (GEO.replace("Test", "x" * 81), "bad-name", "name", (2, 1), "81 characters", "letters"),
    (GEO + 'notes: "a\\0b"\n', "bad-name", "notes", (4, 1), "U+0000", "plain text"),
    (GEO + 'shop: "a\\nb"\n', "bad-name", "shop", (4, 1), "U+000A", "one line"),
    (GEO + 'shop: " "\n', "bad-name", "shop", (4, 1), "empty", "one line"),
    (GEO + f"shop: {'x' * 81}\n", "bad-name", "shop", (4, 1), "81 characters", "one line"),
    (GEO + "shop: 5\n", "wrong-type", "shop", (4, 7), "5 is no text", "in quotes"),
    (
        GEO + f"tubes: {{Down Tube: {{start: {{at: [1, 2, 3]}}, {TUBE}}}}}\n",
        "bad-name",
        "tubes.Down Tube",
        (4, 9),
        "not a name",
        "e.g. down_tube",
    ),
    (
        GEO + f"tubes: {{rear_axle: {{start: {{at: [1, 2, 3]}}, {TUBE}}}}}\n",
        "bad-name",
        "tubes.rear_axle",
        (4, 9),
        "names a node",
        "brace",
    ),
]


@pytest.mark.parametrize("row", ROWS, ids=row_name)
def test_fault(row: Row) -> None:
    hold(row)


@pytest.mark.parametrize("shop", ["Hill & Dale Frames Ltd.", ".bikes", "nul", 'The "Shed"'])
def test_a_shops_name_is_any_line(shop: str) -> None:
    """It names no file, so a dot at its end stays."""
    quoted = shop.replace('"', '\\"')
    assert loads(GEO + f'shop: "{quoted}"\n').shop == shop


@pytest.mark.parametrize(
    "name",
    [
        "Trail hardtail 29",
        "Größe 54",
        "Kid's 20\"",
        "x",
        "29 + (long)",
        "v1.2",
        "conn",
        "29/27.5",
        "a\\b",
    ],
)
def test_good_names(name: str) -> None:
    assert wrong_with(name) == ""


@pytest.mark.parametrize(
    "name",
    [
        "",
        " ",
        " a",
        "a ",
        "..",
        ".",
        "../a",
        "a/..",
        "a/\n",
        "a\nb",
        "a\u200bb",
        "con",
        "LPT1.x",
        "a.",
    ],
)
def test_bad_names(name: str) -> None:
    assert wrong_with(name)


@pytest.mark.parametrize(
    ("name", "safe"),
    [
        ("29/27.5", "29-27.5"),
        ("a\\b", "a-b"),
        ("/etc/x", "-etc-x"),
        ("a/../../b", "a-..-..-b"),
        ("C:\\x", "C--x"),
        ("Kid's 20\"", "Kid's 20-"),
        ("what? <a|b> *", "what- -a-b- -"),
        ("Größe 54 (long)", "Größe 54 (long)"),
    ],
)
def test_a_name_in_the_name_of_a_file_stays_in_its_folder(name: str, safe: str) -> None:
    r"""What Windows keeps out of file names: / \ : * ? " < > | (value from memory of its manual)."""
    assert wrong_with(name) == ""
    assert file_name(name) == safe
    for path in (PurePosixPath(safe), PureWindowsPath(safe)):
        assert path.parts == (safe,)
