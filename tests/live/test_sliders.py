"""Numbers that sliders can move."""

from __future__ import annotations

from pathlib import Path

import pytest

from frame3d.bike.choice import Choice
from frame3d.errors import SpecError
from frame3d.live.sliders import inputs, origin
from frame3d.parameters.reading.editing import numbers, with_numbers
from frame3d.parameters.reading.reader import loads
from frame3d.report.texts import texts
from tests.live.families import FAMILY, TEXT
from tests.live.serving import SMALL

CONFIGS = sorted((Path(__file__).parents[2] / "configs").glob("*.yaml"))


@pytest.mark.parametrize("file", CONFIGS, ids=lambda f: f.stem)
def test_every_number_of_the_demos_but_names_has_a_slider(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    found = inputs(text)
    names = {"material", "tubes.head_tube.material"}
    assert set(numbers(text)) - set(found) <= names
    for one in found.values():
        assert one.low <= one.value <= one.high
        assert one.low < one.high
        assert one.title
        steps = (one.value - one.low) / one.step
        assert steps == pytest.approx(round(steps), abs=1e-6), (
            one
        )  # the value is one that it can show


def test_the_format_allows_both_ends_of_every_slider() -> None:
    """Each number by itself: values that do not go together are another matter."""
    text = SMALL.read_text(encoding="utf-8")
    for path, one in inputs(text).items():
        for end in (one.low, one.high):
            assert codes(with_numbers(text, {path: end})) <= {"inconsistent"}, (path, end)


def codes(text: str) -> set[str]:
    """Of the faults that a text has."""
    try:
        loads(text)
    except SpecError as error:
        return {fault.code for fault in error.faults}
    return set()


def test_units_and_counts() -> None:
    text = "geometry: {head_tube_angle: 65.5, reach: 455}\nbuild:\n  chainring: {teeth: 32}\n"
    text += "  fork: {sag: 25%}\n  rider: {mass_kg: 80}\n"
    found = inputs(text)
    shown = {path: (one.unit, one.step) for path, one in found.items()}
    assert shown == {
        "geometry.head_tube_angle": ("degrees", 0.1),
        "geometry.reach": ("mm", 1.0),
        "build.chainring.teeth": ("", 1.0),
        "build.fork.sag": ("%", 1.0),
        "build.rider.mass_kg": ("kg", 0.5),
    }
    assert found["build.chainring.teeth"].low >= 1
    assert found["build.fork.sag"].high <= 100


def test_numbers_where_the_format_knows_none_have_no_slider() -> None:
    assert inputs("geometry: {nonsense: 1}\nmaterial: 4130\nname: 7\ntubes: {x: 3}\n") == {}


def test_a_slider_of_a_size_changes_what_that_size_takes_its_number_from() -> None:
    found = inputs(FAMILY, Choice("L", ("long",)))
    reach, drop = found["geometry.reach"], found["geometry.bb_drop"]
    assert (reach.value, reach.in_file(490.00001), reach.in_bike(440.0)) == (480, 440, 490)
    assert (drop.value, drop.place.written, drop.in_file(65.5)) == (64, "geometry.bb_drop.L", 65.5)
    assert not any(path.startswith(("sizes", "settings")) for path in found)


def test_whose_number_it_is_is_told_beside_the_slider() -> None:
    def said(path: str, size: str, *settings: str) -> str:
        place = inputs(FAMILY, Choice(size, settings))[path].place
        return origin(place, ("S", "M", "L"), texts())

    assert said("geometry.reach", "M") == "by rule, all sizes"
    assert said("geometry.bb_drop", "M") == "size M alone"
    assert said("geometry.head_tube_angle", "M") == "sizes M, L"
    assert said("geometry.head_tube_angle", "S") == "size S alone"
    assert said("build.fork.offset", "S") == "all sizes"
    assert said("build.fork.offset", "S", "quick") == "setting quick, all sizes"
    alone = inputs(TEXT)["geometry.reach"].place
    assert origin(alone, (), texts()) == ""
