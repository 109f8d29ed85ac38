"""One text that two pages edit: neither loses what the other typed elsewhere."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from frame3d.live.merge import Copy, merged

WORDS = st.text(alphabet="ab\n", max_size=8)


def test_changes_in_different_places_both_stand() -> None:
    base = "reach: 455\nstack: 620\n"
    mine, theirs = "reach: 460\nstack: 620\n", "reach: 455\nstack: 630\n"
    assert merged(base, mine, theirs) == "reach: 460\nstack: 630\n"
    assert merged(base, theirs, mine) == "reach: 460\nstack: 630\n"


def test_where_changes_touch_the_later_one_stands() -> None:
    assert merged("a: 1", "a: 2", "a: 3") == "a: 2"
    assert merged("abc", "aXc", "aYZ") == "aXc"


@given(WORDS, WORDS, WORDS, WORDS, WORDS)
def test_merging_two_distant_changes_is_making_both(
    head: str, a: str, b: str, tail: str, new: str
) -> None:
    middle = "---- a stretch that neither touches ----"
    base = head + a + middle + b + tail
    mine, theirs = head + new + middle + b + tail, head + a + middle + new + tail
    assert merged(base, mine, theirs) == head + new + middle + new + tail
    assert merged(base, base, theirs) == theirs
    assert merged(base, mine, base) == mine


def test_a_page_that_types_on_before_it_hears_of_others_loses_nothing() -> None:
    """The page's sendings and the server's cross on their way."""
    current = "one two three"
    page = Copy()
    first = page.give(current)
    current = page.take(first, "ONE two three", current)
    # Another page changes the end; this page is told, but has typed again before it hears.
    current = current.replace("three", "3")
    second = page.give(current)
    current = page.take(first, "ONE! two three", current)
    assert current == "ONE! two 3"
    third = page.give(current)
    # Now the page has taken the second text, which lacks its own "!", and types in the middle.
    current = page.take(second, "ONE TWO 3", current)
    assert "TWO 3" in current
    # Once it has taken the last one all is as if there had been no crossing.
    current = page.take(third, "ONE! TWO 3.", "ONE! two 3")
    assert current == "ONE! TWO 3."


def test_a_number_that_is_not_known_counts_as_the_text_as_it_is() -> None:
    page = Copy()
    assert page.take(99, "typed", "current") == "typed"
