"""Stiffness as plain data."""

from __future__ import annotations

from pathlib import Path

import pytest

from frame3d.family.stiffnesses import stiffnesses_of
from frame3d.family.wanted import wanted_of
from frame3d.formats.documents import dumps
from frame3d.formats.stiffness_document import stiffness_document

CONFIGS = Path(__file__).parents[2] / "configs"


def test_per_kilogram_and_shares() -> None:
    found = stiffnesses_of(wanted_of([str(CONFIGS / "adventure_rigid.yaml")], fewest=1))
    data = stiffness_document(found)
    (frame,) = data["frames"]
    assert frame["travel_mm"] is None
    for case in frame["cases"].values():
        assert case["per_kg"] == pytest.approx(1000 * case["stiffness"] / frame["mass_g"])
        assert sum(case["energy_share"].values()) == pytest.approx(1)
    assert dumps(data) == dumps(stiffness_document(found))
