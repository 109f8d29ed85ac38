"""Metric threads as text."""

from __future__ import annotations

import pytest

from frame3d.parameters.sizes.threads import drill_of, nominal_of


@pytest.mark.parametrize(
    ("thread", "nominal", "drill"),
    [
        # Tapping drills of metric threads; values from memory of handbook tables (nominal less pitch).
        ("M5", 5.0, 4.2),
        ("M6", 6.0, 5.0),
        ("M10x1", 10.0, 9.0),
        ("M12 × 1.5", 12.0, 10.5),
        ("m12x1.0", 12.0, 11.0),
        ("1/4-20", None, None),
        ("M7", 7.0, None),
        ("M5x9", 5.0, None),
    ],
)
def test_nominal_and_drill(thread: str, nominal: float | None, drill: float | None) -> None:
    assert (nominal_of(thread), drill_of(thread)) == (nominal, drill)
