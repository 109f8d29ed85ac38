"""Markup: every text is escaped, wherever it stands."""

from __future__ import annotations

import html

import pytest
from hypothesis import given
from hypothesis import strategies as st

from frame3d.report.markup import Markup, el, text, together


@given(st.text())
def test_text_comes_back_as_it_was(said: str) -> None:
    escaped = text(said)
    assert html.unescape(escaped) == said
    assert "<" not in escaped
    assert '"' not in escaped


@given(st.text())
def test_attributes_hold_any_text(said: str) -> None:
    made = el("p", title=said)
    assert made.startswith('<p title="')
    assert html.unescape(made.removeprefix('<p title="').removesuffix('"></p>')) == said


def test_markup_is_taken_as_it_is_and_text_is_not() -> None:
    inner = el("b", "1 < 2")
    assert el("p", inner, " & ", None, 3) == "<p><b>1 &lt; 2</b> &amp; 3</p>"
    assert isinstance(together(inner, "<i>"), Markup)


@pytest.mark.parametrize(
    ("made", "expected"),
    [
        (el("input", type="range"), '<input type="range">'),
        (el("button", hidden=True, disabled=False, title=None), "<button hidden></button>"),
        (el("g", class_="a", data_part="b", aria_label="c"),
         '<g class="a" data-part="b" aria-label="c"></g>'),
        (el("svg", viewbox="0 0 1 1"), '<svg viewBox="0 0 1 1"></svg>'),
    ],
)  # fmt: skip
def test_attributes(made: Markup, expected: str) -> None:
    assert made == expected
