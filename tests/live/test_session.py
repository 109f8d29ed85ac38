"""The session: text, tried values, kept versions, undo, and what others do to the file."""

from __future__ import annotations

import pytest

from frame3d.errors import Fault, SpecError
from frame3d.live.disk import Unreadable
from frame3d.live.session import DEPTH, PAUSE, VERSIONS, Session
from frame3d.live.solved_text import SolvedText, good
from tests.live.serving import SMALL

TEXT = SMALL.read_text(encoding="utf-8")
FAULT = (Fault("yaml-syntax", "", "broken"),)
LINE = "format: 1\nname: X\ngeometry: {reach: 455, stack: 620}   # both\n"


@pytest.fixture(scope="module")
def small() -> SolvedText:
    return good(TEXT, "bike.yaml")


def test_typing_is_undone_in_one_go_unless_there_was_a_pause() -> None:
    session = Session("a")
    now = 0.0
    for text in ("ab", "abc", "abcd"):
        assert session.write(text, now)
        now += PAUSE / 2
    now += PAUSE
    session.write("abcde", now)
    assert session.undo()
    assert session.text == "abcd"
    assert session.undo()
    assert session.text == "a"
    assert not session.undo()
    assert session.redo()
    assert session.text == "abcd"
    session.write("abX", now)
    assert not session.can_redo
    assert not session.write("abX", now)


def test_undo_goes_back_so_far_and_no_further() -> None:
    session = Session("0")
    for i in range(DEPTH + 50):
        session.write(str(i + 1), i * 10.0)
    steps = 0
    while session.undo():
        steps += 1
    assert steps == DEPTH


def test_a_tried_value_leaves_the_text_alone_until_it_is_settled() -> None:
    session = Session(LINE)
    assert session.attempt("geometry.reach", 460)
    assert session.attempt("geometry.reach", 465, dragging=True)
    assert session.attempt("geometry.stack", 600)
    assert session.text == LINE
    assert not session.unsaved
    assert session.state.whole == LINE.replace("455", "465").replace("620", "600")
    assert session.undo()
    assert session.tried == {"geometry.reach": 465}
    assert session.undo()  # the whole drag
    assert session.tried == {}
    session.redo()
    assert session.settle()
    assert session.text == LINE.replace("455", "465")
    assert session.tried == {}
    assert session.unsaved
    assert not session.settle()


def test_trying_the_text_s_own_value_is_not_trying() -> None:
    session = Session(LINE)
    session.attempt("geometry.reach", 460)
    session.attempt("geometry.reach", 455)
    assert session.tried == {}
    assert not session.attempt("geometry.reach", 455)


def test_a_number_that_is_not_there_cannot_be_tried() -> None:
    session = Session(LINE)
    revision = session.revision
    with pytest.raises(SpecError):
        session.attempt("geometry.nothing", 1)
    assert session.revision == revision


def test_a_tried_number_that_is_typed_away_is_let_go() -> None:
    session = Session(LINE)
    session.attempt("geometry.reach", 460)
    session.write("geometry: {stack: 620}\n", 0.0)
    assert session.tried == {}
    session.undo()
    assert session.tried == {"geometry.reach": 460}
    session.write("geometry: [", 9.0)  # half a line on the way to something
    assert session.tried == {"geometry.reach": 460}
    assert session.let_go()
    assert not session.let_go()


def test_another_s_change_is_taken_over_where_nothing_is_unsaved() -> None:
    session = Session("a")
    assert session.disk_has("b")
    assert (session.text, session.unsaved, session.conflict) == ("b", False, None)
    assert not session.disk_has("b")
    session.undo()
    assert (session.text, session.unsaved) == ("a", True)


def test_another_s_change_and_one_s_own_are_a_conflict_that_the_user_ends() -> None:
    for mine in (True, False):
        session = Session("a")
        session.write("mine", 0.0)
        assert session.disk_has("theirs")
        assert (session.text, session.conflict) == ("mine", "theirs")
        if mine:
            session.keep_mine()
            assert (session.text, session.saved, session.conflict) == ("mine", "theirs", None)
            assert session.unsaved
        else:
            session.take_theirs()
            assert (session.text, session.unsaved, session.conflict) == ("theirs", False, None)
            session.undo()
            assert session.text == "mine"


