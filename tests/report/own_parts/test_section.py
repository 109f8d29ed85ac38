"""The section: a card for each part, for both audiences, small, and told once."""

from __future__ import annotations

import re

import pytest

from frame3d.report.own_parts.section import own_parts
from frame3d.report.texts import texts
from tests.report.own_parts.samples import demo
from tests.report.samples import bare, minimal_bike, words

SAY = texts()
PARTS = ["front_triangle", "rear_triangle", "headset", "fork"]


@pytest.mark.parametrize(
    ("name", "keys"),
    [
        ("trail_hardtail_29", PARTS),
        ("adventure_rigid", PARTS),
        ("trail_full_140", [*PARTS, "shock"]),
        ("enduro_170_mixed", [*PARTS, "shock"]),
    ],
)
def test_a_card_with_a_picture_for_each_part(name: str, keys: list[str]) -> None:
    made = own_parts(demo(name), SAY)
    cards = made.split("<article")[1:]
    assert [re.findall(r'data-own="(\w+)"', card) for card in cards] == [[key] for key in keys]
    for card, key in zip(cards, keys, strict=True):
        title = SAY(f"own_parts.{key}.title")
        assert f"<h3>{title}</h3>" in card
        assert card.count("<svg") == 1
        assert f'aria-label="{SAY("own_parts.picture", part=title)}"' in card
        assert 'class="lit' in card
    assert len(made) < 20_000  # pictures share the bike, and silhouettes take few points


def test_nothing_stays_unfilled_and_nothing_is_said_of_what_is_not_known() -> None:
    for data in (demo("trail_full_140"), demo("adventure_rigid"), bare(minimal_bike())):
        said = words(own_parts(data, SAY))
        assert not re.search(r"[{}]|None|nan|–", said)
        assert not re.search(r"build\.|suspension\.", said)


def test_two_to_four_sentences_a_part() -> None:
    """Those that a full file gives; spring and damper stand below."""
    made = own_parts(demo("trail_full_140"), SAY)
    for card in made.split("<article")[1:]:
        paragraph = re.findall(r"<p>(.*?)</p>", card)[0]
        assert 2 <= len(re.findall(r"[a-z)]\.(?: |$)", paragraph)) <= 4, paragraph
