"""The page's section on stiffness."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace
from typing import Any, cast

import frame3d
from frame3d.parameters.reading.reader import loads
from frame3d.report.stiffness_sections.section import section
from frame3d.report.texts import texts
from frame3d.stiffness.load_cases import CASES

CONFIGS = Path(__file__).parents[3] / "configs"


def of_bike(bike: Any) -> str | None:
    return section(cast(Any, SimpleNamespace(bike=bike)), texts())


def test_every_case_with_its_words_and_the_caution_of_the_method() -> None:
    page = of_bike(frame3d.solve(frame3d.load(CONFIGS / "trail_hardtail_29.yaml")))
    assert page is not None
    assert all(case.title in page for case in CASES)
    assert "Stiffer is not stronger" in page
    assert "A bridge counts for more" in page
    assert "stress" not in page


def test_without_tubes_there_is_none_and_faults_are_told() -> None:
    assert of_bike(frame3d.solve(frame3d.load(CONFIGS / "minimal.yaml"))) is None
    text = (CONFIGS / "trail_hardtail_29.yaml").read_text("utf-8")
    text = text.replace("material: 4130", "material: {name: Own, density_g_cm3: 2.7}", 1)
    page = of_bike(frame3d.solve(loads(text, "own.yaml")))
    assert page is not None
    assert "modulus" in page
