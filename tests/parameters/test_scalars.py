"""Plain scalars: the YAML 1.2 core schema, and the traps between YAML 1.1 and 1.2."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from ruamel.yaml import YAML

from frame3d.parameters.reading.scalars import trap, value, word_trap


@pytest.mark.parametrize(
    ("text", "meaning"),
    [
        # Examples of the core schema: YAML 1.2.2, section 10.3.2.
        ("null", None),
        ("", None),
        ("~", None),
        ("true", True),
        ("True", True),
        ("false", False),
        ("FALSE", False),
        ("0", 0),
        ("3", 3),
        ("-19", -19),
        ("0.", 0.0),
        ("-0.0", -0.0),
        (".5", 0.5),
        ("+12e03", 12000.0),
        ("-2E+05", -200000.0),
        (".inf", math.inf),
        ("-.Inf", -math.inf),
        ("+.INF", math.inf),
        # what a parameter file holds as text
        ("61-622", "61-622"),
        ("148x12", "148x12"),
        ("25%", "25%"),
        ("455mm", "455mm"),
        ("on", "on"),
        ("1e", "1e"),
        ("-", "-"),
        (".", "."),
        ("nan", "nan"),
    ],
)
def test_meaning(text: str, meaning: object) -> None:
    assert value(text) == meaning
    assert type(value(text)) is type(meaning)


def test_not_a_number_is_one_that_is_none() -> None:
    for text in (".nan", ".NaN", ".NAN"):
        got = value(text)
        assert isinstance(got, float)
        assert math.isnan(got)


def test_long_whole_numbers_stay_within_reach() -> None:
    assert value("9" * 18) == 10**18 - 1
    assert value("9" * 400) == math.inf
    assert isinstance(value("9" * 5000), float)  # int() refuses so many digits


@pytest.mark.parametrize(
    ("text", "way"),
    [
        ("1:30", '"1:30" in quotes'),
        ("190:20:30", "one plain number"),
        ("017", "write 17"),
        ("-09", "write -9"),
        ("0o17", "15"),
        ("0x1F", "31"),
        ("0b101", "5"),
        ("0x_", "in full"),
        ("1_000", "write 1000"),
        ("1_000.5", "write 1000.5"),
        ("12e1", "write 120"),
        ("1.5e3", "write 1500"),
        ("-.5", "write -0.5"),
        ("0._", "write 0."),
        ("2001-12-14", "in quotes"),
    ],
)
def test_number_traps(text: str, way: str) -> None:
    found = trap(text)
    assert found is not None
    assert way in found[1]


@pytest.mark.parametrize("text", ["yes", "No", "ON", "off", "y", "N"])
def test_word_traps(text: str) -> None:
    assert word_trap(text) is not None
    assert trap(text) is None


@pytest.mark.parametrize(
    "text", ["0", "0.5", "-12", "1.5e+3", "true", "null", "nothing", "yEs", ""]
)
def test_no_traps(text: str) -> None:
    assert trap(text) is None
    assert word_trap(text) is None


def _loaded(text: str, version: str) -> Any:
    yaml = YAML(typ="safe", pure=True)
    yaml.version = version
    return yaml.load(f"- {text}\n")[0]


_SCALARS = st.one_of(
    st.from_regex(r"[-+]?[0-9_.:eExXoOabfFn]{1,9}", fullmatch=True),
    st.from_regex(r"[-+]?(0|[1-9][0-9]{0,5})(\.[0-9]{0,4})?(e[-+]?[0-9]{1,2})?", fullmatch=True),
    st.sampled_from(["yes", "no", "on", "off", "y", "n", "true", "null", "~", "TRUE", "Null"]),
    st.from_regex(r"[a-zA-Z][a-zA-Z0-9%-]{0,8}", fullmatch=True),
    st.dates().map(str),
)


@settings(max_examples=150, deadline=None)
@given(_SCALARS)
@example("1:30")
@example("12e1")
@example("0o7")
@example("08")
@example(".5e3")
@example("1__0")
@example("0._")
@example("._5")
@example("-.5")
@example("=")
def test_without_a_trap_both_versions_of_yaml_agree(text: str) -> None:
    """An independent reader, ruamel.yaml, set to YAML 1.1 and to 1.2."""
    if trap(text) is not None or word_trap(text) is not None:
        return
    try:
        old, new = _loaded(text, "1.1"), _loaded(text, "1.2")
    except Exception:  # not a plain scalar at all, e.g. "a:" or "-"
        return
    if isinstance(new, dict | list):
        return
    meant = value(text)
    for read in (old, new):
        if isinstance(meant, float) and math.isnan(meant):
            assert math.isnan(read)
        else:
            assert read == meant
            assert isinstance(read, bool) == isinstance(meant, bool)
