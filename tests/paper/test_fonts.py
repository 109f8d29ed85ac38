"""Fonts of PDF files: every character is printed, or something is said."""

from __future__ import annotations

import io
from itertools import pairwise

import pdfplumber
import pypdfium2
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.paper.fonts import lacking, runs, text_width, wrapped
from frame3d.paper.render import pdf
from frame3d.paper.sheet import Sheet

EVERYDAY = {
    # Common words of the trade in each script: no source but the dictionary.
    "German": "Größe 54 für Jürgen – 29″",
    "Czech": "Žluťoučký kůň",
    "Greek": "Ωμέγα",
    "Russian": "Велосипед",
    "simplified Chinese": "定制山地自行车车架",
    "traditional Chinese": "訂製登山車車架",
    "Japanese": "自転車のフレーム",
    "Korean": "자전거 프레임",
}


def page_of(*lines: str) -> bytes:
    sheet = Sheet("check", "A check", 210.0, 297.0)
    for at, line in enumerate(lines):
        sheet.text((20.0, 250.0 - 12.0 * at), line, 4.0)
    return pdf([sheet], "check")


@pytest.mark.parametrize("language", EVERYDAY)
def test_a_language_is_read_back_from_the_file_with_its_font_in_it(language: str) -> None:
    text = EVERYDAY[language]
    assert lacking(text) == []
    data = page_of(text)
    with pdfplumber.open(io.BytesIO(data)) as read:
        chars = read.pages[0].chars
    assert "".join(c["text"] for c in chars).replace(" ", "") == text.replace(" ", "")
    # A viewer draws ink for each, at the place the sheet is laid out for.
    picture = pypdfium2.PdfDocument(data)[0].render(scale=4).to_numpy()
    for char in chars:
        if char["text"].strip():
            box = picture[int(4 * char["top"]) : int(4 * char["bottom"]) + 1,
                          int(4 * char["x0"]) : int(4 * char["x1"]) + 1]  # fmt: skip
            assert box.min() < 128, char["text"]
    size = chars[0]["size"]
    assert chars[-1]["x1"] - chars[0]["x0"] == pytest.approx(text_width(text, size), abs=0.02)


def test_a_line_of_several_scripts_is_set_in_a_font_each() -> None:
    assert [run.font for run in runs("Ж 車 자", bold=True)] == [
        "DejaVuSans-Bold", "NotoSansSC-Regular", "DejaVuSans-Bold", "NanumGothicBold"
    ]  # fmt: skip
    assert [run.font for run in runs("Ø 31.8 × 0.9 – 72.5°", bold=True)] == ["Helvetica-Bold"]


def test_a_pictograph_is_printed_by_its_name_in_unicode() -> None:
    with pdfplumber.open(io.BytesIO(page_of("Moss Goat \N{MOUNTAIN BICYCLIST}\ufe0f"))) as read:
        assert "Moss Goat (mountain bicyclist)" in read.pages[0].extract_text()
    (said,) = lacking("\N{BICYCLE}\N{BICYCLE}")
    assert "(bicycle)" in said


def test_a_letter_that_no_font_has_is_a_question_mark_and_said() -> None:
    letter = "\N{CUNEIFORM SIGN A}"
    assert "".join(run.text for run in runs(f"A{letter}")) == "A?"
    (said,) = lacking(f"A{letter}")
    assert letter in said


def test_lines_of_chinese_break_between_characters() -> None:
    text = "仅几何形状，不说明强度。按标准 ISO 4210 试验"
    lines = wrapped(text, 60.0, 10.0)
    assert len(lines) > 2
    assert all(text_width(line, 10.0) <= 60.0 for line in lines)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")
    assert any("ISO" in line for line in lines)


@given(st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs"]), max_size=40))
def test_any_text_can_be_drawn_and_measured(text: str) -> None:
    drawn = runs(text)
    assert sum(text_width(run.text, 3.0) for run in drawn) >= 0
    assert "".join("".join(wrapped(text, 30.0, 3.0)).split()) == "".join(text.split())
    if not lacking(text):
        unseen = "\u200b\u200c\u200d\ufe0e\ufe0f"
        kept = "".join(c for c in text if c not in unseen)
        assert "".join(run.text for run in drawn) in (text, kept)


WORDS = st.lists(st.text("abcdefgÄé Ω.", min_size=1, max_size=12), max_size=12)


@settings(max_examples=60, deadline=None)
@given(WORDS, st.floats(5.0, 60.0), st.booleans())
def test_lines_hold_every_word_in_order_and_as_many_as_fit(
    words: list[str], width: float, bold: bool
) -> None:
    text = " ".join(words)
    lines = wrapped(text, width, 3.0, bold=bold)
    assert " ".join(lines).split() == text.split()
    for line in lines:
        assert text_width(line, 3.0, bold=bold) <= width or " " not in line
    for line, after in pairwise(lines):
        longer = f"{line} {after.split()[0]}"
        assert text_width(longer, 3.0, bold=bold) > width


def test_bold_is_wider_and_width_goes_with_size() -> None:
    text = "Seat tube"
    assert text_width(text, 3.0, bold=True) > text_width(text, 3.0)
    assert text_width(text, 6.0) == pytest.approx(2 * text_width(text, 3.0))


def test_text_fits_where_it_is_said_to() -> None:
    # Helvetica's own widths (Adobe font metrics): every digit is 556/1000 em.
    assert text_width("0123456789", 10.0) == pytest.approx(55.6)
