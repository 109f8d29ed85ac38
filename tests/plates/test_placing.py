"""Plates of a whole file: names, materials, notes, and masses as `solve --mass` has them."""

from __future__ import annotations

import pytest

from frame3d.errors import TubeError
from frame3d.tubes.mass import masses_of
from tests.plates.parts import GUSSET, OWN, TAB, bike


def test_plates_come_in_the_files_order_with_left_before_right() -> None:
    made = bike(tab=TAB | {"gap": 20}, gusset=GUSSET)
    assert [plate.name for plate in made.plates] == ["tab_left", "tab_right", "gusset"]
    assert [plate.side for plate in made.plates] == ["left", "right", None]


def test_material_and_colour_are_the_frames_where_not_given() -> None:
    plain, own = bike(a=GUSSET, b=TAB | {"material": "6061-T6", "colour": "#102030"}).plates
    assert (plain.material, plain.colour) == ("4130", bike().spec.colour)
    assert (own.material, own.density, own.colour) == ("6061-T6", 2.70, "#102030")


def test_masses_count_plates() -> None:
    made = bike(gusset=GUSSET)
    (gusset,) = made.plates
    before, after = masses_of(bike().frame), masses_of(made.frame)
    assert after.total - before.total == pytest.approx(gusset.grams)
    assert after.parts["gusset"] == gusset.grams


def test_a_plate_that_touches_no_tube_is_noted() -> None:
    made = bike(brace=OWN | {"at": [200, 30]})
    (note,) = (note for note in made.frame.notes if "touches no tube" in note.message)
    assert (note.code, note.path) == ("warning", "plates.brace")


def test_a_gusset_into_a_third_tube_is_noted() -> None:
    """Its solid is cut there; the mass too."""
    long = GUSSET | {"on": ["down_tube", "head_tube"], "lengths": [60, 45]}
    made = bike(brace=long)
    (gusset,) = made.plates
    assert gusset.on == ("down_tube", "head_tube", "top_tube")
    assert any("runs into top_tube" in note.message for note in made.frame.notes)
    assert gusset.volume < gusset.outline.volume(gusset.thickness) - 100


def test_pockets_where_a_tube_takes_the_metal_are_not_counted_twice() -> None:
    """The pocket lies wholly inside of the shell."""
    at = OWN | {"at": "bottom_bracket", "holes": [], "slots": []}
    at["path"] = [[0, 0], [60, 0], [60, 40], [0, 40]]
    plain = bike(brace=at | {"pockets": []}).plates[0]
    pocket = [{"at": [5, 5], "diameter": 6, "depth": 2}]
    assert bike(brace=at | {"pockets": pocket}).plates[0].volume == pytest.approx(
        plain.volume, abs=0.5
    )


def test_two_parts_of_one_name_are_a_fault() -> None:
    with pytest.raises(TubeError, match="another part is named tab_left"):
        bike(tab=TAB | {"gap": 20}, tab_left=GUSSET)
