"""What is said of sizes: a sentence only where there is a figure for it."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

from frame3d.cli.screen_sizing import sized, sizing_document, verdict
from frame3d.family.fitting import Body, Fitting, fitting
from frame3d.family.wanted import Source

FAMILY = Path(__file__).parents[2] / "configs" / "families" / "trail_hardtail.yaml"


@cache
def found() -> Fitting:
    source = Source("f", FAMILY.read_text("utf-8"), ())
    return fitting(source, Body(1765.0, 840.0, 741.7, 80.0, ("saddle height 742 mm",)))


def test_the_sentence_names_the_nearest_and_its_neighbours() -> None:
    assert verdict(found()) == (
        "All that was checked holds on S, M, L; M is drawn for the nearest rider, as tall; "
        "on S instead: reach -25 mm, saddle to grips, level -25 mm, inseam over the standover +22 mm; "
        "on L instead: reach +25 mm, saddle to grips, level +25 mm, inseam over the standover -9 mm."
    )


def test_without_riders_of_their_own_sizes_are_not_told_apart() -> None:
    alike = tuple(replace(size, drawn_for=None) for size in found().sizes)
    said = verdict(replace(found(), sizes=alike))
    assert said.startswith("All that was checked holds on S, M, L; the file gives no riders")


def test_a_narrow_terminal_repeats_the_first_column() -> None:
    wide, narrow = sized(found(), 200), sized(found(), 60)
    assert wide.count("Saddle height [mm]") == 1
    assert narrow.count("Saddle height [mm]") > 1
    assert "(saddle height 742 mm)" in wide


def test_the_document_says_the_same() -> None:
    document = sizing_document(found())
    assert document["sentence"] == verdict(found())
    assert document["holding"] == ["S", "M", "L"]
    assert document["sizes"]["L"]["figures"]["reach"] == 480
    assert document["units"]["trunk_angle"] == "degrees"


def test_a_foot_that_does_not_reach_is_told() -> None:
    one = found().sizes[1]
    rider = one.bike.rider
    assert rider is not None
    short = replace(one, bike=replace(one.bike, rider=replace(rider, legs_reach=False)))
    said = sized(replace(found(), sizes=(short,)), 200)
    assert "- M: seated, the foot does not reach the pedal at its lowest: it takes a lower" in said
    assert "does not reach" not in sized(found(), 200)


def test_what_each_size_does_for_the_hands() -> None:
    shown = sized(found(), 200)
    assert "For grips at 448 | 720, as on M: stem | spacers | rise" in shown
    (row,) = [line for line in shown.splitlines() if "hands where they are wanted" in line]
    assert row.split()[-4:] == ["yes", "yes", "no", "no"]
    assert "Assumed: at most 30 mm of spacers" in shown
    document = sizing_document(found())
    assert document["grips"]["as_on"] == "M"
    assert document["sizes"]["M"]["cockpit"]["stem"] == 45


def test_sizes_without_a_stem_are_told_without_hands() -> None:
    bare = tuple(replace(size, cockpit=None) for size in found().sizes)
    assert "For grips" not in sized(replace(found(), sizes=bare), 200)
    mixed = (bare[0], *found().sizes[1:])
    (row,) = [
        line
        for line in sized(replace(found(), sizes=mixed), 200).splitlines()
        if "For grips" in line
    ]
    assert " – " in row
    assert sizing_document(replace(found(), sizes=bare, grips=None))["grips"] is None
    assert sizing_document(replace(found(), sizes=bare))["sizes"]["M"]["cockpit"] is None
