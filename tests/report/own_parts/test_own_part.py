"""Phrases and quantities of the explained parts."""

from __future__ import annotations

from frame3d.report.own_parts.own_part import in_one, listed, plain, told
from frame3d.report.texts import texts

SAY = texts()


def test_names_in_one_phrase() -> None:
    assert listed([], SAY) == ""
    assert listed(["fork"], SAY) == "fork"
    assert listed(["fork", "stem"], SAY) == "fork and stem"
    assert listed(["fork", "stem", "bar"], SAY) == "fork, stem and bar"


def test_phrases_in_one_sentence() -> None:
    assert in_one([], SAY) is None
    assert in_one(["it turns"], SAY) == "It turns."
    assert in_one(["it turns", "it stops"], SAY) == "It turns; it stops."


def test_what_cannot_be_said_is_left_out() -> None:
    assert told(["a", None, "", "b"]) == ("a", "b")


def test_no_more_decimals_than_needed() -> None:
    assert plain(150.0, "mm", SAY) == "150 mm"
    assert plain(52.5, "mm", SAY) == "52.5 mm"
    assert plain(52.04, "mm", SAY) == "52 mm"
    assert plain(-1.5, "degrees", SAY) == "−1.5°"
