"""Holes, slots and pockets as a file gives them."""

from __future__ import annotations

from typing import Any

import pytest
from pydantic import ValidationError

from frame3d.parameters.models.flat_parts.cut_outs import PocketSpec, SlotSpec


def test_a_slot_is_at_least_as_long_as_wide() -> None:
    assert SlotSpec.model_validate({"at": [0, 0], "length": 6, "width": 6}).angle == 0.0
    with pytest.raises(ValidationError, match="less than the slot's width of 6 mm"):
        SlotSpec.model_validate({"at": [0, 0], "length": 5, "width": 6})


@pytest.mark.parametrize(
    "rim",
    [
        {},
        {"at": [0, 0]},
        {"diameter": 6},
        {"at": [0, 0], "diameter": 6, "path": [[0, 0], [5, 0], [0, 5]]},
    ],
)
def test_a_pocket_has_one_rim(rim: dict[str, Any]) -> None:
    with pytest.raises(ValidationError, match="its rim is not clear"):
        PocketSpec.model_validate(rim | {"depth": 2})


@pytest.mark.parametrize(
    "rim", [{"at": [0, 0], "diameter": 6}, {"path": [[0, 0], [5, 0, 0.2], [0, 5]]}]
)
def test_a_pocket_is_round_or_has_a_path(rim: dict[str, Any]) -> None:
    assert PocketSpec.model_validate(rim | {"depth": 2}).face == "front"
