"""Numbers changed in the text of a file: nothing else of it changes."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from ruamel.yaml import YAML

from frame3d.errors import SpecError
from frame3d.parameters.reading.editing import numbers, scalars, with_numbers, written
from frame3d.parameters.reading.tree import MAX_DEPTH
from tests.sampling import everyday

CONFIGS = sorted((Path(__file__).parents[2] / "configs").glob("*.yaml"))


def plain(text: str) -> object:
    """The text's data, by an independent reader of the whole of YAML."""
    return YAML(typ="safe", pure=True).load(text)


def at(data: object, path: str) -> object:
    for key in path.split("."):
        data = data[int(key)] if isinstance(data, list) else data[key]  # type: ignore[index]
    return data


@pytest.mark.parametrize("file", CONFIGS, ids=lambda f: f.stem)
def test_every_number_of_the_demos_is_found_where_it_stands(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    found = numbers(text)
    assert len(found) > 5
    data = plain(text)
    for path, scalar in found.items():
        assert text[scalar.start : scalar.end] == scalar.text
        assert text[: scalar.start].count("\n") == scalar.line - 1
        value = at(data, path)
        assert scalar.number == (float(value[:-1]) if isinstance(value, str) else value)
    assert "format" not in found


@pytest.mark.parametrize(
    "file",
    everyday([f for f in CONFIGS if f.stem in ("minimal", "trail_full_140")], CONFIGS),
    ids=lambda f: f.stem,
)
def test_one_number_changes_and_all_else_stays(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    for path, scalar in numbers(text).items():
        assert scalar.number is not None
        after = with_numbers(text, {path: scalar.number + 1})
        before_lines, after_lines = text.split("\n"), after.split("\n")
        assert len(before_lines) == len(after_lines)
        changed = [
            i for i, (a, b) in enumerate(zip(before_lines, after_lines, strict=True)) if a != b
        ]
        assert changed == [scalar.line - 1], path
        assert numbers(after)[path].number == pytest.approx(scalar.number + 1)
        assert (
            after_lines[changed[0]].partition("#")[2] == before_lines[changed[0]].partition("#")[2]
        )


def test_comments_keep_their_columns() -> None:
    text = "a: 9      # nine\nb: {c: 10}  # in braces\nd: 1 # no room\n"
    assert with_numbers(text, {"a": 100, "b.c": 5, "d": 1000}) == (
        "a: 100    # nine\nb: {c: 5}   # in braces\nd: 1000 # no room\n"
    )


def test_what_looks_like_a_comment_within_quotes_stays() -> None:
    text = "a: {b: 9, c: 'x   # y'}   # z\n"
    assert with_numbers(text, {"a.b": 10}) == "a: {b: 10, c: 'x   # y'}   # z\n"


def test_line_ends_and_odd_characters_stay() -> None:
    text = "# é 🚲\r\na: 1\r\nb: [2, 3]   # ⌀\r\n"
    assert with_numbers(text, {"b.1": 4.5}) == "# é 🚲\r\na: 1\r\nb: [2, 4.5] # ⌀\r\n"


def test_what_anchors_share_is_left_alone() -> None:
    text = "a: &x {b: 1}\nc: *x\nd: {<<: *x, e: 2}\nf: &y 3\ng: *y\n"
    assert set(numbers(text)) == {"d.e"}
    for path in ("a.b", "c.b", "d.b", "f", "g", "nowhere"):
        with pytest.raises(SpecError) as caught:
            with_numbers(text, {path: 5})
        (fault,) = caught.value.faults
        assert (fault.code, fault.path) == ("override", path)


def test_texts_in_quotes_and_names_are_no_numbers() -> None:
    text = "a: '1'\nb: 61-622\nc: 1.2.3\nd: 25%\ne: .5\nf: -3.\ng: 0x10\nh: yes\n"
    assert {p: s.number for p, s in numbers(text).items()} == {"d": 25.0, "e": 0.5, "f": -3.0}
    assert with_numbers(text, {"d": 30, "e": 2}) == text.replace("25%", "30%").replace(".5", "2.0")


@pytest.mark.parametrize("text", ["a: [1", "a: 1\n b: 2", '"', "a: 'x", "&", "\t- a:\tb"])
def test_what_is_no_yaml_is_a_fault(text: str) -> None:
    with pytest.raises(SpecError) as caught:
        scalars(text)
    assert caught.value.faults[0].code == "yaml-syntax"


def test_nesting_beyond_the_format_s_limit_is_a_fault() -> None:
    deep = MAX_DEPTH + 5
    with pytest.raises(SpecError) as caught:
        scalars("[" * deep + "1" + "]" * deep)
    assert caught.value.faults[0].code == "yaml-depth"


@given(st.floats(-1e6, 1e6), st.sampled_from(["4", "4.0", "4%"]))
def test_a_written_number_reads_as_it_was_meant(value: float, like: str) -> None:
    shown = written(value, like)
    assert shown.endswith("%") == like.endswith("%")
    assert float(shown.removesuffix("%")) == pytest.approx(value, abs=1e-4)
    assert "e" not in shown
    assert shown not in ("-0", "-0.0")
