"""Reading files: places, encodings, limits, anchors."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest

from frame3d.errors import Fault, SourceLocation, SpecError
from frame3d.parameters import load, loads
from frame3d.parameters.reading.reader import MAX_BYTES
from frame3d.parameters.starters.starter import starter

GOOD = """\
format: 1
name: Test
geometry:
  reach: 455
  stack: 620
build:
  front_wheel: &wheel {tyre: 61-622}
  rear_wheel: *wheel
tubes:
  chainstay:
    pair: true
    start: {on: bottom_bracket, y: 29}
    bends:
      - along: 110
        radius: 180
      - {along: 200,
         radius: 150}
    end: {on: rear_dropout}
    od: {start: {height: 30, width: 17}, end: 16}
    wall: 1.0
"""


def one_fault(raised: pytest.ExceptionInfo[SpecError]) -> Fault:
    assert len(raised.value.faults) == 1
    return raised.value.faults[0]


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "bike.yaml"


def test_a_file_and_its_text_read_the_same(file: Path) -> None:
    file.write_text(GOOD, encoding="utf-8")
    spec = load(file)
    assert spec == loads(GOOD, str(file))
    assert load(str(file)) == spec
    assert spec.geometry.reach == 455
    assert spec.tubes["chainstay"].bends[1].radius == 150
    assert spec.tubes["chainstay"].start is not None
    assert spec.tubes["chainstay"].start.on == "bottom_bracket"


@pytest.mark.parametrize(
    ("path", "line", "column"),
    [
        ("format", 1, 9),
        ("geometry", 3, 1),  # a block: its key
        ("geometry.reach", 4, 10),
        ("build.front_wheel", 7, 16),
        ("build.front_wheel.tyre", 7, 30),
        ("build.rear_wheel.tyre", 7, 30),  # where the alias's value stands
        ("tubes.chainstay", 10, 3),
        ("tubes.chainstay.start.on", 12, 17),
        ("tubes.chainstay.bends", 13, 5),
        ("tubes.chainstay.bends.0", 14, 9),
        ("tubes.chainstay.bends.0.radius", 15, 17),
        ("tubes.chainstay.bends.1.along", 16, 17),
        ("tubes.chainstay.bends.1.radius", 17, 18),
        ("tubes.chainstay.od.start.width", 19, 37),
        ("tubes.chainstay.material", 10, 3),  # absent: the nearest that is there
        ("tubes.chainstay.end.stop_short", 18, 10),
    ],
)
def test_places(path: str, line: int, column: int) -> None:
    place = loads(GOOD, "bike.yaml").place(path)
    assert place == SourceLocation("bike.yaml", line, column, GOOD.splitlines()[line - 1])


def test_what_is_absent_at_the_top_has_the_file_for_its_place() -> None:
    assert loads(GOOD, "bike.yaml").place("colour") == SourceLocation("bike.yaml")


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_line_ends(end: str) -> None:
    spec = loads(GOOD.replace("\n", end))
    place = spec.place("tubes.chainstay.wall")
    assert place is not None
    assert (place.line, place.column, place.text) == (20, 11, "    wall: 1.0")


@pytest.mark.parametrize("bad", ["\u2028", "\x85", "\u200b", "\ufeff", "\ufffe", "\ud800", "\x7f"])
def test_characters_that_hide_or_break_lines(bad: str) -> None:
    with pytest.raises(SpecError) as caught:
        loads(f"format: 1\nname: Tes{bad}t\ngeometry: {{}}\n")
    fault = one_fault(caught)
    assert (fault.code, fault.place and fault.place.line) == ("file-encoding", 2)
    assert f"U+{ord(bad):04X}" in fault.message


def test_joiners_and_emoji_may_stand_in_notes() -> None:
    assert (
        loads("format: 1\nname: T\ngeometry: {} # \N{ADULT}\u200d\N{ROCKET} \U0001fae9\n").name
        == "T"
    )


def test_a_byte_order_mark_is_no_matter(file: Path) -> None:
    file.write_bytes(b"\xef\xbb\xbf" + GOOD.encode())
    place = load(file).place("format")
    assert place is not None
    assert (place.line, place.column) == (1, 9)
    assert loads("\ufeff" + GOOD) == loads(GOOD)


def test_other_alphabets(file: Path) -> None:
    file.write_text(GOOD.replace("Test", "Größe Ö 車"), encoding="utf-8")
    assert load(file).name == "Größe Ö 車"


@pytest.mark.parametrize(
    ("raw", "code", "line", "column", "message"),
    [
        (GOOD.encode("utf-16"), "file-encoding", None, None, "UTF-16"),
        (b"format: 1\nname: Gr\xf6\xdfe\n", "file-encoding", 2, 9, "0xF6"),
        (b"format: 1\nname: a\x00b\n", "file-encoding", 2, 8, "U+0000"),
        (b"#" * (MAX_BYTES + 1), "file-too-large", None, None, "1024 KiB"),
        (b"", "missing-key", None, None, "empty"),
    ],
)
def test_bytes(
    file: Path, raw: bytes, code: str, line: int | None, column: int | None, message: str
) -> None:
    file.write_bytes(raw)
    with pytest.raises(SpecError) as caught:
        load(file)
    fault = one_fault(caught)
    assert fault.code == code
    assert fault.place is not None
    assert (fault.place.source, fault.place.line, fault.place.column) == (str(file), line, column)
    assert message in fault.message
    assert fault.hint


def test_the_largest_file_that_is_allowed(file: Path) -> None:
    raw = GOOD.encode()
    file.write_bytes(raw + b"#" * (MAX_BYTES - len(raw)))
    assert load(file).model_dump() == loads(GOOD).model_dump()


def test_no_file_a_folder_and_a_file_that_may_not_be_read(tmp_path: Path) -> None:
    for path, said in ((tmp_path / "none.yaml", "no such file"), (tmp_path, "folder")):
        with pytest.raises(SpecError) as caught:
            load(path)
        fault = one_fault(caught)
        assert fault.code == "file-missing"
        assert said in fault.message
        assert fault.place == SourceLocation(str(path))
    with pytest.raises(SpecError) as caught:
        load("nul\0character.yaml")
    assert one_fault(caught).code == "file-missing"
    shut = tmp_path / "shut.yaml"
    shut.write_text(GOOD)
    shut.chmod(0)
    if not os.access(shut, os.R_OK):  # root reads everything
        with pytest.raises(SpecError) as caught:
            load(shut)
        assert one_fault(caught).code == "file-missing"


def test_an_unclosed_bomb_is_refused_before_it_goes_off() -> None:
    """Nine levels of nine aliases: 387 million values in 300 bytes."""
    rows = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    rows += [f"a{i}: &a{i} [{', '.join([f'*a{i - 1}'] * 9)}]" for i in range(1, 9)]
    start = time.process_time()
    with pytest.raises(SpecError) as caught:
        loads("\n".join(rows))
    assert time.process_time() - start < 5
    fault = one_fault(caught)
    assert fault.code == "yaml-alias"
    assert "20000" in fault.message
    assert fault.place is not None
    assert fault.place.line == 5  # 9 + 90 + 819 + 7380 fit


def test_too_many_values_without_aliases() -> None:
    with pytest.raises(SpecError) as caught:
        loads("a: [" + "1, " * 20_001 + "]")
    assert one_fault(caught).code == "file-too-large"


@pytest.mark.parametrize("opener", ["[", "{a: ", "- ", "? "])
def test_nesting_beyond_reason(opener: str) -> None:
    with pytest.raises(SpecError) as caught:
        loads("x: 1\ny:\n  " + opener * 50_000)
    assert one_fault(caught).code in ("yaml-depth", "yaml-syntax")


def test_aliases_that_nest_beyond_reason() -> None:
    rows = ["a0: &a0 [x]"] + [f"a{i}: &a{i} [*a{i - 1}]" for i in range(1, 40)]
    with pytest.raises(SpecError) as caught:
        loads("\n".join(rows))
    assert one_fault(caught).code == "yaml-alias"


def test_anchors_used_sanely_and_merge_keys() -> None:
    text = """\
