"""Load cases in wishes and preferences."""

from __future__ import annotations

import pytest

from frame3d.explore.study.stiffness_figures import StiffnessFigures
from frame3d.parameters.reading.reader import loads
from frame3d.stiffness.load_cases import CASES
from tests.explore.study.faults import FULL, HARDTAIL, REACH, faults, read, wishes


@pytest.fixture(scope="module")
def figures() -> StiffnessFigures:
    return StiffnessFigures(loads(FULL, "bike.yaml"))


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.key)
def test_load_cases_that_the_bike_has(figures: StiffnessFigures, case: object) -> None:
    assert figures.lack(case.key) is None  # type: ignore[attr-defined]


def test_a_mistyped_one_is_told_with_those_most_like_it(figures: StiffnessFigures) -> None:
    lack = figures.lack("head_twists")
    assert lack is not None
    assert "no such load case" in lack[0]
    assert "did you mean stiffness.head_twist" in lack[1]
    far = figures.lack("xyz")
    assert far is not None
    assert far[1].startswith("frame3d stiffness --json")


def test_what_a_frame_lacks_is_told() -> None:
    own = HARDTAIL.replace("material: 4130", "material: {name: Own, density_g_cm3: 2.7}", 1)
    lack = StiffnessFigures(loads(own, "bike.yaml")).lack("head_twist")
    assert lack is not None
    assert "no Young's modulus" in lack[0]
    assert "young_gpa" in lack[1]
    plain = HARDTAIL[: HARDTAIL.index("\ntubes:")]
    plain = plain.replace("  bottles: [{on: down_tube, from_start: 330}]\n", "")
    lack = StiffnessFigures(loads(plain, "bike.yaml")).lack("head_twist")
    assert lack is not None
    assert "needs the frame's tubes" in lack[0]


def test_in_a_study_by_dotted_key_nested_and_preferred() -> None:
    dotted = read(wishes("stiffness.head_twist: {from: 50}")).wishes
    nested = read(wishes("stiffness: {head_twist: {from: 50}}")).wishes
    assert dotted == nested
    (one,) = dotted
    assert (one.label, one.quantity.stage, one.quantity.unit) == (
        "stiffness.head_twist", "stiffness", "N·m/°",
    )  # fmt: skip
    assert one.shortfall(49.0) == pytest.approx(2)  # two per cent of it
    most = read(wishes("stiffness.saddle_down: {to: 1000}")).wishes[0]
    assert (most.quantity.unit, most.shortfall(1010.0)) == ("N/mm", pytest.approx(1))
    (better,) = read(REACH + "prefer: {most: stiffness.head_twist}\n").preferences
    assert (better.label, better.least) == ("stiffness.head_twist", False)


def test_faults_have_their_lines() -> None:
    fault = faults(wishes("stiffness: {head: {from: 5}}"))[0]
    assert (fault.code, fault.path) == ("not-allowed", "wishes.stiffness.head")
    assert fault.place is not None
    assert fault.place.line == 4
    fault = faults(wishes("stiffness: 5"))[0]
    assert (fault.code, fault.path) == ("wrong-type", "wishes.stiffness")
    fault = faults(wishes("stiffness.head_twist: {from: -5}"))[0]
    assert (fault.code, fault.path) == ("out-of-range", "wishes.stiffness.head_twist")
    fault = faults(REACH + "prefer: {most: stiffness.head}\n")[0]
    assert (fault.code, fault.path) == ("not-allowed", "prefer.most")
    fault = faults(REACH + "prefer: {most: stiffness.head_twist, at: sag}\n")[0]
    assert (fault.code, fault.path) == ("inconsistent", "prefer.at")
