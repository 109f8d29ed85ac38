"""A design's file equals the one that is read whole with its values."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from frame3d.errors import SpecError
from frame3d.explore.evaluate.designs import Designs, start_of
from frame3d.explore.study.study import Study, Varied
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.reading import tree
from frame3d.parameters.reading.data import places
from frame3d.parameters.reading.reader import loads, variants_of
from tests.explore.evaluate.studies import DEMOS, numbers_of, study_of
from tests.sampling import sample


def whole(study: Study, design: tuple[float | str, ...], size: str | None) -> FrameSpec | str:
    """The file read with all its values, or its faults; only its text is parsed once."""
    parsed = _parsed(study.bike_text, study.bike_source)
    try:
        return loads(
            study.bike_text,
            study.bike_source,
            study.sets(design),
            parse=lambda *_: parsed,
            size=size,
            settings=study.settings,
        )
    except SpecError as error:
        return str(error)


@cache
def _parsed(text: str, source: str) -> tree.Parsed:
    return tree.parse(text, places(text, source))


def quick(designs: Designs, design: tuple[float | str, ...], size: str | None) -> FrameSpec | str:
    try:
        return designs.spec(design, size)
    except SpecError as error:
        return str(error)


@pytest.mark.parametrize("demo", DEMOS)
def test_random_designs_are_those_of_the_whole_file(demo: str) -> None:
    numbers = numbers_of(demo)
    random = np.random.default_rng(7)
    text = study_of(demo, ()).bike_text
    sizes = variants_of(text).sizes
    refused = taken = 0
    for _ in sample(range(120), 8):
        paths = random.choice(sorted(numbers), size=int(random.integers(1, 5)), replace=False)
        varied = tuple(
            Varied(str(p), numbers[p] - 50, numbers[p] + 50, start=numbers[p]) for p in paths
        )
        study = study_of(demo, varied)
        designs = Designs(study)
        for spread in (0.02, 0.6):
            design = tuple(
                round(numbers[p] * (1 + float(random.uniform(-spread, spread))), 3) for p in paths
            )
            for size in (None, *sizes[:1]):
                wanted = whole(study, design, size)
                assert quick(designs, design, size) == wanted, (design, paths)
                refused += isinstance(wanted, str)
                taken += not isinstance(wanted, str)
                if isinstance(wanted, FrameSpec):
                    got = designs.spec(design, size)
                    assert [got.place(p) for p in paths] == [wanted.place(p) for p in paths]
                    assert got.variants == wanted.variants
    assert taken > refused / 4


def test_names_and_percentages_vary_too() -> None:
    varied = (
        Varied("build.rear_wheel.tyre", values=("58-622", "61-622"), start="61-622"),
        Varied("suspension.sag", values=("28%", "31.5%"), start="30%"),
        Varied("geometry.reach", 430, 480, start=455.0),
    )
    study = study_of("trail_full_140", varied)
    designs = Designs(study)
    for design in (("58-622", "31.5%", 447.125), ("61-622", "28%", 455.0)):
        spec = designs.spec(design)
        assert spec == whole(study, design, None)
        assert spec.suspension is not None
        assert spec.suspension.sag == pytest.approx(float(design[1].rstrip("%")) / 100)


def test_two_values_may_change_only_together() -> None:
    """A piston as wide as this leaves no air in the file's own volume, but does in a larger one."""
    varied = (
        Varied("suspension.spring.air.piston", 30, 60, start=42.0),
        Varied("suspension.spring.air.volume_cm3", 100, 300, start=120.0),
    )
    study = study_of("trail_full_140", varied)
    with pytest.raises(SpecError, match="leaves no air"):
        Designs(study).spec((56.0, 120.0))
    design = (56.0, 240.0)
    assert Designs(study).spec(design) == whole(study, design, None)


def test_percentages_of_a_range_are_put_in_as_such() -> None:
    varied = (Varied("suspension.sag", 25, 35, start=30.0, percent=True),)
    study = study_of("trail_full_140", varied)
    spec = Designs(study).spec((27.5,))
    assert spec == whole(study, (27.5,), None)
    assert spec.suspension is not None
    assert spec.suspension.sag == pytest.approx(0.275)


def test_refused_designs_tell_what_the_file_would() -> None:
    study = study_of("trail_hardtail_29", (Varied("geometry.reach", 400, 500, start=455.0),))
    with pytest.raises(SpecError, match="above 800 mm") as caught:
        Designs(study).spec((900.0,))
    assert str(caught.value) == whole(study, (900.0,), None)


def test_values_by_size_are_put_into_each_size() -> None:
    demo = "families/trail_hardtail"
    sizes = variants_of(study_of(demo, ()).bike_text).sizes
    path = "geometry.bb_drop"
    study = study_of(demo, (Varied(path, 40, 80, start=60.0),), sizes=sizes)
    designs = Designs(study)
    for size in sizes:
        spec = designs.spec((57.25,), size)
        assert spec == whole(study, (57.25,), size)
        assert spec.geometry.bb_drop == 57.25
        assert spec.variants.size == size


def test_settings_are_made_last() -> None:
    text = study_of("families/trail_full", ()).bike_text
    offered = variants_of(text)
    assert offered.settings
    study = study_of(
        "families/trail_full",
        (Varied("geometry.bb_drop", 10, 40, start=25.0),),
        settings=offered.settings[:1],
    )
    designs = Designs(study)
    spec = designs.spec((21.5,))
    assert spec == whole(study, (21.5,), None)
    assert spec.variants.chosen == offered.settings[:1]
    assert designs.drawn((21.5,)).variants.chosen == ()


def test_the_start_is_the_files_own_or_the_least() -> None:
    varied = (
        Varied("a", 1, 2, start=1.5),
        Varied("b", 1, 2),
        Varied("c", values=("x", "y")),
    )
    assert start_of(study_of("minimal", varied)) == (1.5, 1, "x")
