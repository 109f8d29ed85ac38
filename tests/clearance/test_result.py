"""What is shown of a result says the same as its verdict, on the screen, on the page and in JSON."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest

from frame3d.bike.solve import solve
from frame3d.clearance.result import MOST, Report, Result
from frame3d.cli import screen
from frame3d.formats.documents import result_document
from frame3d.parameters.reading.reader import load
from frame3d.report.sections.clearances import clearances, state_of
from frame3d.report.texts import texts
from tests.report.samples import bare

DEMO = Path(__file__).parents[2] / "configs" / "trail_hardtail_29.yaml"


def a_result(gap: float, error: float, required: float) -> Result:
    """A check between two parts."""
    return Result(
        name="bottle_to_frame",
        title="Bottle",
        between=("bottle_1", "top_tube"),
        gap=gap,
        error=error,
        required=required,
        unit="mm",
        source="",
    )


@pytest.mark.parametrize("seed", range(200))
def test_shown_digits_tell_the_verdict(seed: int) -> None:
    """Near the requirement too: the least shown is on its side of it, what is missing is not 0."""
    random = np.random.default_rng([51, seed])
    required = float(random.choice([3.0, 6.0, 10.0, 2.5]))
    off = float(random.choice([-1, 1]) * 10.0 ** random.uniform(-7, 1))
    error = float(random.uniform(0, 0.01))
    result = a_result(required + off + error, error, required)
    for fewest in (1, 2):
        count = result.decimals(fewest)
        assert fewest <= count <= MOST
        assert (float(f"{result.least:.{count}f}") >= required) == result.ok
        assert (float(f"{-result.margin:.{count}f}") > 0) == (not result.ok)
    assert result.ok == (result.least >= required) == (state_of(result) != "short")
    said = result_document(result)
    assert (said["least"] >= said["required"]) == said["ok"]
    assert said["least"] == pytest.approx(said["gap"] - said["error"], abs=1e-12)


def test_the_screen_prints_what_decides() -> None:
    """10.0061 found, 9.9967 certain, 10 required: not "SHORT 10.01 mm, short by 0.00"."""
    layout = solve(load(DEMO))
    text = screen.checked(layout, Report((a_result(10.0061, 0.0094, 10.0),), ()))
    row = next(line for line in text.splitlines() if line.startswith("SHORT"))
    assert re.findall(r"[-+]?\d+\.\d+", row)[:3] == ["9.997", "10.00", "-0.003"]
    assert "short by 0.003 mm" in text
    held = screen.checked(layout, Report((a_result(12.0, 0.001, 10.0),), ()))
    assert "12.00 mm" in held


def test_a_wide_certificate_is_shown_with_both_its_ends() -> None:
    """A depth that could not be narrowed: on the screen, on the page and in JSON."""
    wide = a_result(-20.3, 1.4, 2.0)
    bike = solve(load(DEMO))
    assert "-21.70 to -20.30 mm" in screen.checked(bike, Report((wide,), ())).replace("−", "-")
    page = clearances(bare(bike, report=Report((wide,), ())), texts()).replace("−", "-")
    assert "-21.7 mm to -20.3 mm" in page
    assert result_document(wide)["error"] == 1.4
    narrow = screen.checked(bike, Report((a_result(-20.3, 0.01, 2.0),), ()))
    assert "-20.31 mm" in narrow.replace("−", "-")
    assert " to -20.30" not in narrow.replace("−", "-")
