"""Faults and notes as people read them: where, what, the line with a caret, and the way out."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from frame3d import errors
from frame3d.errors import CODES, Fault, FrameError, GeometryError, Note, SourceLocation, printable

AT = SourceLocation("bike.yaml", 7, 12, "    reach: abc")


def test_a_fault_points_at_its_place() -> None:
    shown = Fault("wrong-type", "geometry.reach", "is no number", "e.g. reach: 455", AT).render()
    first, line, caret, hint = shown.splitlines()
    assert first == "bike.yaml:7:12: geometry.reach: is no number [wrong-type]"
    assert line == "     7 |     reach: abc"
    assert caret.rstrip("^").isspace()
    assert line[caret.index("^")] == "a"
    assert hint == "  e.g. reach: 455"


def test_the_caret_stands_under_its_column_behind_tabs() -> None:
    at = SourceLocation("bike.yaml", 12345, 3, "\t\treach: abc")
    _, line, caret = Fault("yaml-syntax", "", "a tab", "", at).render().splitlines()
    assert line[caret.index("^")] == "r"


@pytest.mark.parametrize(
    ("place", "shown"),
    [
        (None, "name: absent [missing-key]"),
        (SourceLocation("--set name=1"), "--set name=1: name: absent [missing-key]"),
        (SourceLocation("a.yaml", 3), "a.yaml:3:1: name: absent [missing-key]"),
        (SourceLocation("a.yaml", 3, 1, "   "), "a.yaml:3:1: name: absent [missing-key]"),
    ],
)
def test_without_a_line_to_show_it_is_one_line(place: SourceLocation | None, shown: str) -> None:
    assert Fault("missing-key", "name", "absent", "", place).render() == shown


def test_a_fault_of_the_whole_file_names_no_path() -> None:
    assert (
        Fault("file-missing", "", "cannot be opened").render() == "cannot be opened [file-missing]"
    )


def test_codes_are_those_that_are_written_down() -> None:
    with pytest.raises(ValueError, match="undocumented fault code 'made-up'"):
        Fault("made-up", "", "x")
    for code, meaning in CODES.items():
        assert meaning
        assert f"[{code}]" in Fault(code, "", "x").render()


def test_an_error_carries_all_of_its_faults() -> None:
    one, two = Fault("defect", "a", "first"), Fault("defect", "b", "second")
    assert list(GeometryError(one).faults) == [one]
    both = GeometryError(iter([one, two]))
    assert list(both.faults) == [one, two]
    assert str(both) == f"{one.render()}\n{two.render()}"
    with pytest.raises(ValueError, match="at least one fault"):
        FrameError([])


def test_every_error_of_input_is_a_frame_error() -> None:
    kinds = [x for n, x in vars(errors).items() if n.endswith("Error")]
    assert len(kinds) > 5
    assert all(issubclass(kind, FrameError) for kind in kinds)


def test_notes_stand_on_one_line() -> None:
    assert Note("warning", "it is thin", "tubes.a.wall", AT).render() == (
        "bike.yaml:7: tubes.a.wall: it is thin"
    )
    assert Note("solved", "x is 3").render() == "x is 3"
    override = SourceLocation("--set a=1")
    assert Note("default", "said", "a", override).render() == "--set a=1: a: said"


@given(st.text(max_size=60))
def test_what_is_shown_can_be_printed_and_read(text: str) -> None:
    """No control, format, surrogate or separator character is left but the joiners of words."""
    shown = printable(text)
    for c in shown:
        hidden = unicodedata.category(c) in ("Cc", "Cf", "Cs", "Zl", "Zp")
        assert not hidden or c in "\u00ad\u200c\u200d"
    if text.isprintable():
        assert shown == text
    assert printable(shown) == shown
    shown.encode()  # no half of a surrogate pair


def test_terminals_take_no_orders() -> None:
    assert printable("\x1b[31mred") == r"\x1b[31mred"
    assert printable("a\u202eb\nc\td") == r"a\u202eb\nc\td"
    assert printable("a\nb\tc", keep="\n") == "a\nb\\tc"
    shown = Fault(
        "unknown-key", "\x1b]0;x\x07", "\r\n", "\x9b", SourceLocation("\x1bfile")
    ).render()
    assert all(c.isprintable() for c in shown.replace("\n", ""))
    assert Note("warning", "\x1b[2J").render() == r"\x1b[2J"


def test_several_ways_out_stand_on_lines_of_their_own() -> None:
    fault = Fault("contradictory", "geometry.wheelbase", "disagrees", "one of:\n    this\n    that")
    assert fault.render().splitlines()[1:] == ["  one of:", "    this", "    that"]