def test_a_conflict_passes_where_both_come_to_the_same() -> None:
    session = Session("a")
    session.write("b", 0.0)
    session.disk_has("c")
    assert session.disk_has("b")
    assert (session.unsaved, session.conflict) == (False, None)
    session.write("d", 9.0)
    session.disk_has("c")
    assert session.disk_has("b")  # as it was known before
    assert (session.unsaved, session.conflict) == (True, None)


def test_a_file_that_is_gone_leaves_the_text_unsaved() -> None:
    session = Session("a")
    assert session.disk_has(None)
    assert session.unsaved
    assert session.conflict is None
    assert session.disk_has("a")
    assert not session.unsaved


def test_another_file_in_the_place_of_one_that_went_is_taken_over_or_a_conflict() -> None:
    """Editors that remove and write anew do the first: nobody is asked where nothing was typed."""
    session = Session("a")
    session.disk_has(None)
    assert session.disk_has("other")
    assert (session.text, session.unsaved, session.conflict) == ("other", False, None)
    session.disk_has(None)
    session.write("mine", 0.0)
    assert session.disk_has("third")
    assert (session.text, session.conflict) == ("mine", "third")


def test_a_file_that_comes_back_as_it_was_is_no_conflict() -> None:
    session = Session("a")
    session.write("mine", 0.0)
    session.disk_has(None)
    assert session.disk_has("a")
    assert (session.text, session.saved, session.conflict) == ("mine", "a", None)
    assert session.unsaved


def test_what_cannot_be_read_is_unsaved_until_the_user_ends_it() -> None:
    spoilt, worse = Unreadable("UTF-16", (1,)), Unreadable("a folder", (2,))
    session = Session("a")
    assert session.disk_has(spoilt)
    assert (session.text, session.unsaved, session.conflict) == ("a", True, spoilt)
    session.take_theirs()  # there is no text to take
    assert session.conflict is spoilt
    session.disk_has("a")
    assert (session.unsaved, session.conflict) == (False, None)
    session.disk_has(spoilt)
    session.keep_mine()
    assert (session.unsaved, session.conflict) == (True, None)
    session.disk_has(worse)  # somebody was quicker than saving
    assert session.conflict is worse
    session.disk_has(None)
    assert (session.unsaved, session.conflict) == (True, None)
    session.disk_has("b")  # nothing was typed here meanwhile
    assert (session.text, session.unsaved, session.conflict) == ("b", False, None)


def test_the_last_good_bike_stays_where_the_text_is_at_fault(small: SolvedText) -> None:
    session = Session(TEXT)
    assert session.solved(session.revision, small)
    session.write("broken", 0.0)
    assert session.solved(session.revision, FAULT)
    assert session.good is small
    assert session.faults == FAULT
    assert session.solved(session.revision, small)
    assert session.faults == ()


def test_a_bike_of_an_older_text_is_shown_and_its_faults_are_not(small: SolvedText) -> None:
    """Under a hand that drags, the text is always newer; what was a fault may be mended by then."""
    session = Session("a")
    (fault,) = FAULT
    assert session.solved(session.revision, (fault,))
    old = session.revision
    session.write("b", 0.0)
    assert not session.solved(old, ())
    assert session.faults == (fault,)
    assert session.solved(old, small)
    assert session.good is small
    assert session.faults == (fault,)  # nothing is known of the newer text yet
    assert session.solved(session.revision, small)
    assert session.faults == ()


def test_saved_bikes_are_kept(small: SolvedText) -> None:
    session = Session(TEXT)
    session.solved(session.revision, small)
    assert [k.number for k in session.kept] == [0]
    other = SolvedText(TEXT + "\n", small.bike, small.pictured)
    session.write(other.text, 0.0)
    session.solved(session.revision, other)
    assert len(session.kept) == 1
    session.wrote(other.text)
    assert [k.number for k in session.kept] == [0, 1]
    assert session.version(1) is other
    assert session.version(7) is None
    session.wrote(other.text)
    assert len(session.kept) == 2
    for i in range(VERSIONS):
        text = f"{TEXT}#{i}"
        session.write(text, 10.0 * i)
        session.wrote(text)
        session.solved(session.revision, SolvedText(text, small.bike, small.pictured))
    assert len(session.kept) == VERSIONS
    assert session.kept[-1].number == VERSIONS + 1
