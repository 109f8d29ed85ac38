"""Sentences: each quantity has one for both directions, chosen by the sign, none for what is too small."""

from __future__ import annotations

import pytest

from frame3d.family.differences import (
    CONTACTS,
    MEASURABLE,
    SLOPES,
    STEERING,
    SUSPENSION,
    Change,
    Kind,
)
from frame3d.parameters.models.figures import FIGURES, unit
from frame3d.report.comparing.sentences import (
    amount,
    meaning,
    sentence,
    thresholds,
    title,
    worth_a_word,
)
from frame3d.report.texts import texts

SAY = texts()
QUANTITIES: list[tuple[Kind, str, str]] = [
    *(("figure", figure, unit(figure)) for figure in FIGURES),
    *(("contact", name, "mm") for name in CONTACTS),
    *(("suspension", name, sign) for name, sign in SUSPENSION.items()),
    *(("slopes", name, sign) for name, sign in SLOPES.items()),
    *(("steering", name, sign) for name, sign in STEERING.items()),
    ("gap", "rear_tyre_to_frame", "mm"),
    ("gap", "front_load", "%"),
    ("mass", "frame", "g"),
]


@pytest.mark.parametrize(("kind", "name", "sign"), QUANTITIES)
def test_two_directions_for_everything(kind: Kind, name: str, sign: str) -> None:
    more, less = (
        meaning(Change(kind, name, sign, 100.0, 100.0 + way * 20), SAY) for way in (1.0, -1.0)
    )
    assert more
    assert less
    assert more != less
    assert meaning(Change(kind, name, sign, 100.0, 100.0 + 0.5 * MEASURABLE[sign]), SAY) is None
    assert title(Change(kind, name, sign, 0.0, 0.0), SAY)


def test_a_sentence_has_what_how_much_and_what_it_means() -> None:
    said = sentence(Change("figure", "trail", "mm", 120.0, 124.2), SAY)
    assert said == "Trail +4.2 mm: the front straightens itself more strongly."
    said = sentence(Change("sagged", "head_tube_angle", "degrees", 65.5, 64.8), SAY)
    assert said is not None
    assert said.startswith("Head tube angle at sag −0.7°: the steering is slacker")
    assert sentence(Change("figure", "trail", "mm", 120.0, 120.3), SAY) is None
    assert title(Change("gap", "extra.0", "mm", 1.0, 2.0), SAY) == "extra.0"


def test_amounts() -> None:
    assert amount(Change("suspension", "mean_leverage", "1", 2.5, 2.75), SAY) == "+0.25"
    assert amount(Change("slopes", "lifts_seated", "points", 41.0, 40.1), SAY) == "−0.9 %"
    assert amount(Change("slopes", "stop_level", "gravity", 0.6, 0.63), SAY) == "+0.03 g"
    assert amount(Change("mass", "frame", "g", 2500.0, 2400.0), SAY) == "−100 g"
    assert amount(Change("figure", "standover", "mm", None, 700.0), SAY) == "–"


def test_a_figure_at_sag_is_told_only_where_it_says_something_new() -> None:
    def at(kind: Kind, delta: float) -> Change:
        return Change(kind, "trail", "mm", 100.0, 100.0 + delta)

    assert list(worth_a_word([at("figure", 3.0), at("sagged", 4.0)])) == [at("figure", 3.0)]
    opposite = [at("figure", 3.0), at("sagged", -4.0)]
    assert list(worth_a_word(opposite)) == opposite
    assert list(worth_a_word([at("figure", 0.1), at("sagged", 4.0)])) == [at("sagged", 4.0)]
    assert list(worth_a_word([at("sagged", 4.0)])) == [at("sagged", 4.0)]


def test_the_thresholds_are_stated() -> None:
    said = thresholds(SAY)
    assert "0.5 mm, 0.1°, 10 g, 1 %, or 0.02" in said
    assert "no source" in said
    assert "less than 0.2 % or 0.01 g." in said
