from __future__ import annotations

import unicodedata

import numpy as np
import pytest

from frame3d.mockup.parts.letters import CAP, GLYPHS, MARKS, outline, written


@pytest.mark.parametrize("letter", GLYPHS)
def test_every_letter_keeps_to_the_grid(letter: str) -> None:
    line = written(letter)
    every = np.vstack(line.strokes)
    assert line.missing == ""
    assert every[:, 0].min() >= -1.0
    assert every[:, 0].max() <= 5.7
    assert every[:, 1].min() >= -1.1
    assert every[:, 1].max() <= 6.7


@pytest.mark.parametrize("letter", [g for g in GLYPHS if g.isalnum()])
@pytest.mark.parametrize("height", [4.0, 6.0])
def test_strokes_are_as_wide_as_asked_and_stay_apart(letter: str, height: float) -> None:
    """Wide: a disc as wide as the stroke fits, a wider one nowhere but where strokes meet.

    Apart: closing gaps of 0.3 mm fills next to nothing of a letter.
    """
    from manifold3d import JoinType

    shape = outline(written(letter), height, 0.8)
    assert not shape.offset(-0.39, JoinType.Round, 2.0, 32).is_empty()
    assert shape.offset(-0.62, JoinType.Round, 2.0, 32).area() < 0.05
    closed = shape.offset(0.15, JoinType.Round, 2.0, 32).offset(-0.15, JoinType.Round, 2.0, 32)
    assert closed.area() < 1.06 * shape.area()


def test_letters_differ() -> None:
    shapes = {g: outline(written(g), 6.0, 0.8) for g in GLYPHS if g.isalnum()}
    names = list(shapes)
    for i, a in enumerate(names):
        for b in names[:i]:
            apart = (shapes[a] - shapes[b]).area() + (shapes[b] - shapes[a]).area()
            assert apart > 1.0, (a, b)


def test_small_letters_accents_and_what_is_missing() -> None:
    assert written("trail 29").strokes[0] == pytest.approx(written("TRAIL 29").strokes[0])
    plain, accented = written("aou"), written("äöü")
    assert accented.width == plain.width
    assert len(accented.strokes) == len(plain.strokes) + 6
    assert accented.high > CAP + 1
    assert len(written("straße").strokes) == len(written("STRASSE").strokes)
    for mark in MARKS:
        assert written(unicodedata.normalize("NFC", f"A{mark}")).missing == ""
    kept = written("Ω-3 山")
    assert kept.missing == "Ω山"
    assert len(kept.strokes) == len(written("-3").strokes)
    assert written("山").strokes == ()


def test_a_line_reads_left_to_right() -> None:
    a, ab = written("H"), written("HI")
    assert ab.width > a.width
    assert ab.strokes[-1][:, 0].min() > a.width
    assert written("H I").width > ab.width
