"""mockup.json: names of files, parts with their masses, joints. The whole is in test_write.py."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.mockup.document import joint_document, part_document, part_file, plate_file
from frame3d.mockup.options import DENSITIES
from frame3d.mockup.part import Joint
from tests.mockup.test_plates import cubes


def test_a_part_says_its_size_mass_and_file() -> None:
    for item, side in zip(cubes(10.0, 20.0).parts, (10.0, 20.0), strict=True):
        found = part_document(item, "PETG")
        assert found["volume"] == pytest.approx(side**3, rel=1e-5)
        assert found["mass"] == pytest.approx(side**3 * DENSITIES["PETG"] / 1000, rel=1e-5)
        assert found["lies"] == pytest.approx([side] * 3, abs=1e-4)
        low, high = found["stands"]
        assert np.subtract(high, low) == pytest.approx([side] * 3, abs=1e-4)
        assert found["file"] == part_file(item) == f"part_0{item.number}_cube_{item.number}.stl"
        assert found["faces"] == 12


def test_plates_are_numbered_files() -> None:
    assert plate_file(2) == "plate_2.3mf"


def test_a_joint_is_plain_data() -> None:
    joint = Joint(
        "turning", "axle", "frame", np.array([1.0, 2, 3]), np.array([0.0, 1, 0]), 3.0, 8.0, 0.3, "B"
    )
    assert joint_document(joint) == {
        "kind": "turning", "peg": "axle", "hole": "frame", "at": [1, 2, 3], "along": [0, 1, 0],
        "diameter": 3.0, "depth": 8.0, "clearance": 0.3, "mark": "B", "anywhere": False,
    }  # fmt: skip
