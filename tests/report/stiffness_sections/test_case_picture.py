"""Pictures of load cases."""

from __future__ import annotations

import re

import pytest

from frame3d.report.stiffness_sections.case_picture import DRAWN, picture, share_step
from frame3d.report.texts import texts
from frame3d.stiffness.load_cases import CASES
from tests.stiffness.test_of_bike import result


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.key)
def test_each_case_shows_tubes_supports_and_load(case: object) -> None:
    from frame3d.stiffness.load_cases import LoadCase

    assert isinstance(case, LoadCase)
    beam = result("adventure")
    drawn, _ = picture(beam, beam.of(case.key), texts())
    assert drawn.count('class="still"') == drawn.count('class="bent ') == len(beam.shape(case.key))
    assert 'class="load"' in drawn
    assert 'class="held"' in drawn
    assert case.title in drawn
    box = [float(v) for v in re.findall(r'viewbox="([^"]+)"', drawn, re.I)[0].split()]
    assert 500 < box[2] < 2500


def test_colours_go_by_share() -> None:
    assert [share_step(v) for v in (0.0, 0.05, 0.2, 0.4, 0.9)] == [0, 1, 2, 3, 4]
    beam = result("adventure")
    down = beam.of("head_sideways").energy["down_tube"]
    assert f"share-{share_step(down)}" in picture(beam, beam.of("head_sideways"), texts())[0]


def test_the_largest_displacement_is_drawn_as_told() -> None:
    beam = result("adventure")
    most = max(abs(moved).max() for _, moved in beam.shape("head_sideways").values())
    _, times = picture(beam, beam.of("head_sideways"), texts())
    assert times * most <= DRAWN * 1.0001
