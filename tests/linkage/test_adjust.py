"""Coordinates found for a wanted travel and shock length."""

from __future__ import annotations

import pytest

from frame3d.linkage import solve_linkage
from tests.linkage.bikes import AXLE, SWINGARM, spec_of


@pytest.mark.parametrize(
    ("wish", "travel", "length"),
    [
        ("[{point: shock_rear, coordinate: x, to_meet: eye_to_eye}]", None, 215),
        ("[{point: shock_rear, coordinate: z, to_meet: travel}]", 165, None),
        (
            "[{point: shock_rear, coordinate: z, to_meet: travel}, "
            "{point: shock_front, coordinate: x, to_meet: eye_to_eye}]",
            165,
            210,
        ),
    ],
)
def test_coordinates_are_found(wish: str, travel: float | None, length: float | None) -> None:
    section = SWINGARM + f"solve_for: {wish}\n"
    if travel is not None:
        section += f"travel: {travel}\n"
    if length is not None:
        section = section.replace("212.132", str(length))
    else:
        section = section.replace("eye_to_eye: 212.132", "eye_to_eye: 213")
        section = section.replace("solve_for: [", "solve_for: [{point: shock_front, coordinate: x, "
                                  "to_meet: eye_to_eye}, ")  # fmt: skip
    linkage = solve_linkage(spec_of(section), AXLE)
    if travel is not None:
        assert linkage.full_travel == pytest.approx(travel, abs=1e-8)
    assert linkage.eye_to_eye == pytest.approx(213 if length is None else length, abs=1e-8)
    for (point, coordinate), value in linkage.moved.items():
        assert linkage.drawn[point]["xz".index(coordinate)] == value
    assert [n.code for n in linkage.notes] == ["solved"] * len(linkage.moved)
