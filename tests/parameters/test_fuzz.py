"""Whatever the text, and whatever the overrides: a spec or a SpecError, never anything else."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from frame3d.errors import Fault, SpecError
from frame3d.parameters import loads
from frame3d.parameters.reading.reader import read_text
from frame3d.parameters.starters.starter import starter

GOOD = starter("Test")
PIECES = [
    "&a ", "*a", "!!str ", "!", "? ", "- ", ": ", "{", "}", "[", "]", "<<: *a", "\t", "#", "---\n",
    "...\n", "%YAML 1.1\n", "'", '"', "|\n", ">-\n", "\\", "~", "yes", ".nan", "1:30", "0x1", "25%",
    "455mm", '18"', "1 1/8", "9" * 40, "-", ",", "\n", "  ", "\r", "on: x", "<OvalSpec>", "[key]",
    "\u2028", "\ud800", "\U0001f6b2", "é", "\x00", "\x85", '"\\x"', '"\\UFFFFFFFF"', "!<%zz> x",
]  # fmt: skip

FAST = settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def read(text: str, sets: list[str] | None = None) -> None:
    """Read a text; a SpecError says what is wrong with it, in words."""
    found: tuple[Fault, ...] = ()
    try:
        loads(text, "bike.yaml", sets or [])
    except SpecError as error:
        found = tuple(error.faults)
    lines = text.count("\n") + text.count("\r") + 2
    for fault in found:
        assert fault.message
        assert fault.render()
        assert fault.place is not None
        assert fault.place.line is None or 1 <= fault.place.line <= lines


@FAST
@given(st.text(max_size=200))
@example('a: "\\UFFFFFFFF"')
@example("!<%zz> a: b")
@example("%TAG ! tag:x,2000:\n---\n! a: b")
@example("? : ? : x")
@example("- &a\n- *a")
@example("*")
@example("&")
@example("%YAML 1.2")
@example("%YAML x\n---\na: b")
def test_any_text(text: str) -> None:
    read(text)


@FAST
@given(st.lists(st.sampled_from(PIECES), max_size=30).map("".join))
def test_any_yaml_like_text(text: str) -> None:
    read(text)


@FAST
@given(
    st.lists(
        st.tuples(
            st.integers(0, len(GOOD)),
            st.integers(0, 12),
            st.one_of(st.sampled_from(PIECES), st.text(max_size=5)),
        ),
        min_size=1,
        max_size=4,
    )
)
def test_a_good_file_mutated(changes: list[tuple[int, int, str]]) -> None:
    text = GOOD
    for at, cut, new in changes:
        text = text[:at] + new + text[at + cut :]
    read(text)


@FAST
@given(
    st.recursive(
        st.one_of(
            st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=6),
            st.sampled_from(["25%", "61-622", "head_tube", "solid", "straight"]),
        ),
        lambda inner: st.one_of(
            st.lists(inner, max_size=3),
            st.dictionaries(
                st.sampled_from(
                    ["on", "at", "od", "wall", "start", "end", "height", "butted", "lengths",
                     "bends", "<OvalSpec>", "number", "wall", "tyre", "fork", "teeth"]
                ),
                inner,
                max_size=3,
            ),
        ),
        max_leaves=8,
    ),
    st.sampled_from(
        ["tubes", "tubes.od", "tubes.wall.od", "tubes.wall.wall", "tubes.a.start", "tubes.a", "name",
         "tubes.a.bends.0", "build", "build.rear_wheel.tyre", "build.fork.sag", "geometry", "format",
         "material", "suspension", "tubes.chainstay.start.at", "tubes.down_tube.wall.butted"]
    ),
)  # fmt: skip
def test_any_value_anywhere(value: object, key: str) -> None:
    read(GOOD, [f"{key}={_flow(value)}"])


@FAST
@given(st.lists(st.text(max_size=30), min_size=1, max_size=3))
@example(["a.b.c=1", "a.b=2", "a.b.c=3"])
@example(["tubes.chainstay.bends.\u00b2=1"])
@example(["=", "==", "a==b"])
def test_any_override(sets: list[str]) -> None:
    read(GOOD, sets)


@FAST
@given(
    st.one_of(
        st.binary(max_size=200),
        st.text(st.characters(codec="utf-16"), max_size=60).map(lambda t: t.encode("utf-16")),
    )
)
@example(GOOD.encode("utf-16"))
@example(GOOD.encode()[:100] + b"\xff" + GOOD.encode()[100:])
@example(b"\xef\xbb\xbf" + GOOD.encode())
def test_any_bytes(raw: bytes) -> None:
    """A file of any bytes is read as its text where it is UTF-8, and a fault otherwise."""
    with TemporaryDirectory() as folder:
        file = Path(folder) / "bike.yaml"
        file.write_bytes(raw)
        try:
            text = read_text(file)
        except SpecError as error:
            (fault,) = error.faults
            assert fault.code == "file-encoding"
            with pytest.raises(UnicodeDecodeError):
                raw.decode("utf-8")
        else:
            assert text == raw.decode("utf-8-sig")
            read(text)


def _flow(value: object) -> str:
    """A value as YAML in flow style; text in double quotes now and then ambiguous on purpose."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{k}: {_flow(v)}" for k, v in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(_flow(v) for v in value) + "]"
    if value is None:
        return "null"
    return str(value).lower() if isinstance(value, bool) else str(value)
