"""One text that two pages edit: neither loses what the other typed elsewhere."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from frame3d.live.merge import merged

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


def test_what_both_insert_at_one_place_stands_in_a_row() -> None:
    assert merged("a\nb\n", "a\nmine\nb\n", "a\ntheirs\nb\n") == "a\ntheirs\nmine\nb\n"


def test_changes_in_several_places_stand_whoever_made_those_between() -> None:
    base = "".join(f"line {i}: {i}\n" for i in range(9))
    mine = base.replace("line 1: 1", "line 1: 10").replace("line 7: 7\n", "")
    theirs = base.replace("line 4: 4", "line 4: 40").replace("line 8: 8", "line 8: 80")
    both = mine.replace("line 4: 4", "line 4: 40").replace("line 8: 8", "line 8: 80")
    assert merged(base, mine, theirs) == merged(base, theirs, mine) == both


@given(*[st.lists(st.sampled_from(["a\n", "b\n", "c\n", "d e\n", ""]), max_size=8)] * 3)
def test_merging_what_was_merged_changes_nothing(z: list[str], a: list[str], b: list[str]) -> None:
    """A change that arrives twice, on a text that has it already, is not made twice."""
    base, mine, theirs = ("".join(some) for some in (z, a, b))
    both = merged(base, mine, theirs)
    assert merged(mine, mine, both) == both
    assert merged(theirs, both, theirs) == both
    assert merged(base, mine, mine) == mine


def test_two_changes_of_a_number_never_make_a_third() -> None:
    assert merged("a: 0\n", "a: 80\n", "a: 8\n") == "a: 80\n"
    assert merged("a: 36\n", "a: 36.75\n", "a: 37\n") == "a: 36.75\n"
    assert merged("a: 455, b: 1\n", "a: 4550, b: 1\n", "a: 455, b: 12\n") == "a: 4550, b: 12\n"
