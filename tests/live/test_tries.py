"""Sliders of the bike in view: where a tried value goes in the text, and what pages are told."""

from __future__ import annotations

import pytest

from frame3d.errors import SpecError
from frame3d.live.choosing.chooser import Chooser
from frame3d.live.session import Session
from frame3d.live.tries import Tries
from frame3d.parameters.reading.reader import variants_of
from frame3d.report.texts import texts
from tests.live.families import FAMILY

REACH = "geometry.reach"


def chooser_of(size: str | None) -> Chooser:
    chooser = Chooser()
    chooser.read(variants_of(FAMILY))
    chooser.choose(size, ())
    return chooser


def tries(text: str = FAMILY) -> Tries:
    return Tries(Session(text), chooser_of(None), texts())


def test_a_value_by_rule_moves_where_the_rule_begins() -> None:
    """L is two steps of 25 from S: 490 there is 440 in the text, and S itself is 440."""
    session, chooser = Session(FAMILY), chooser_of("L")
    one = Tries(session, chooser, texts())
    assert one.attempt(REACH, 490, dragging=False)
    assert not one.attempt(REACH, 490, dragging=False)
    assert dict(session.tried) == {"geometry.reach.from": 440}
    assert one.values() == {"tried": {REACH: 490}, "elsewhere": []}
    chooser.choose("S", ())
    one.document()
    assert one.values() == {"tried": {REACH: 440}, "elsewhere": []}


def test_a_value_of_another_size_is_named_by_its_place() -> None:
    chooser = chooser_of("S")
    one = Tries(Session(FAMILY), chooser, texts())
    assert one.attempt("geometry.head_tube_angle", 66.5, dragging=False)
    assert one.values()["tried"] == {"geometry.head_tube_angle": 66.5}
    chooser.choose("M", ())
    one.document()
    assert one.values() == {"tried": {}, "elsewhere": ["sizes.S.geometry.head_tube_angle"]}


def test_sliders_are_added_and_removed_with_what_was_tried() -> None:
    one = tries()
    assert one.document()["chosen"] == []
    assert not one.choose(REACH, on=True)
    assert one.chosen == (REACH,)
    shown = one.document()["chosen"][0]
    assert (shown["path"], shown["value"]) == (REACH, 455)
    one.attempt(REACH, 460, dragging=False)
    assert one.choose(REACH, on=False)
    assert one.chosen == ()
    assert one.values()["tried"] == {}


def test_a_text_that_is_no_file_has_no_sliders() -> None:
    broken = tries(text="geometry: [")
    assert broken.document() == {"known": [], "chosen": []}
    with pytest.raises(SpecError):
        broken.attempt(REACH, 460, dragging=False)
