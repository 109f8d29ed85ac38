"""What is said of an axle in sliding dropouts."""

from __future__ import annotations

from dataclasses import replace

from frame3d.bike.tension.slide_notes import slide_notes
from tests.plates.test_dropouts import SLIDING, bike


def test_the_chainstay_length_at_both_ends_is_told() -> None:
    made = bike(SLIDING)
    (note,) = slide_notes(made.spec, made.dropouts)
    assert note.path == "build.dropout.slide"
    x, _, z = made.dropouts[0].axle
    near, far = (((x + by) ** 2 + z**2) ** 0.5 for by in (6, -10))
    assert (
        f"6 of 16 mm back in its slots; foremost the chainstay length is {near:.2f}" in note.message
    )
    assert f"rearmost {far:.2f} mm" in note.message


def test_plain_dropouts_need_no_word() -> None:
    made = bike({"kind": "hooded"})
    assert slide_notes(made.spec, made.dropouts) == ()
    assert slide_notes(made.spec, ()) == ()
    still = [replace(one, slide=None) for one in bike(SLIDING).dropouts]
    assert slide_notes(made.spec, still) == ()
