"""Coordinates found for a wanted travel and shock length."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest

from frame3d.linkage import solve_linkage
from frame3d.linkage.adjust import adjust, changes, end_of_stroke
from frame3d.linkage.mechanism import Mechanism, assemble, make
from frame3d.linkage.trace import DeadPointError
from tests.linkage.bikes import AXLE, SWINGARM, four_bar, spec_of
from tests.linkage.test_motion import bases


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


STROKE = 15.0
NAMES = ("a", "b", "o4", "rear_axle", "fix")


def moved(values: Sequence[float], directions: Sequence[dict[str, complex]]) -> Mechanism:
    """The four-bar of `bases` with points moved along directions by so much each."""
    drawn = dict(four_bar(*bases).drawn)
    for value, direction in zip(values, directions, strict=True):
        for name, way in direction.items():
            drawn[name] += value * way
    return make(four_bar(*bases).structure, drawn)


@pytest.mark.parametrize("point", NAMES)
@pytest.mark.parametrize("way", [1 + 0j, 1j], ids=["x", "z"])
def test_changes_against_differences(point: str, way: complex) -> None:
    """Full travel and length of bikes that are really solved again, 1e-3 mm to either side."""
    made, step = four_bar(*bases), 1e-3
    drift = dict.fromkeys(made.drawn, 0j) | {point: way}
    found = changes(made, assemble(made.structure, drift), end_of_stroke(made, STROKE))
    ends = []
    for by in (-step, step):
        other = moved([by], [{point: way}])
        end = end_of_stroke(other, STROKE)
        rise = other.axle.at(end.turned)[0, 0] - other.drawn["rear_axle"]
        ends.append((float(rise.imag), other.length))
    wanted = np.subtract(ends[1], ends[0]) / (2 * step)
    assert found == pytest.approx(wanted, abs=1e-5)


DIRECTIONS = [{"fix": 1 + 0j}, {"b": 1j}]


def solved(travel: float, length: float) -> tuple[float, ...] | None:
    made = four_bar(*bases)
    drifts = [dict.fromkeys(made.drawn, 0j) | d for d in DIRECTIONS]
    found = adjust(
        lambda values: moved(values, DIRECTIONS),
        lambda _: drifts,
        (0.0, 0.0),
        [("travel", travel), ("eye_to_eye", length)],
        STROKE,
    )
    if not found.met:
        assert max(map(abs, found.left)) > 1e-6
        return None
    return found.values


@pytest.mark.parametrize("by", [(3.0, -4.0), (-6.0, 8.0)])
def test_a_bikes_own_travel_and_length_lead_back_to_it(by: tuple[float, float]) -> None:
    wanted = moved(by, DIRECTIONS)
    end = end_of_stroke(wanted, STROKE)
    travel = float((wanted.axle.at(end.turned)[0, 0] - wanted.drawn["rear_axle"]).imag)
    assert solved(travel, wanted.length) == pytest.approx(by, abs=1e-6)


def test_what_cannot_be_reached_is_not_met() -> None:
    assert solved(5000.0, 100.0) is None


def test_a_linkage_that_locks_inside_its_stroke_is_not_adjusted() -> None:
    made = four_bar(*bases)
    with pytest.raises(DeadPointError):
        adjust(lambda _: made, lambda _: [], (), [("travel", 100.0)], 10 * made.length)
