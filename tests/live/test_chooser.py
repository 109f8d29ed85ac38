"""The choice of size and settings follows the text."""

from __future__ import annotations

from frame3d.bike.choice import Choice
from frame3d.live.choosing.chooser import Chooser
from frame3d.parameters.models.variants import Variants

OFFERED = Variants(("S", "M", "L"), "M", ("long", "quick"))


def chooser(size: str | None, *settings: str) -> Chooser:
    one = Chooser()
    one.read(OFFERED)
    one.choose(size, settings)
    return one


def test_at_first_the_file_s_default_as_drawn() -> None:
    one = Chooser()
    assert one.choice == Choice()
    assert not one.is_read
    one.read(OFFERED)
    assert one.choice == Choice("M")
    assert one.document() == {
        "sizes": ["S", "M", "L"],
        "settings": ["long", "quick"],
        "size": "M",
        "chosen": [],
    }


def test_settings_are_made_together_in_the_order_of_the_file() -> None:
    one = chooser("M")
    assert not one.choose("M", ())
    assert one.choose("L", ("quick", "long"))
    assert one.choice == Choice("L", ("long", "quick"))


def test_what_is_gone_falls_back_and_is_chosen_again_when_it_is_back() -> None:
    one = chooser("L", "quick")
    one.read(Variants(("S", "M"), "S", ("long",)))
    assert one.choice == Choice("S")
    one.read(None)  # half typed
    assert (one.choice, one.is_read) == (Choice("S"), False)
    one.read(Variants())
    assert one.choice == Choice()
    one.read(OFFERED)
    assert one.choice == Choice("L", ("quick",))


def test_a_name_that_is_typed_anew_stays_chosen() -> None:
    one = chooser("L", "long")
    one.read(Variants(("S", "M", "LX"), "M", ("longer", "quick")))
    assert one.choice == Choice("LX", ("longer",))
    one.read(Variants(("M", "S", "LX"), "M", ("longer", "quick")))  # two have changed places
    assert one.choice.size == "LX"
    one = chooser(None)
    one.read(Variants(("S", "N", "L"), "N"))
    assert one.choice == Choice("N")
