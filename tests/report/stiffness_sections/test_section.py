"""The page's section on stiffness."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

import frame3d
from frame3d.bike.choice import Choice
from frame3d.family.of_file import tables_of
from frame3d.family.wanted import Source
from frame3d.parameters.reading.reader import loads
from frame3d.report.stiffness_sections.section import section
from frame3d.report.texts import texts
from frame3d.stiffness.gains import gains_of
from frame3d.stiffness.load_cases import CASES
from frame3d.stiffness.of_bike import stiffness_of
from tests.report.samples import bare

CONFIGS = Path(__file__).parents[3] / "configs"


def of_bike(bike: Any, offered: Any = None) -> str | None:
    return section(bare(bike, offered=offered), texts())


def test_every_case_with_its_words_and_the_caution_of_the_method() -> None:
    page = of_bike(frame3d.solve(frame3d.load(CONFIGS / "trail_hardtail_29.yaml")))
    assert page is not None
    assert all(case.title in page for case in CASES)
    assert "Stiffer is not stronger" in page
    assert "A bridge counts for more" in page
    assert "stress" not in page


def test_every_size_of_every_tube_with_its_grams() -> None:
    bike = frame3d.solve(frame3d.load(CONFIGS / "trail_hardtail_29.yaml"))
    page = of_bike(bike)
    assert page is not None
    found = {(gain.tube, gain.size): gain for gain in gains_of(stiffness_of(bike))}
    row = re.search(r'<tr><th scope="row">Down tube, outside \+1 mm</th>(.*?)</tr>', page)
    assert row is not None
    grams, *percent = re.findall(r"<td>(.*?)</td>", row[1])
    gain = found["down_tube", "od"]
    assert grams == f"+{gain.grams:.0f}"
    assert [float(one.replace("−", "-")) for one in percent] == pytest.approx(
        [gain.percent[case.key] for case in CASES], abs=0.0501
    )
    assert '<th scope="row">Chainstay bridge, wall +0.1 mm *</th>' in page


def test_without_tubes_there_is_none_and_faults_are_told() -> None:
    assert of_bike(frame3d.solve(frame3d.load(CONFIGS / "minimal.yaml"))) is None
    text = (CONFIGS / "trail_hardtail_29.yaml").read_text("utf-8")
    text = text.replace("material: 4130", "material: {name: Own, density_g_cm3: 2.7}", 1)
    page = of_bike(frame3d.solve(loads(text, "own.yaml")))
    assert page is not None
    assert "modulus" in page


def test_sizes_and_settings_of_the_file_beside_the_bike_at_hand() -> None:
    file = CONFIGS / "families" / "trail_hardtail.yaml"
    bike = frame3d.variant(file, size="L")
    page = of_bike(bike, tables_of(Source("f", file.read_text("utf-8")), Choice("L")))
    assert page is not None
    assert "Sizes beside L" in page
    assert "Settings beside drawn" in page
    assert page.count('class="ratio-bars"') == 2 * len(CASES)
    assert "not told apart" in page
    assert "1.00 same" in page  # another fork on the same frame
    assert "per kg" in page