format: 1
name: Test
geometry: {}
tubes:
  stay: &stay
    start: &low {on: bottom_bracket, y: 20}
    end: {on: rear_dropout}
    pair: true
    od: 16
    wall: 1
  upper_stay:
    <<: *stay
    start: {<<: [*low], y: 30}
    wall: 0.8
"""
    tubes = loads(text).tubes
    upper, lower = tubes["upper_stay"], tubes["stay"]
    assert (upper.pair, upper.od, upper.wall, upper.end) == (True, 16, 0.8, lower.end)
    assert upper.start is not None
    assert (upper.start.on, upper.start.y) == ("bottom_bracket", 30)
    assert lower.start is not None
    assert lower.start.y == 20


def test_a_key_that_is_on_is_plain_text() -> None:
    """YAML 1.1 takes `on` and `y` for booleans; YAML 1.2, and so this format, for text."""
    spec = loads(GOOD)
    start = spec.tubes["chainstay"].start
    assert start is not None
    assert (start.on, start.y) == ("bottom_bracket", 29)


def test_nothing_as_a_value_leaves_the_key_open() -> None:
    spec = loads("format: 1\nname: T\ngeometry: {reach: , stack: ~, trail: null}\nbuild:\ntubes:\n")
    assert spec.geometry.reach is None
    assert spec.tubes == {}
    assert spec.build.fork is None


def test_reserved_sections_may_stand_empty() -> None:
    loads("format: 1\nname: T\ngeometry: {}\nsuspension: {}\nclearance: {}\n")
    loads("format: 1\nname: T\ngeometry: {}\nsuspension:\nclearance: ~\n")


def test_4130_needs_no_quotes() -> None:
    text = "format: 1\nname: T\ngeometry: {}\nmaterial: "
    assert loads(text + "4130").material == loads(text + '"4130"').material == "4130"


def test_long_lines_are_not_shown_whole() -> None:
    text = "format: 1\nname: T\ngeometry: {reach: x} # " + "n" * 5000
    with pytest.raises(SpecError) as caught:
        loads(text)
    assert len(str(caught.value)) < 1000
    wide = "format: 1\nname: T\ngeometry: {" + " " * 5000 + "reach: x}"
    with pytest.raises(SpecError) as caught:
        loads(wide)
    assert len(str(caught.value)) < 1000
    assert ":3:5019: " in str(caught.value)


def test_the_spec_is_frozen() -> None:
    spec = loads(starter("Test"))
    with pytest.raises(Exception, match="frozen"):
        spec.name = "Other"  # type: ignore[misc]
    places = {"x": SourceLocation("y")}
    traced = spec.traced(places)
    places["x"] = SourceLocation("z")
    assert traced.place("x") == SourceLocation("y")
