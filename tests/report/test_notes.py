"""Notes: the file's own, then the solver's, each with its place."""

from __future__ import annotations

from dataclasses import replace

import pytest

from frame3d.caution import CAUTION
from frame3d.errors import Note, SourceLocation
from frame3d.report.sections.notes import caution, notes
from frame3d.report.texts import texts
from tests.report.samples import bare, minimal_bike, words

LINE = SourceLocation("bike.yaml", 7, 3)


@pytest.mark.parametrize(
    ("note", "said"),
    [
        (Note("assumed", "so it is"), "so it is"),
        (Note("assumed", "so it is", "build.fork"), "so it is build.fork"),
        (Note("assumed", "so it is", "build.fork", LINE), "so it is (build.fork, line 7)"),
        (
            Note("assumed", "so it is", "build.fork", SourceLocation("--set x")),
            "so it is build.fork",
        ),
        (Note("assumed", "<i>"), "<i>"),
    ],
)
def test_a_note_is_told_with_its_place(note: Note, said: str) -> None:
    assert words(notes(bare(replace(minimal_bike(), notes=(note,))), texts())) == said


def test_the_files_own_notes_come_first() -> None:
    spec = minimal_bike().spec.model_copy(update={"notes": "for the tall & long"})
    bike = replace(minimal_bike(), spec=spec, notes=(Note("assumed", "a"), Note("assumed", "b")))
    assert words(notes(bare(bike), texts())) == "for the tall & long a b"


def test_nothing_to_say_is_said() -> None:
    bike = replace(minimal_bike(), notes=())
    assert words(notes(bare(bike), texts())).endswith("The solver had nothing to add.")


def test_the_caution_is_whole() -> None:
    assert words(caution(texts())).endswith(CAUTION)
