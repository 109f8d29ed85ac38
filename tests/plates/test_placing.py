"""Plates of a whole file: names, materials, notes, and masses as `solve --mass` has them."""

from __future__ import annotations

from pathlib import Path

import pytest

import frame3d
from frame3d.errors import SpecError, TubeError
from frame3d.tubes.mass import masses_of
from frame3d.tubes.plate import Plate
from tests.plates.parts import GUSSET, OWN, TAB, bike

CONFIGS = Path(__file__).parents[2] / "configs"


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


def test_a_plate_that_a_tube_cuts_in_two_is_noted() -> None:
    """The solid is the largest piece, and so is the mass."""
    across = OWN | {"at": [150, 100], "path": [[0, 0], [60, 0], [60, 200], [0, 200]]}
    made = bike(brace=across | {"holes": [], "slots": [], "pockets": []})
    assert any("cut in pieces by down_tube" in note.message for note in made.frame.notes)


def test_two_parts_of_one_name_are_a_fault() -> None:
    with pytest.raises(TubeError, match="another part is named tab_left"):
        bike(tab=TAB | {"gap": 20}, tab_left=GUSSET)


GUARD = """
plates:
  guard: {kind: path, link: chainstay_link, at: main_pivot, y: 45, pair: true, thickness: 4,
          path: [[-120, -20], [-60, -20], [-60, 20], [-120, 20]]}
"""


def test_a_plate_on_a_link_moves_with_it(tmp_path: Path) -> None:
    """Another shock turns the links: plate and tube keep their distance."""
    file = tmp_path / "bike.yaml"
    file.write_text((CONFIGS / "trail_full_140.yaml").read_text("utf-8") + GUARD, "utf-8")
    drawn = frame3d.solve(frame3d.load(file))
    other = frame3d.exchange(drawn, {"build.fork.axle_to_crown": 571.0})
    for before, after in zip(drawn.plates, other.plates, strict=True):
        assert before.on == (f"chainstay_{before.side}",)
        assert after.centre != pytest.approx(before.centre, abs=0.1)
        there = other.frame.motion("chainstay_link").point(before.centre)
        assert after.centre == pytest.approx(there, abs=1e-9)


def test_the_front_frame_is_no_link(tmp_path: Path) -> None:
    file = tmp_path / "bike.yaml"
    text = (CONFIGS / "trail_full_140.yaml").read_text("utf-8")
    file.write_text(text + GUARD.replace("chainstay_link", "frame"), "utf-8")
    with pytest.raises(SpecError, match="there is no link frame"):
        frame3d.load(file)


def test_pockets_of_a_pair_are_mirror_images() -> None:
    """A pocket in the face nearer to the drive side is the left one's inner face, so the right one's too."""
    left, right = bike(brace=OWN | {"y": 40, "pair": True}).plates

    def floors(one: Plate) -> list[float]:
        (*_, pocket) = one.cut_outs(0.0)
        ends = [pocket.plane.at((0.0, 0.0), h)[1] for h in (pocket.low, pocket.high)]
        return sorted(abs(y) for y in ends)

    assert floors(left) == pytest.approx([37.5, 39.5])
    assert floors(right) == pytest.approx([37.5, 39.5])
