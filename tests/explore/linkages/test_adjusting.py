"""Coordinates that meet a travel and a shock, found for many designs at once."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.explore.linkages.adjusting import Wishes, adjust_many
from frame3d.explore.linkages.points import Places, values_of
from frame3d.geometry.arrays import Array, Complex
from frame3d.linkage import Linkage, solve_linkage
from frame3d.linkage.solve import FOUND_DIGITS
from frame3d.parameters.models.frame import FrameSpec
from tests.explore.linkages.linkages import program_for
from tests.linkage.bikes import AXLE, SWINGARM, spec_of
from tests.linkage.demos import FOUR_LINK_140, FOUR_LINK_AXLE

ONE = SWINGARM + "solve_for: [{point: shock_rear, coordinate: x, to_meet: eye_to_eye}]\n"


def no_tubes(tube: str, along: str, at: Array, offset: Array) -> Complex:
    raise KeyError(tube)


@pytest.mark.parametrize(
    ("section", "axle"), [(ONE, AXLE), (FOUR_LINK_140, FOUR_LINK_AXLE)], ids=["one", "two"]
)
def test_as_the_search_for_one(section: str, axle: tuple[float, float]) -> None:
    spec = spec_of(section)
    assert spec.suspension is not None
    own, linkage = spec.suspension, solve_linkage(spec, axle)
    program, count = program_for(linkage), 12
    random = np.random.default_rng(4)
    values = {name: value + random.uniform(-4, 4, count) for name, value in values_of(own).items()}
    names = tuple(wish.to_meet for wish in own.solve_for)
    goals = {"travel": own.travel, "eye_to_eye": own.shock.length}
    found = adjust_many(
        program,
        Places(own, program.points),
        values,
        np.full(count, complex(*axle)),
        no_tubes,
        Wishes(
            tuple((w.point, w.coordinate) for w in own.solve_for),
            names,
            np.tile([float(goals[n] or 0) for n in names], (count, 1)),
        ),
        np.full(count, own.shock.full_stroke, dtype=float),
    )
    assert found.clean.sum() >= count - 2
    for i in np.flatnonzero(found.clean):
        one = solved(spec, axle, {name: float(v[i]) for name, v in values.items()})
        for name, value in one.moved.items():
            assert found.values[name][i] == pytest.approx(value, abs=0.6 * 10**-FOUND_DIGITS)


def solved(
    spec: FrameSpec, axle: tuple[float, float], values: dict[tuple[str, str], float]
) -> Linkage:
    """The suspension with points at other coordinates, solved alone."""
    assert spec.suspension is not None
    points = {name: (values[name, "x"], values[name, "z"]) for name in spec.suspension.points}
    suspension = spec.suspension.model_copy(update={"points": points})
    return solve_linkage(spec.model_copy(update={"suspension": suspension}), axle)


def test_what_cannot_be_met_is_not_clean() -> None:
    spec = spec_of(ONE)
    assert spec.suspension is not None
    own, linkage = spec.suspension, solve_linkage(spec, AXLE)
    program = program_for(linkage)
    values = {name: np.full(2, value) for name, value in values_of(own).items()}
    found = adjust_many(
        program,
        Places(own, program.points),
        values,
        np.full(2, complex(*AXLE)),
        no_tubes,
        Wishes((("shock_rear", "x"),), ("eye_to_eye",), np.array([[212.0], [5.0]])),
        np.full(2, 60.0),
    )
    assert found.clean.tolist() == [True, False]
