"""Sheets of templates: what they say, and the paper that they need."""

from __future__ import annotations

import re

import numpy as np
import pytest

from frame3d.fabrication.template_sheets import TooWideError
from tests.fabrication.bikes import demo
from tests.fabrication.unrolled import paths, sheets, texts
from tests.frames import bar, context


def test_the_sheet_says_what_a_builder_asks() -> None:
    (sheet,) = sheets(demo(), "top_tube")
    said = texts(sheet)
    for text in ("Top tube", "seat tube at 81.00°", "head tube at 89.00°", "centre to centre",
                 "long point to long point", "twist, start to end", "50 × 50 mm", "top", "left",
                 "right", "bottom", "99.90", "Geometry only"):  # fmt: skip
        assert text in said
    assert np.pi * 31.8 == pytest.approx(99.90, abs=0.005)  # the circumference


def test_both_ends_share_their_lines() -> None:
    (sheet,) = sheets(demo(), "top_tube")
    middles = [(path[:, 0].min() + path[:, 0].max()) / 2 for path in paths(sheet, "CUT")]
    assert np.ptp(middles) < 1e-9


def test_no_sheet_prints_a_minus_before_nothing() -> None:
    """A mitre whose long point lies on the crossing of axes, off by rounding."""
    for name in ("trail_hardtail_29", "adventure_rigid", "trail_full_140"):
        layout = demo(name)
        for tube in layout.tubes:
            assert not re.search(r"(?<![\d.])-0\.?0*(?![.\d])", texts(sheets(layout, tube.name)[0]))
    equal = {
        "host": bar(30.0, (0, 0, -200), (0, 0, 200)),
        "equal": bar(30.0, {"on": "host", "from_start": 200}, (300, 0, 0), 1.0),
    }
    (sheet,) = sheets(context(equal), "equal")
    assert "long point 0.00" in texts(sheet)


def test_a_template_too_wide_for_the_paper_is_refused() -> None:
    layout = context({"fat": bar(90.0, (0, 0, 0), (300, 0, 0), 2.0)})
    with pytest.raises(TooWideError, match="289 mm wide with its flap, and A4 has room for 279 mm"):
        sheets(layout, "fat")


def test_one_too_wide_for_portrait_lies_on_its_side() -> None:
    layout = context({"wide": bar(70.0, (0, 0, 0), (300, 0, 0), 2.0)})
    (sheet,) = sheets(layout, "wide")
    assert (sheet.width, sheet.height) == (297.0, 210.0)
