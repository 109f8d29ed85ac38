"""Studies as files: the bike beside them, sizes, settings, samples, and faults of the whole."""

from __future__ import annotations

from pathlib import Path

import pytest

from frame3d.errors import SpecError
from frame3d.explore.study.bike_file import BikeFile
from frame3d.explore.study.read import loads_study, put_in, read_study
from frame3d.explore.study.study import Sample, Varied
from tests.explore.study.faults import (
    CONFIGS,
    FAMILY,
    FULL,
    HEAD,
    REACH,
    Row,
    faults,
    hold,
    read,
    row_name,
)

ALL = REACH + "wishes: {checks: all}\n"
ROWS: list[Row] = [
    ("", "missing-key", "", None, "empty", "format: 1"),
    ("format: 2\nbike: b\nvary: {a: [1]}\n", "not-allowed", "format", "2\n", "format 1, not 2", "1"),
    (HEAD + "wishes: {checks: all}\n", "missing-key", "vary", None, "missing", "dotted path"),
    (REACH, "missing-key", "wishes", None, "nothing is wished", "checks: all"),
    (ALL + "wihses: {}\n", "unknown-key", "wihses", "wihses", "unknown key", "did you mean wishes"),
    (ALL + "sample: 4000\n", "wrong-type", "sample", "4000", "stands where", "{sobol: 4000, seed: 1}"),
    (ALL + "sample: {}\n", "inconsistent", "sample", "{}", "no way of sampling", "one of them"),
    (ALL + "sample: {sobol: 0}\n", "out-of-range", "sample.sobol", "0}\n", "0 is below 1", "Sobol"),
    (ALL + "size: M\n", "missing-key", "size", "M\n", "has no sizes", "leave this out"),
    (ALL + "for: all sizes\n", "missing-key", "for", "all sizes", "has no sizes", "leave this out"),
    (ALL + "for: all\n", "not-allowed", "for", "all\n", "names no sizes", "all sizes"),
    (ALL + "setting: low\n", "not-allowed", "setting", "low", "no setting low", "known here: none"),
]  # fmt: skip
BY_SIZE: list[Row] = [
    (ALL + "size: Q\n", "not-allowed", "size", "Q\n", "no size Q", "S, M, L, XL, XXL"),
    (ALL + "for: [S, Q]\n", "not-allowed", "for.1", "Q]", "no size Q", "S, M, L, XL, XXL"),
    (ALL + "for: [S]\nsize: S\n", "inconsistent", "size", "S\n", "beside for", "one size"),
]


@pytest.mark.parametrize("row", ROWS, ids=row_name)
def test_fault(row: Row) -> None:
    hold(row)


@pytest.mark.parametrize("row", BY_SIZE, ids=row_name)
def test_fault_with_sizes(row: Row) -> None:
    hold(row, FAMILY)


@pytest.mark.parametrize("demo", sorted(p.name for p in (CONFIGS / "studies").glob("*.yaml")))
def test_each_demo_study_reads(demo: str) -> None:
    study = read_study(CONFIGS / "studies" / demo)
    assert study.varied
    assert study.start is not None
    for varied, value in zip(study.varied, study.start, strict=True):
        if varied.is_range:
            assert varied.low is not None
            assert varied.high is not None
            assert varied.low < float(value) < varied.high
    assert study.text == (CONFIGS / "studies" / demo).read_text("utf-8")


def test_the_bike_is_found_from_the_studys_folder(tmp_path: Path) -> None:
    (tmp_path / "bikes").mkdir()
    (tmp_path / "bikes" / "mine.yaml").write_text(FULL, "utf-8")
    study = tmp_path / "study.yaml"
    study.write_text(ALL.replace("bike.yaml", "bikes/mine.yaml"), "utf-8")
    found = read_study(study)
    assert found.bike_source == str(tmp_path / "bikes" / "mine.yaml")
    assert found.bike_text == FULL
    assert found == loads_study(found.text, str(study), FULL, found.bike_source)


def test_a_missing_study_and_a_missing_bike_are_told_apart(tmp_path: Path) -> None:
    study = tmp_path / "study.yaml"
    with pytest.raises(SpecError, match="check the name of the study"):
        read_study(study)
    study.write_text(ALL, "utf-8")
    with pytest.raises(SpecError) as raised:
        read_study(study)
    fault = raised.value.faults[0]
    assert (fault.code, fault.path) == ("file-missing", "bike")
    assert fault.place is not None
    assert fault.place.line == 2
    (tmp_path / "bike.yaml").write_bytes(b"\xff\xfe")
    with pytest.raises(SpecError, match="the bike's own file is at fault"):
        read_study(study)


@pytest.mark.parametrize(
    "bike", [FULL.replace("reach: 480", "raech: 480"), FULL.replace("reach: 480", "reach: 4800")]
)
def test_a_bike_at_fault_is_told_as_such(bike: str) -> None:
    found = faults(ALL, bike)
    assert all(f.message.startswith("the bike's own file is at fault") for f in found)
    assert found[0].place is not None
    assert found[0].place.source == "bike.yaml"


def test_a_bike_whose_figures_disagree_is_told_as_such() -> None:
    fault = faults(ALL, FULL.replace("reach: 480\n", "reach: 480\n  stack: 600\n"))[0]
    assert "own file is at fault: disagrees" in fault.message or "cannot vary" in fault.message


def test_sizes_and_the_default_one() -> None:
    assert read(ALL).sizes == (None,)
    text = HEAD + "vary: {geometry.bb_drop: {from: 30, to: 40}}\nwishes: {checks: all}\n"
    assert read(text, FAMILY).sizes == ("L",)
    assert read(text + "size: S\n", FAMILY).sizes == ("S",)
    assert read(text + "for: [S, XL]\n", FAMILY).sizes == ("S", "XL")
    assert read(text + "for: all sizes\n", FAMILY).sizes == ("S", "M", "L", "XL", "XXL")


def test_samples_and_a_study_of_samples_alone() -> None:
    assert read(REACH + "sample: {sobol: 64, seed: 3}\n").sample == Sample("sobol", 64, 3)
    assert read(ALL).sample is None


def test_what_is_put_in() -> None:
    bike = BikeFile(FULL, "b.yaml")
    there = Varied("geometry.reach", 440, 490, start=480.0)
    new = Varied("tubes.top_tube.start.y", 0, 5, start=1.0)
    assert put_in((there, new), bike, None) == ("tubes.top_tube.start.y=1",)


def test_a_start_that_does_not_go_with_the_file_is_told() -> None:
    text = HEAD + "vary: {tubes.top_tube.start.angle: {from: 60, to: 70, start: 65}}\n"
    found = faults(text + "wishes: {checks: all}\n")
    assert found[0].path == "vary.tubes.top_tube.start.angle"
    assert "with its start put in" in found[0].message
